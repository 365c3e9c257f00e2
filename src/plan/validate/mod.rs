//! What no schema can say of a plan: names that must resolve, ways the water must have, sizes that must be possible.

mod attachments;
mod joints;
mod streams;

use std::collections::HashSet;

use indexmap::IndexMap;

use super::{
    Fall, Given, Level, Line, Plan, Pump, Run, Shown,
    connections::{drains_from, falls_from, pumps_in},
};
use crate::{
    formulas::{fittings, pipe_table, pump::Curve},
    quantity::INCH,
    read::{Node, Place, Problem, ProblemKind, Value, nearest},
    text::shown,
};

/// The longest length a garden feature can have, m; larger is a slip of the pen.
const LARGEST_LENGTH: f64 = 5000.0;
/// Highest and lowest level that make sense above and below a benchmark, m.
const FURTHEST_LEVEL: f64 = 200.0;

impl Plan {
    /// What the schema can't say: names that don't resolve, water without a way, sizes that can't be.
    pub fn problems(&self, tree: &Node) -> Vec<Problem> {
        problems(self, tree, &[Place::root()])
    }

    /// The same of a plan that had none before the values at these places were changed.
    pub fn problems_after(&self, tree: &Node, changed: &[Place]) -> Vec<Problem> {
        problems(self, tree, changed)
    }
}

/// Everything that makes a plan one that can't be reviewed, each with its place; sizes are looked at where they are new.
fn problems(plan: &Plan, tree: &Node, new: &[Place]) -> Vec<Problem> {
    let mut sense = Sense {
        plan,
        tree,
        problems: Vec::new(),
        unknown: 0,
    };
    for place in new {
        if let Some(node) = tree.at(place) {
            sense.sizes(node, place);
        }
    }
    for (id, basin) in &plan.basins {
        let below = |a: &Shown<Level>, b: &Shown<Level>| matches!((a.value(), b.value()), (Some(a), Some(b)) if a.0 > b.0);
        if below(&basin.floor, &basin.rim) {
            sense.tell(
                ProblemKind::Uphill,
                &basin.place.child("floor"),
                format!("the floor of `{id}` lies above its rim"),
                "above the rim",
            );
        }
    }
    for pump in plan.pumps.values() {
        sense.pump(pump);
    }
    for line in plan.lines.values() {
        sense.line(line);
    }
    for fall in plan.falls.values() {
        sense.fall(fall);
    }
    for stream in plan.streams.values() {
        sense.stream(stream);
    }
    for drain in plan.drains.values() {
        sense.drain(drain);
    }
    sense.water_path();
    sense.attachments();
    for named in sense.other_ids() {
        sense.basin_id(named);
    }
    sense.problems
}

struct Sense<'a> {
    plan: &'a Plan,
    tree: &'a Node,
    problems: Vec<Problem>,
    /// Names that are not in the plan, so far.
    unknown: usize,
}

/// Unknown names for which the nearest right one is looked for.
const MOST_COMPARED: usize = 200;

impl<'a> Sense<'a> {
    fn tell(
        &mut self,
        kind: ProblemKind,
        place: &Place,
        message: impl Into<String>,
        label: impl Into<String>,
    ) {
        self.problems
            .push(Problem::at(kind, self.tree.span_of(place), message, label));
    }

    fn tell_with_help(
        &mut self,
        kind: ProblemKind,
        place: &Place,
        message: String,
        label: &str,
        help: String,
    ) {
        self.problems
            .push(Problem::at(kind, self.tree.span_of(place), message, label).help(help));
    }

    /// Lengths that nothing can have: sizes below zero, and values beyond any garden.
    fn sizes(&mut self, node: &Node, at: &Place) {
        match &node.value {
            Value::Object(members) => {
                for (key, member) in members.iter().filter(|(key, _)| !key.starts_with("x-")) {
                    self.sizes(&member.node, &at.child(key));
                }
            }
            Value::List(items) => {
                for (index, item) in items.iter().enumerate() {
                    self.sizes(item, &at.child(&index.to_string()));
                }
            }
            Value::Text(text) => self.size(text, at),
            _ => {}
        }
    }

    fn size(&mut self, text: &str, at: &Place) {
        use crate::quantity::{Kind, Quantity};
        let Some(kind) = super::schema::kind_at(at) else {
            return;
        };
        let Ok(quantity) = Quantity::parse(text, kind) else {
            return;
        };
        let text = shown(text);
        match kind {
            Kind::Level if quantity.si.abs() > FURTHEST_LEVEL => {
                self.tell(
                    ProblemKind::OutOfRange,
                    at,
                    format!("{text} is implausibly far from the benchmark"),
                    "at most 200 m (650 ft) from the benchmark",
                );
            }
            Kind::Length if quantity.si > LARGEST_LENGTH => {
                self.tell(
                    ProblemKind::OutOfRange,
                    at,
                    format!("{text} is implausibly long"),
                    "at most 5000 m (16,400 ft)",
                );
            }
            Kind::Level | Kind::Temperature => {}
            _ if quantity.si < 0.0 => self.tell(
                ProblemKind::OutOfRange,
                at,
                format!("{text} is below zero"),
                "must not be negative",
            ),
            Kind::Length | Kind::Area if quantity.si == 0.0 && must_be_positive(at) => {
                self.tell(
                    ProblemKind::OutOfRange,
                    at,
                    format!("{text} is zero"),
                    "must be more than zero",
                );
            }
            _ => {}
        }
    }

    fn basin_id(&mut self, id: &'a Shown<String>) {
        let Shown::Is(given) = id else { return };
        if !self.plan.basins.contains_key(&given.value) {
            self.unknown(
                &given.place,
                &given.value,
                "basin",
                &self.plan.basins.keys().collect::<Vec<_>>(),
            );
        }
    }

    /// A basin or a stream, in which a fall or a line may end.
    fn end_id(&mut self, id: &'a Shown<String>) {
        let Shown::Is(given) = id else { return };
        let plan = self.plan;
        let known: Vec<&String> = plan.basins.keys().chain(plan.streams.keys()).collect();
        if !known.contains(&&given.value) {
            self.unknown(&given.place, &given.value, "basin or stream", &known);
        }
    }

    fn unknown(&mut self, place: &Place, id: &str, what: &str, known: &[&String]) {
        let names: Vec<String> = known
            .iter()
            .take(12)
            .map(|name| format!("`{}`", shown(name)))
            .collect();
        // Where very many names are wrong it is no slip of the pen, and each comparison takes its time.
        self.unknown += 1;
        let compared = if self.unknown <= MOST_COMPARED { known } else { &[] };
        let help = match nearest(id, compared.iter().map(|name| name.as_str()), 0.75) {
            Some(near) => format!("the nearest is `{near}`; there are {}", names.join(", ")),
            None if known.is_empty() => format!("the plan has no {what}s"),
            None => format!("there are {}", names.join(", ")),
        };
        self.tell_with_help(
            ProblemKind::UnknownName,
            place,
            format!("there is no {what} called `{}`", shown(id)),
            "not in the plan",
            help,
        );
    }

    fn pump(&mut self, pump: &'a Given<Pump>) {
        self.basin_id(&pump.basin);
        self.series(pump);
        if let Shown::Is(suction) = &pump.suction {
            self.pieces(suction);
        }
        if let Shown::Is(curve) = &pump.curve {
            let points: Vec<(f64, f64)> = curve.iter().map(|(flow, head)| (flow.0, head.0)).collect();
            if let Err(fault) = Curve::new(&points) {
                self.tell(
                    ProblemKind::PumpCurve,
                    &curve.place,
                    format!("this pump curve is impossible: {fault}"),
                    "flow must rise and head must fall from point to point",
                );
            }
        }
    }

    fn line(&mut self, line: &'a Given<Line>) {
        if let Shown::Is(ids) = &line.from {
            for id in ids.value.0.iter().filter(|id| !self.plan.pumps.contains_key(*id)) {
                self.unknown(
                    &ids.place,
                    id,
                    "pump",
                    &self.plan.pumps.keys().collect::<Vec<_>>(),
                );
            }
        }
        let mut led_back = HashSet::new();
        for (id, run) in &line.runs {
            self.run(line, id, run, &mut led_back);
        }
    }

    fn run(
        &mut self,
        line: &'a Given<Line>,
        id: &'a str,
        run: &'a Given<Run>,
        led_back: &mut HashSet<&'a str>,
    ) {
        self.end_id(&run.to);
        if let Shown::Is(after) = &run.after {
            if !line.runs.contains_key(&after.value) {
                self.unknown(
                    &after.place,
                    &after.value,
                    "run",
                    &line.runs.keys().collect::<Vec<_>>(),
                );
            } else if in_a_circle(&line.runs, id, led_back) {
                self.tell(
                    ProblemKind::Circle,
                    &after.place,
                    format!("run `{}` follows itself in a circle", shown(id)),
                    "comes back to where it started",
                );
            } else if line
                .runs
                .get(&after.value)
                .is_some_and(|before| matches!(before.to, Shown::Is(_)))
            {
                self.tell(
                    ProblemKind::Joint,
                    &after.place,
                    format!("run `{}` follows one that ends in a basin or stream", shown(id)),
                    "that run ends there",
                );
            }
        }
        self.joint(line, id, run);
        self.pieces(run);
    }

    /// Fittings and pipe that the tables do not know.
    fn pieces(&mut self, run: &Run) {
        if let Shown::Is(list) = &run.fittings {
            for name in list.keys() {
                if let Err(error) = fittings::find(name) {
                    let near = error
                        .nearest
                        .map(|near| format!("the nearest is `{near}`; "))
                        .unwrap_or_default();
                    let help = format!("{near}known are {}", error.accepted.join(", "));
                    self.tell_with_help(
                        ProblemKind::UnknownPart,
                        &list.place.child(name),
                        format!("no fitting is called `{}`", shown(name)),
                        "unknown fitting",
                        help,
                    );
                }
            }
        }
        if let Some(pipe) = run.pipe.given()
            && let (Shown::Is(size), Shown::Is(class), Shown::NotShown) =
                (&pipe.size, &pipe.class, &pipe.inside)
            && let Err(error) = pipe_table::inside_diameter(size.value.0 / INCH, &class.value)
        {
            let help = "give the inside diameter as `inside` for pipe that the tables do not know".to_owned();
            self.tell_with_help(
                ProblemKind::UnknownPart,
                &class.place,
                error.to_string(),
                "not in the pipe tables",
                help,
            );
        }
    }

    fn fall(&mut self, fall: &'a Given<Fall>) {
        for end in [&fall.from, &fall.to] {
            self.end_id(end);
        }
        let below = fall
            .to
            .value()
            .and_then(|id| self.plan.basins.get(id))
            .and_then(|basin| basin.still.value());
        if let (Some(crest), Some(still)) = (fall.crest.given(), below)
            && crest.value.0 < still.0
        {
            self.tell(
                ProblemKind::Uphill,
                &crest.place,
                "the crest of this fall lies below the still water it falls into",
                "water can’t fall upward",
            );
        }
        if fall.from.value().is_some() && fall.from.value() == fall.to.value() {
            self.tell(
                ProblemKind::Circle,
                &fall.place.child("to"),
                "this fall ends where it starts",
                "the same basin or stream",
            );
        }
    }

    /// Pumped water must find its way back: a basin that is fed, feeds no pump and has no fall is a dead end, once the
    /// plan shows any falls at all; and no chain of falls may come back to its own start.
    fn water_path(&mut self) {
        let plan = self.plan;
        for line in plan.lines.values() {
            for run in line.runs.values() {
                let Shown::Is(to) = &run.to else { continue };
                let id = to.value.as_str();
                let leaves = falls_from(plan, id).next().is_some() || drains_from(plan, id).next().is_some();
                let pumped = pumps_in(plan, id).next().is_some();
                if !plan.falls.is_empty() && !leaves && !pumped && plan.basins.contains_key(&to.value) {
                    let message = format!("water is pumped into `{}` and has no way out", shown(&to.value));
                    self.tell(
                        ProblemKind::NoWayOut,
                        &to.place,
                        message,
                        "no fall leaves this basin and no pump draws from it",
                    );
                }
            }
        }
        let mut led_on = HashSet::new();
        for fall in plan.falls.values() {
            if falls_in_a_circle(plan, fall, &mut led_on) {
                self.tell(
                    ProblemKind::Circle,
                    &fall.place.child("to"),
                    "these falls lead back to where they start",
                    "water can’t fall in a circle",
                );
            }
        }
    }

    /// Ids of basins that stand elsewhere in the plan.
    fn other_ids(&self) -> Vec<&'a Shown<String>> {
        let plan = self.plan;
        let make_up = plan
            .water
            .value()
            .and_then(|water| water.make_up.value())
            .map(|make_up| &make_up.basin);
        let walls = plan.walls.values().map(|wall| &wall.value.basin);
        let digs = plan.excavations.values().map(|dig| &dig.value.basin);
        let species = plan
            .planting
            .value()
            .into_iter()
            .flat_map(|planting| planting.species.values());
        let catchment = plan.site.value().map(|site| &site.catchment_into);
        let circuits = plan
            .electrical
            .value()
            .into_iter()
            .flat_map(|electrical| electrical.circuits.values());
        make_up
            .into_iter()
            .chain(catchment)
            .chain(walls)
            .chain(circuits.map(|circuit| &circuit.value.basin))
            .chain(digs)
            .chain(species.map(|one| &one.value.planted_in))
            .collect()
    }
}

/// Sizes that a thing can't be without.
fn must_be_positive(at: &Place) -> bool {
    let last = at.key();
    let collection = at.parts().next().unwrap_or_default();
    matches!(
        last.as_str(),
        "length" | "width" | "thickness" | "area" | "size" | "inside" | "open_surface" | "bore"
    ) && matches!(
        collection.as_str(),
        "basins" | "lines" | "falls" | "pumps" | "streams" | "drains"
    )
}

/// Whether a run follows itself; those that are known to lead to a first run are `led_back`.
fn in_a_circle<'r>(
    runs: &'r IndexMap<String, Given<Run>>,
    start: &'r str,
    led_back: &mut HashSet<&'r str>,
) -> bool {
    let after = |at: &&'r str| Some(runs.get(*at)?.after.value()?.as_str());
    circles(start, after, runs.len(), led_back)
}

/// Whether a fall leads back to itself; those that are known to lead on to the end are `led_on`.
fn falls_in_a_circle<'p>(plan: &'p Plan, start: &'p Given<Fall>, led_on: &mut HashSet<&'p str>) -> bool {
    let next = |at: &&'p str| {
        let to = plan.falls.get(*at)?.to.value()?;
        let from = |id: &str| falls_from(plan, id).next();
        let fall = from(to).or_else(|| from(plan.streams.get(to)?.ends_in.value()?))?;
        let (id, _) = plan.falls.get_key_value(&fall.place.key())?;
        Some(id.as_str())
    };
    let id = start.place.key();
    let Some((id, _)) = plan.falls.get_key_value(&id) else {
        return false;
    };
    circles(id, next, plan.falls.len(), led_on)
}

/// Whether following members from one comes to no end; every member on a way that does is noted, and walked once.
fn circles<'m>(
    start: &'m str,
    next: impl Fn(&&'m str) -> Option<&'m str>,
    members: usize,
    ended: &mut HashSet<&'m str>,
) -> bool {
    let way: Vec<&'m str> = std::iter::successors(Some(start), next)
        .take_while(|at| !ended.contains(at))
        .take(members + 1)
        .collect();
    let circle = way.len() > members;
    if !circle {
        ended.extend(way);
    }
    circle
}
