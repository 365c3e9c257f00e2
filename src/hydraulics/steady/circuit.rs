//! One circuit: the basins that lines and falls join, and the water that runs round.

use indexmap::{IndexMap, IndexSet};

use super::{
    ends::{OutletPart, discharge_level, outlet_of, outlets_of},
    solve::Solved,
    states::{Fouled, System},
};
use crate::{
    formulas::{gravity_pipe, pipe, pump::Curve, weir},
    hydraulics::components::{
        bed::{self, BedPart},
        crest::crest,
        fouling::Condition,
        gravity_line::gravity_line,
        losses::Losses,
        piece::{Gaps, Piece},
        pipe::{own_check_valve, run as run_pipe, suction},
        pump_curve::curve,
        storage::{self, BasinStorage, Storages},
    },
    ledger::Gap,
    plan::{
        Drain, Fall, Given, Line, Mount, Plan, Pump, Run, Shown,
        connections::{self, ending, receiver, source_stream},
    },
    read::Place,
};

/// The ids of basins that are joined by lines and falls.
pub(super) struct Circuit {
    basins: IndexSet<String>,
}

/// Every circuit of a plan, in the plan's order.
pub(super) fn all(plan: &Plan) -> Vec<Circuit> {
    let mut circuits: Vec<Circuit> = plan
        .basins
        .keys()
        .map(|id| Circuit {
            basins: IndexSet::from([id.clone()]),
        })
        .collect();
    let mut join = |a: &str, b: &str| {
        let find = |circuits: &[Circuit], id: &str| circuits.iter().position(|c| c.basins.contains(id));
        if let (Some(first), Some(second)) = (find(&circuits, a), find(&circuits, b))
            && first != second
        {
            let moved = circuits.remove(first.max(second));
            circuits[first.min(second)].basins.extend(moved.basins);
        }
    };
    for line in plan.lines.values() {
        for pump in pumps_of(plan, line) {
            for run in line.runs.values() {
                let to = run.to.value().and_then(|to| ending(plan, to));
                if let (Some(from), Some(to)) = (pump.basin.value(), to) {
                    join(from, to);
                }
            }
        }
    }
    for fall in plan.falls.values() {
        if let (Some(from), Some(to)) = (fall.from.value(), receiver(plan, fall)) {
            join(from, to);
        }
    }
    for drain in plan.drains.values() {
        if let (Some(from), Some(to)) = (drain.from.value(), drain.to.value()) {
            join(from, to);
        }
    }
    circuits
}

/// The pumps a line starts at.
fn pumps_of<'a>(plan: &'a Plan, line: &Line) -> Vec<&'a Given<Pump>> {
    line.from
        .value()
        .map(|ids| ids.0.iter().filter_map(|id| plan.pumps.get(id)).collect())
        .unwrap_or_default()
}

/// The objects of a circuit and their pieces.
pub(super) struct Parts<'a> {
    pub pumps: Vec<PumpPart<'a>>,
    pub runs: Vec<RunPart<'a>>,
    pub falls: Vec<FallPart<'a>>,
    /// Falls that leave streams, each with what passes its crest.
    pub cascades: Vec<Cascade<'a>>,
    pub drains: Vec<DrainPart<'a>>,
    pub beds: Vec<BedPart<'a>>,
    /// Rims and overflows, by which water leaves for good.
    pub outlets: Vec<OutletPart>,
    /// Still level and vessel of each basin.
    pub basins: IndexMap<String, (f64, &'a BasinStorage)>,
}

/// A pump, with its suction run where it stands dry.
pub(super) struct PumpPart<'a> {
    pub pump: &'a Given<Pump>,
    pub curve: Piece<Curve>,
    pub suction: Option<Piece<pipe::Run>>,
    pub valve: Option<Piece<pipe::Run>>,
}

impl PumpPart<'_> {
    pub fn id(&self) -> String {
        id_of(self.pump)
    }
}

fn id_of(pump: &Given<Pump>) -> String {
    pump.place.parts().last().unwrap_or_default()
}

/// A run of a line.
pub(super) struct RunPart<'a> {
    pub line: &'a Given<Line>,
    pub id: &'a str,
    pub run: &'a Given<Run>,
    pub pipe: Piece<pipe::Run>,
    /// The basin its water ends in, where the run ends: its own, or the one below its stream.
    pub to: Option<&'a str>,
    /// Level of a free outlet.
    pub outlet: Option<f64>,
}

impl RunPart<'_> {
    /// Id of the run at whose end this one ends: its own, or the one it joins.
    pub fn end(&self) -> &str {
        end_of(self.line, self.id)
    }

    /// Whether it ends under water in a basin.
    pub fn rises_in(&self, id: &str) -> bool {
        self.outlet.is_none() && self.to == Some(id)
    }

    /// Whether a valve in it stands shut.
    pub fn shut(&self) -> bool {
        self.run.shut.yes() == Some(true)
    }
}

impl FallPart<'_> {
    /// Whether water at a level below stands over the crest; a stream between keeps it away.
    pub fn drowned_by(&self, below: f64) -> bool {
        below > self.level && self.fall.to.value() == Some(&self.to)
    }
}

/// A gravity line.
pub(super) struct DrainPart<'a> {
    pub drain: &'a Given<Drain>,
    pub from: &'a str,
    pub to: &'a str,
    pub piece: Piece<gravity_pipe::GravityPipe>,
    /// Level of a free outlet.
    pub outlet: Option<f64>,
}

impl DrainPart<'_> {
    /// Whether a valve in it stands shut.
    pub fn shut(&self) -> bool {
        self.drain
            .run
            .value()
            .is_some_and(|run| run.shut.yes() == Some(true))
    }

    /// The level it works against, for water at a level in the basin below, m.
    pub fn against(&self, below: f64) -> f64 {
        self.outlet.map_or(below, |outlet| outlet.max(below))
    }
}

/// A fall and the basin its water ends in.
pub(super) struct FallPart<'a> {
    pub fall: &'a Given<Fall>,
    pub to: String,
    pub level: f64,
    pub crest: Piece<weir::Crest>,
}

/// A fall that leaves a stream: it passes what the stream brings.
pub(super) struct Cascade<'a> {
    pub fall: &'a Given<Fall>,
    /// The stream it leaves.
    pub stream: &'a str,
    pub crest: Result<Piece<weir::Crest>, Gap>,
}

impl Circuit {
    /// Solves the circuit, clean and fouled, and enters what runs where; a gap is entered for every object of it.
    pub fn solve_into(&self, system: &mut System, plan: &Plan, vessels: &Storages, fouled: &Condition) {
        let parts = match self.parts(plan, vessels) {
            Ok(parts) => parts,
            Err(gap) => return self.enter_gap(system, plan, &gap),
        };
        match Solved::of(plan, &parts, &Condition::Clean) {
            Ok(solved) => {
                solved.enter(system);
                enter_fouled(system, plan, &parts, fouled);
            }
            Err(failure) => {
                self.enter_gap(system, plan, &failure.gap);
                system.off_curve.extend(failure.off_curve);
            }
        }
    }

    fn enter_gap(&self, system: &mut System, plan: &Plan, gap: &Gap) {
        for (pump, lines) in self.pumps(plan) {
            system.pumps.insert(pump.place.clone(), Err(gap.clone()));
            system.fouled.insert(pump.place.clone(), Err(gap.clone()));
            for run in lines.iter().flat_map(|line| line.runs.values()) {
                system.runs.insert(run.place.clone(), Err(gap.clone()));
            }
        }
        for fall in self.falls(plan).chain(self.cascades(plan).map(|(fall, _)| fall)) {
            system.falls.insert(fall.place.clone(), Err(gap.clone()));
        }
        for drain in self.drains(plan) {
            system.drains.insert(drain.place.clone(), Err(gap.clone()));
        }
        for id in &self.basins {
            system.basins.insert(Plan::basin_place(id), Err(gap.clone()));
        }
    }

    fn pumps<'a>(&self, plan: &'a Plan) -> Vec<(&'a Given<Pump>, Vec<&'a Given<Line>>)> {
        plan.pumps
            .iter()
            .filter(|(_, pump)| pump.basin.value().is_some_and(|id| self.basins.contains(id)))
            .map(|(id, pump)| {
                let fed = |line: &&Given<Line>| line.from.value().is_some_and(|ids| ids.0.contains(id));
                (pump, plan.lines.values().filter(fed).collect())
            })
            .collect()
    }

    fn falls<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = &'a Given<Fall>> {
        let joined = |fall: &&Given<Fall>| fall.from.value().is_some_and(|id| self.basins.contains(id));
        plan.falls.values().filter(joined)
    }

    /// The falls that leave streams of the circuit, each with its stream.
    fn cascades<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = (&'a Given<Fall>, &'a str)> {
        let here = |fall: &Fall| receiver(plan, fall).is_some_and(|id| self.basins.contains(id));
        plan.falls.values().filter_map(move |fall| {
            let (stream, _) = source_stream(plan, fall)?;
            here(fall).then_some((fall, stream))
        })
    }

    fn drains<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = &'a Given<Drain>> {
        let joined = |drain: &&Given<Drain>| drain.from.value().is_some_and(|id| self.basins.contains(id));
        plan.drains.values().filter(joined)
    }

    /// Why nothing is known to move its water.
    fn still(&self, plan: &Plan) -> Gap {
        let mut places: IndexSet<Place> = IndexSet::new();
        if plan.pumps.is_empty() && !connections::unpumped(plan) {
            places.insert(Place::root().child("pumps"));
        }
        places.extend(self.basins.iter().flat_map(|id| connections::left_out(plan, id)));
        if places.is_empty() {
            Gap::DoesNotApply("no pump moves this water".to_owned())
        } else {
            Gap::NotShown(places.into_iter().collect())
        }
    }

    /// The pieces of the circuit, or everything that is missing for them.
    fn parts<'a>(&self, plan: &'a Plan, vessels: &'a Storages) -> Result<Parts<'a>, Gap> {
        let mut gaps = Gaps::default();
        let mut parts = Parts {
            pumps: Vec::new(),
            runs: Vec::new(),
            falls: Vec::new(),
            cascades: Vec::new(),
            drains: Vec::new(),
            beds: Vec::new(),
            outlets: Vec::new(),
            basins: IndexMap::new(),
        };
        let losses = Losses::by(plan);
        let pumps = self.pumps(plan);
        if pumps.is_empty() {
            return Err(self.still(plan));
        }
        for (pump, lines) in pumps {
            let followed = plan
                .pumps
                .values()
                .any(|other| other.after.value().is_some_and(|id| *id == id_of(pump)));
            if lines.is_empty() && !followed {
                gaps.keep::<()>(Err(Gap::NotShown(vec![Place::root().child("lines")])));
            }
            let curve = gaps.keep(curve(pump));
            let suction = match &pump.suction {
                Shown::Is(run) => gaps.keep(suction(run, losses)).map(Some),
                _ if pump.mount.value() == Some(&Mount::Dry) => {
                    gaps.keep(Err(Gap::NotShown(vec![pump.place.child("suction")])))
                }
                _ => Some(None),
            };
            let valve = lines
                .first()
                .map_or(Ok(None), |line| own_check_valve(pump, line, losses));
            if let (Some(curve), Some(suction), Some(valve)) = (curve, suction, gaps.keep(valve)) {
                parts.pumps.push(PumpPart {
                    pump,
                    curve,
                    suction,
                    valve,
                });
            }
            for line in lines {
                self.runs_of(&mut gaps, &mut parts, plan, line, losses);
            }
        }
        for fall in self.falls(plan) {
            let to = receiver(plan, fall)
                .filter(|id| self.basins.contains(*id))
                .map(str::to_owned);
            let to = gaps.keep(to.ok_or_else(|| Gap::NotShown(vec![fall.place.child("to")])));
            if let (Some(to), Some((level, crest))) = (to, gaps.keep(crest(fall))) {
                parts.falls.push(FallPart {
                    fall,
                    to,
                    level,
                    crest,
                });
            }
        }
        parts
            .cascades
            .extend(self.cascades(plan).map(|(fall, stream)| Cascade {
                fall,
                stream,
                crest: crest(fall).map(|(_, crest)| crest),
            }));
        for drain in self.drains(plan) {
            drain_of(&mut gaps, &mut parts, drain, losses);
        }
        self.vessels_of(&mut gaps, &mut parts, plan, vessels);
        gaps.settle()?;
        let widest = |id: &str| {
            let feeding = parts.runs.iter().filter(|part| part.rises_in(id));
            feeding.map(|part| part.pipe.item.diameter).reduce(f64::max)
        };
        parts.beds = bed::fed_from_below(plan, widest);
        Ok(parts)
    }

    fn runs_of<'a>(
        &self,
        gaps: &mut Gaps,
        parts: &mut Parts<'a>,
        plan: &'a Plan,
        line: &'a Given<Line>,
        losses: Losses<'_>,
    ) {
        if parts.runs.iter().any(|known| known.line.place == line.place) {
            return;
        }
        if line.runs.is_empty() {
            gaps.keep::<()>(Err(Gap::NotShown(vec![line.place.child("runs")])));
        }
        for (id, run) in &line.runs {
            let goes_on = |other: &Given<Run>| {
                let after = other.after.value();
                after.is_some_and(|after| end_of(line, after) == end_of(line, id))
            };
            let last = run.joins.value().is_none() && !line.runs.values().any(goes_on);
            if last && run.to.value().is_none() {
                gaps.keep::<()>(Err(Gap::NotShown(vec![run.place.child("to")])));
            }
            let to = run.to.value().and_then(|to| ending(plan, to));
            let elsewhere = run.to.value().is_some() && !to.is_some_and(|id| self.basins.contains(id));
            if elsewhere || run.after.value().is_some_and(|id| !line.runs.contains_key(id)) {
                gaps.keep::<()>(Err(Gap::NotComputed(
                    "a run starts or ends at something that is not in the plan".to_owned(),
                )));
            }
            let ends = run.to.value().is_some();
            let outlet = gaps.keep(if ends { outlet_of(plan, run) } else { Ok(None) });
            if let (Some(pipe), Some(outlet)) = (gaps.keep(run_pipe(run, line, losses)), outlet) {
                parts.runs.push(RunPart {
                    line,
                    id,
                    run,
                    pipe,
                    to,
                    outlet,
                });
            }
        }
    }

    fn vessels_of<'a>(&self, gaps: &mut Gaps, parts: &mut Parts<'a>, plan: &'a Plan, vessels: &'a Storages) {
        for id in &self.basins {
            let Some(basin) = plan.basins.get(id) else {
                continue;
            };
            let still = basin.still.value().map(|level| level.0);
            let still = gaps.keep(still.ok_or_else(|| Gap::NotShown(vec![basin.place.child("still")])));
            let vessel = gaps.keep(storage::of(vessels, id));
            if let (Some(still), Some(vessel)) = (still, vessel) {
                parts.basins.insert(id.clone(), (still, vessel));
                parts.outlets.extend(outlets_of(id, basin, vessel));
            }
            let leaves = plan.falls.values().any(|fall| fall.from.value() == Some(id))
                || plan.drains.values().any(|drain| drain.from.value() == Some(id));
            let pumped = plan.pumps.values().any(|pump| pump.basin.value() == Some(id));
            if !leaves && !pumped {
                gaps.keep::<()>(Err(Gap::NotShown(vec![Place::root().child("falls")])));
            }
        }
    }
}

/// The flow of each pump with the lines fouled.
fn enter_fouled(system: &mut System, plan: &Plan, parts: &Parts<'_>, condition: &Condition) {
    match Solved::of(plan, parts, condition) {
        Ok(solved) => {
            for (pump, flow, inputs) in solved.pumped() {
                system.fouled.insert(pump, Ok(Fouled { flow, inputs }));
            }
        }
        Err(failure) => {
            for part in &parts.pumps {
                let at = part.pump.place.clone();
                system.fouled.insert(at, Err(failure.gap.clone()));
            }
        }
    }
}

/// Id of the run at whose end a run ends: its own, or the one it joins.
fn end_of<'a>(line: &'a Line, id: &'a str) -> &'a str {
    let joins = line.runs.get(id).and_then(|run| run.joins.value());
    joins.map_or(id, String::as_str)
}

fn drain_of<'a>(gaps: &mut Gaps, parts: &mut Parts<'a>, drain: &'a Given<Drain>, losses: Losses<'_>) {
    let piece = gaps.keep(gravity_line(drain, losses));
    let outlet = match drain.run.given() {
        Some(run) if matches!(run.discharge, Shown::Is(_)) => gaps.keep(discharge_level(run, &run.place)),
        _ => Some(None),
    };
    if let (Some(from), Some(to), Some(piece), Some(outlet)) =
        (drain.from.value(), drain.to.value(), piece, outlet)
    {
        parts.drains.push(DrainPart {
            drain,
            from,
            to,
            piece,
            outlet,
        });
    }
}
