//! The marks of a plan: every level that somebody sets or shoots, in the order the work is built.

use crate::{
    hydraulics::inside_diameter,
    ledger::{Ledger, Notes},
    papers::words::basin_name,
    plan::{Basin, Drain, Fall, Given, Length, Level, Measure, Plan, Run, Shown, Stream, name_of},
    read::Place,
};

/// Who works to a mark, in the order they come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Crew {
    /// Digging.
    Dig,
    /// Underlay, sheet and edges.
    Lining,
    /// Pipes, pumps and wells.
    Pipes,
    /// Stone, crests and streams.
    Stone,
    /// Floats, switches and gear.
    Power,
    /// Levels of water, once it runs.
    Water,
}

impl Crew {
    /// All of them, in order.
    pub const ALL: [Self; 6] = [
        Self::Dig,
        Self::Lining,
        Self::Pipes,
        Self::Stone,
        Self::Power,
        Self::Water,
    ];

    /// What its sheet is called.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Dig => "Digging",
            Self::Lining => "Lining",
            Self::Pipes => "Pipes and pumps",
            Self::Stone => "Stone and crests",
            Self::Power => "Floats and gear",
            Self::Water => "First water",
        }
    }

    /// What this crew minds first; printed over its marks.
    pub const fn reminder(self) -> &'static str {
        match self {
            Self::Dig => {
                "Have the buried services marked before the first cut. Slope or shore a side that could fall on somebody, \
                 and keep spoil back from the edge. Levels are those of the raked subgrade, ready for the underlay."
            }
            Self::Lining => {
                "The lowest point of the edge all round counts, not the best one. Shoot it in eight places or more."
            }
            Self::Pipes => {
                "Levels are of the pipe where the table says so: the invert is the lowest inside point of the bore."
            }
            Self::Stone => {
                "Shoot both ends of a crest, left and right as seen looking downstream. A crest is set under running \
                 water in the end: the rod only brings it close."
            }
            Self::Power => {
                "Water and a cut cord kill. Switch off and lock out before a hand goes into the water. A licensed \
                 electrician sets gear and circuits."
            }
            Self::Water => "Shoot the water after it has stood still for an hour, and again while it runs.",
        }
    }
}

/// What a shot on a mark says of the plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// A level of the plan, at this place.
    Value(Place),
    /// One end of a crest, whose level stands at this place.
    CrestEnd(Place),
    /// A height of the plan, at `place`, between another mark and this one: of a layer, a drop of a reach, an edge over a bed.
    Height {
        /// Where the height stands.
        place: Place,
        /// The height, m.
        height: f64,
        /// The other mark's id.
        from: String,
        /// Whether this mark is the upper of the two.
        upper: bool,
    },
    /// Nothing that a plan gives: it is computed.
    Computed,
}

/// A level to set or to shoot.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Its number on the sheets and in the section, from 1.
    pub number: usize,
    /// Its permanent name: the place of its value in the plan, without the first stroke.
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// Who works to it.
    pub crew: Crew,
    /// Where it must stand, m from the benchmark.
    pub level: f64,
    /// How far that is above the level of the plan that it belongs to, m: of an invert, minus half the bore.
    pub offset: f64,
    /// What a shot on it says.
    pub target: Target,
}

/// Every mark of a plan that shows its level, in the order they are built, numbered.
pub fn marks(plan: &Plan, ledger: &Ledger) -> Vec<Mark> {
    let mut list = List::default();
    for (id, basin) in &plan.basins {
        list.basin(plan, ledger, id, basin);
    }
    list.pumps(plan);
    list.lines(plan);
    for (id, drain) in &plan.drains {
        list.drain(plan, id, drain);
    }
    for (id, fall) in &plan.falls {
        list.fall(id, fall);
    }
    for (id, stream) in &plan.streams {
        list.stream(id, stream);
    }
    list.supply(plan);
    list.circuits(plan);
    let mut marks = list.marks;
    marks.sort_by_key(|mark| mark.crew);
    for (index, mark) in marks.iter_mut().enumerate() {
        mark.number = index + 1;
    }
    marks
}

/// Marks as they are gathered.
#[derive(Default)]
struct List {
    marks: Vec<Mark>,
}

impl List {
    fn add(&mut self, crew: Crew, name: String, (level, offset): (f64, f64), id: &Place, target: Target) {
        let mark = Mark {
            number: 0,
            id: id_of(id),
            name,
            crew,
            level: level + offset,
            offset,
            target,
        };
        if mark.level.is_finite() {
            self.marks.push(mark);
        }
    }

    /// A level that the plan gives.
    fn given(&mut self, crew: Crew, name: String, level: &Shown<Level>) {
        if let Shown::Is(level) = level {
            let target = Target::Value(level.place.clone());
            self.add(crew, name, (level.si(), 0.0), &level.place, target);
        }
    }

    fn basin(&mut self, plan: &Plan, ledger: &Ledger, id: &str, basin: &Given<Basin>) {
        let name = name_of(id, &basin.name);
        let named = |what: &str| format!("{name}: {what}");
        self.given(Crew::Dig, named("subgrade at the deepest"), &basin.floor);
        if let Shown::Is(contours) = &basin.contours {
            let (floor, rim) = (level_of(&basin.floor), level_of(&basin.rim));
            let edge = |level: f64| Some(level) == floor || Some(level) == rim;
            let inner = contours
                .iter()
                .filter(|contour| level_of(&contour.level).is_some_and(|level| !edge(level)));
            for (index, contour) in inner.enumerate() {
                self.given(
                    Crew::Dig,
                    named(&format!("shelf or slope, line {}", index + 1)),
                    &contour.level,
                );
            }
        }
        if let Shown::Is(shape) = &basin.shape {
            for (shelf_id, shelf) in &shape.shelves {
                self.given(Crew::Dig, named(&format!("shelf {shelf_id}")), &shelf.level);
            }
        }
        self.given(Crew::Lining, named("rim, lowest edge of the sheet"), &basin.rim);
        if let Shown::Is(lining) = &basin.lining
            && let Shown::Is(edges) = &lining.edges
        {
            self.given(
                Crew::Lining,
                named("top of the sheet behind edge stone"),
                &edges.behind_stone,
            );
        }
        if let Shown::Is(well) = &basin.clean_out_well {
            self.given(
                Crew::Pipes,
                named("lowest opening of the clean-out well"),
                &well.floor,
            );
        }
        if let Shown::Is(inlet) = &basin.inlet
            && !ends_at(plan, id, level_of(&inlet.level))
        {
            self.given(Crew::Pipes, named("inlet"), &inlet.level);
        }
        if let Shown::Is(skimmer) = &basin.skimmer {
            self.given(Crew::Pipes, named("lip of the skimmer"), &skimmer.level);
        }
        if let Shown::Is(overflow) = &basin.overflow {
            self.given(
                Crew::Pipes,
                named("overflow, where it starts to run"),
                &overflow.level,
            );
        }
        self.layers(basin, name);
        self.given(Crew::Water, named("still water"), &basin.still);
        let running = ledger.quantity(&basin.place, "running-level");
        if let Some(running) = running {
            let at = basin.place.child("running");
            self.add(
                Crew::Water,
                named("running water"),
                (running, 0.0),
                &at,
                Target::Computed,
            );
        }
    }

    /// The top of each layer, as far up as thicknesses are shown.
    fn layers(&mut self, basin: &Given<Basin>, name: &str) {
        let Shown::Is(floor) = &basin.floor else { return };
        let (mut top, mut below) = (floor.si(), floor.place.clone());
        for (id, layer) in &basin.layers {
            let Shown::Is(thickness) = &layer.thickness else {
                return;
            };
            top += thickness.si();
            let at = layer.place.child("top");
            let target = height(thickness, &below, true);
            self.add(
                Crew::Stone,
                format!("{name}: top of layer {id}"),
                (top, 0.0),
                &at,
                target,
            );
            below = at;
        }
    }

    fn pumps(&mut self, plan: &Plan) {
        for (id, pump) in &plan.pumps {
            let name = name_of(id, &pump.name);
            self.given(Crew::Pipes, format!("{name}: top of the intake"), &pump.intake);
            self.given(Crew::Pipes, format!("{name}: centre of the wheel"), &pump.level);
            self.given(
                Crew::Pipes,
                format!("{name}: high point of the suction"),
                &pump.suction_high_point,
            );
            self.given(
                Crew::Power,
                format!("{name}: float or sensor that stops it"),
                &pump.low_level_cut_off,
            );
        }
    }

    fn lines(&mut self, plan: &Plan) {
        for (id, line) in &plan.lines {
            let name = name_of(id, &line.name);
            let single = line.runs.len() == 1;
            for (run_id, run) in &line.runs {
                let run_name = if single {
                    name.to_owned()
                } else {
                    format!("{name}, {run_id}")
                };
                self.mouth(&run_name, run);
            }
            if let Shown::Is(inlet) = &line.air_inlet {
                self.given(Crew::Pipes, format!("{name}: air inlet"), &inlet.level);
            }
        }
    }

    /// The mouth of a run: its invert where the bore is known, else its centre.
    fn mouth(&mut self, name: &str, run: &Given<Run>) {
        let Shown::Is(discharge) = &run.discharge else {
            return;
        };
        let Shown::Is(level) = &discharge.level else {
            return;
        };
        let (what, offset) = match inside_diameter(&mut Notes::default(), run) {
            Ok(bore) => ("mouth, invert", -bore / 2.0),
            Err(_) => ("mouth, centre", 0.0),
        };
        let target = Target::Value(level.place.clone());
        self.add(
            Crew::Pipes,
            format!("{name}: {what}"),
            (level.si(), offset),
            &level.place,
            target,
        );
    }

    fn drain(&mut self, plan: &Plan, id: &str, drain: &Given<Drain>) {
        let name = name_of(id, &drain.name);
        let from = drain.from.value().map_or("", |from| basin_name(plan, from));
        if let Shown::Is(mouth) = &drain.mouth {
            self.given(
                Crew::Pipes,
                format!("{name}: where water runs in from {from}"),
                &mouth.level,
            );
        }
        if let Shown::Is(run) = &drain.run {
            let run = Given {
                value: (*run.value).clone(),
                place: run.place.clone(),
            };
            self.mouth(name, &run);
        }
    }

    fn fall(&mut self, id: &str, fall: &Given<Fall>) {
        let name = name_of(id, &fall.name);
        let Shown::Is(crest) = &fall.crest else { return };
        for side in ["left", "right"] {
            let at = crest.place.child(side);
            let target = Target::CrestEnd(crest.place.clone());
            self.add(
                Crew::Stone,
                format!("{name}: crest, {side} end"),
                (crest.si(), 0.0),
                &at,
                target,
            );
        }
    }

    fn stream(&mut self, id: &str, stream: &Given<Stream>) {
        let name = name_of(id, &stream.name);
        self.given(Crew::Stone, format!("{name}: bed at the head"), &stream.head);
        if let Shown::Is(head) = &stream.head {
            let (mut bed, mut above) = (head.si(), head.place.clone());
            for (reach_id, reach) in &stream.reaches {
                let Shown::Is(drop) = &reach.drop else { break };
                if let Shown::Is(edge) = &reach.liner_edge {
                    let at = reach.place.child("edge");
                    let words = format!("{name}: edge of the sheet at the head of {reach_id}");
                    self.add(
                        Crew::Lining,
                        words,
                        (bed + edge.si(), 0.0),
                        &at,
                        height(edge, &above, true),
                    );
                }
                bed -= drop.si();
                let at = reach.place.child("end");
                let words = format!("{name}: bed at the end of {reach_id}");
                self.add(Crew::Stone, words, (bed, 0.0), &at, height(drop, &above, false));
                above = at;
            }
        }
        self.given(Crew::Stone, format!("{name}: bed at the end"), &stream.end);
    }

    fn supply(&mut self, plan: &Plan) {
        let Some(Shown::Is(make_up)) = plan.water.value().map(|water| &water.make_up) else {
            return;
        };
        let basin = make_up.basin.value().map_or("make-up", |id| basin_name(plan, id));
        self.given(
            Crew::Power,
            format!("{basin}: level at which make-up shuts"),
            &make_up.level,
        );
        self.given(
            Crew::Pipes,
            format!("{basin}: breaker of the make-up"),
            &make_up.breaker_level,
        );
    }

    fn circuits(&mut self, plan: &Plan) {
        let Shown::Is(electrical) = &plan.electrical else {
            return;
        };
        for (id, circuit) in &electrical.circuits {
            let words = format!("circuit {id}: gear that must not get wet");
            self.given(Crew::Power, words, &circuit.gear_level);
        }
    }
}

/// The name of the last sight, on the first mark again.
pub(super) const CLOSING_ID: &str = "closing";

/// The name of the backsight of a set-up, counted from 1.
pub(super) fn backsight_id(set_up: usize) -> String {
    format!("set-up {set_up}/backsight")
}

/// The name of the foresight from a set-up on the turning point to the next.
pub(super) fn foresight_id(set_up: usize) -> String {
    format!("set-up {set_up}/foresight")
}

/// The permanent name of the mark at a place.
pub(super) fn id_of(place: &Place) -> String {
    place.as_str().trim_start_matches('/').to_owned()
}

/// A height of the plan between the mark at a place and the one that is added.
fn height(height: &Given<Length>, from: &Place, upper: bool) -> Target {
    Target::Height {
        place: height.place.clone(),
        height: height.si(),
        from: id_of(from),
        upper,
    }
}

fn level_of(level: &Shown<Level>) -> Option<f64> {
    level.value().map(|level| level.si())
}

/// Whether a line ends in a basin at a level, so that its mouth is the inlet.
fn ends_at(plan: &Plan, basin: &str, level: Option<f64>) -> bool {
    let runs = plan.lines.values().flat_map(|line| line.runs.values());
    let ends = runs.filter(|run| run.to.value().is_some_and(|to| to == basin));
    let levels: Vec<f64> = ends
        .filter_map(|run| level_of(&run.discharge.value()?.level))
        .collect();
    level.is_some_and(|level| levels.contains(&level))
}
