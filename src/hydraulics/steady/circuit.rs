//! One circuit: the basins that lines and falls join, and the water that runs round.

use std::collections::{HashMap, HashSet};

use indexmap::{IndexMap, IndexSet};

use super::{
    around::Around,
    ends::{discharge_level, outlet_of, outlets_of},
    parts::{Cascade, DrainPart, FallPart, Parts, PumpPart, RunPart, end_of},
    solve::Solved,
    states::{Fouled, System},
};
use crate::{
    formulas::groups::Groups,
    hydraulics::components::{
        bed,
        crest::crest,
        fouling::Condition,
        gravity_line::gravity_line,
        losses::Losses,
        piece::Gaps,
        pipe::{own_check_valve, run as run_pipe, suction},
        pump_curve::curve,
        storage::{self, Storages},
    },
    ledger::Gap,
    plan::{
        Drain, Fall, Given, Line, Map, Mount, Plan, Pump, Shown,
        connections::{
            self, drains_from, ending, falls_from, falls_received, lines_from, pumped_on, pumps_in, receiver,
            source_stream,
        },
    },
    read::Place,
};

/// The ids of basins that are joined by lines and falls.
pub(super) struct Circuit {
    basins: IndexSet<String>,
}

/// Every circuit of a plan, in the plan's order.
pub(super) fn all(plan: &Plan) -> Vec<Circuit> {
    let mut groups = Groups::new(plan.basins.len());
    let mut join = |a: &str, b: &str| {
        if let (Some(a), Some(b)) = (plan.basins.get_index_of(a), plan.basins.get_index_of(b)) {
            groups.join(a, b);
        }
    };
    for line in plan.lines.values() {
        let pumps = pumps_of(plan, line).into_iter();
        let from: Vec<&String> = pumps.filter_map(|pump| pump.basin.value()).collect();
        let ends = line.runs.values().filter_map(|run| run.to.value());
        for to in ends.filter_map(|to| ending(plan, to)) {
            for from in &from {
                join(from, to);
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
    let mut circuits: IndexMap<usize, Circuit> = IndexMap::new();
    for (at, id) in plan.basins.keys().enumerate() {
        let circuit = circuits.entry(groups.first(at));
        let circuit = circuit.or_insert_with(|| Circuit {
            basins: IndexSet::new(),
        });
        circuit.basins.insert(id.clone());
    }
    circuits.into_values().collect()
}

/// The pumps a line starts at.
fn pumps_of<'a>(plan: &'a Plan, line: &Line) -> Vec<&'a Given<Pump>> {
    line.from
        .value()
        .map(|ids| ids.0.iter().filter_map(|id| plan.pumps.get(id)).collect())
        .unwrap_or_default()
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
        let pumps = self.basins.iter().flat_map(|id| pumps_in(plan, id));
        in_plan_order(pumps, &plan.pumps)
            .into_iter()
            .map(|(id, pump)| (pump, lines_from(plan, id).collect()))
            .collect()
    }

    fn falls<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = &'a Given<Fall>> {
        let falls = self.basins.iter().flat_map(|id| falls_from(plan, id));
        in_plan_order(falls, &plan.falls)
            .into_iter()
            .map(|(_, fall)| fall)
    }

    /// The falls that leave streams of the circuit, each with its stream.
    fn cascades<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = (&'a Given<Fall>, &'a str)> {
        let received = self.basins.iter().flat_map(|id| falls_received(plan, id));
        let received = in_plan_order(received, &plan.falls).into_iter();
        received.filter_map(move |(_, fall)| Some((fall, source_stream(plan, fall)?.0)))
    }

    fn drains<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = &'a Given<Drain>> {
        let drains = self.basins.iter().flat_map(|id| drains_from(plan, id));
        in_plan_order(drains, &plan.drains)
            .into_iter()
            .map(|(_, drain)| drain)
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
            around: Around::default(),
            pump_ids: HashMap::new(),
            feeding: HashMap::new(),
        };
        let losses = Losses::by(plan);
        let pumps = self.pumps(plan);
        if pumps.is_empty() {
            return Err(self.still(plan));
        }
        let mut taken: HashSet<&Place> = HashSet::new();
        for (pump, lines) in pumps {
            if lines.is_empty() && !pumped_on(plan, &pump.place.key()) {
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
            for line in lines.into_iter().filter(|line| taken.insert(&line.place)) {
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
        parts.look_round();
        let widest = |id: &str| {
            let ends = parts.around.of(id).runs_in.iter().map(|at| &parts.runs[*at]);
            let feeding = ends.filter(|part| part.rises_in(id));
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
        if line.runs.is_empty() {
            gaps.keep::<()>(Err(Gap::NotShown(vec![line.place.child("runs")])));
        }
        let after = line.runs.values().filter_map(|other| other.after.value());
        let gone_on: HashSet<&str> = after.map(|after| end_of(line, after)).collect();
        for (id, run) in &line.runs {
            let last = run.joins.value().is_none() && !gone_on.contains(end_of(line, id));
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
            let leaves = falls_from(plan, id).next().is_some() || drains_from(plan, id).next().is_some();
            if !leaves && pumps_in(plan, id).next().is_none() {
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

/// Members of a collection with their ids, in the order of the plan.
fn in_plan_order<'a, T>(
    members: impl Iterator<Item = &'a Given<T>>,
    all: &'a Map<T>,
) -> Vec<(&'a String, &'a Given<T>)> {
    let mut at: Vec<usize> = members
        .filter_map(|member| all.get_index_of(&member.place.key()))
        .collect();
    at.sort_unstable();
    at.into_iter().filter_map(|at| all.get_index(at)).collect()
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
