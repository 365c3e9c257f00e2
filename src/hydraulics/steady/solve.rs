//! A circuit solved: flows and levels together, water conserved.

use std::{collections::HashSet, sync::Arc};

use indexmap::IndexMap;

use super::{
    conservation::{Balance, Steady},
    ends::Outlet,
    failure::Failure,
    make_up::{Kept, Levels},
    parts::Parts,
    states::{BasinState, DrainState, FallState, OffCurve, PumpState, RunState, System},
};
use crate::{
    formulas::{
        gravity_pipe,
        network::{LinkId, LinkState},
        pipe, weir,
    },
    hydraulics::components::{fouling::Condition, piece::Piece, water::viscosity},
    ledger::{Gap, Input, Origin},
    plan::Plan,
    quantity::Kind,
    read::Place,
};

/// A circuit in steady running.
pub(super) struct Solved<'a> {
    parts: &'a Parts<'a>,
    condition: &'a Condition,
    steady: Steady,
    nu: f64,
    levels: IndexMap<String, Levels>,
    /// Why the levels are not to be had though the flows are.
    unbalanced: Option<Gap>,
    inputs: Arc<[Input]>,
}

impl<'a> Solved<'a> {
    /// Solves a circuit in a condition.
    pub fn of(plan: &'a Plan, parts: &'a Parts<'a>, condition: &'a Condition) -> Result<Self, Failure> {
        let viscosity = viscosity(plan);
        let balance = Balance {
            plan,
            parts,
            nu: viscosity.item,
            condition,
        };
        let conserved = balance.conserved()?;
        let mut kept = Kept::of(&balance);
        let steady = kept.filled(&balance, conserved)?;
        let levels = kept.levels(&balance, &steady)?;
        Ok(Self {
            parts,
            condition,
            unbalanced: unbalanced(&balance, &steady),
            steady,
            nu: viscosity.item,
            levels,
            inputs: all_inputs(parts, condition, &viscosity),
        })
    }

    /// The flow of each pump and what it rests on beside the plan of the circuit, by its place.
    pub fn pumped(&self) -> impl Iterator<Item = (Place, f64, Vec<Input>)> {
        let stone = self.parts.beds.iter().flat_map(|part| &part.fouled_inputs);
        let inputs: Vec<Input> = self.condition.inputs().iter().chain(stone).cloned().collect();
        let pumps = self.parts.pumps.iter().zip(&self.steady.links.pumps);
        pumps.map(move |(part, link)| {
            let flow = self.steady.solution.flow(*link).unwrap_or(f64::NAN);
            (part.pump.place.clone(), flow, inputs.clone())
        })
    }

    /// Enters what runs where.
    pub fn enter(self, system: &mut System) {
        self.enter_pumps(system);
        for (part, link) in self.parts.runs.iter().zip(&self.steady.links.runs) {
            let (flow, run) = (self.flow(*link), &part.pipe.item);
            let state = RunState {
                flow,
                velocity: pipe::velocity(flow, run.diameter),
                reynolds: pipe::reynolds(flow, run.diameter, self.nu),
                head_loss: pipe::head_loss(flow, run, self.nu),
                inputs: part.pipe.inputs.clone(),
            };
            system.runs.insert(part.run.place.clone(), Ok(state));
        }
        for (part, link) in self.parts.falls.iter().zip(&self.steady.links.falls) {
            let flow = self.flow(*link);
            let from = part.fall.from.value().map_or("", String::as_str);
            let below = self.steady.levels[&part.to];
            let (head, submergence) = if part.drowned_by(below) && flow > 0.0 {
                let head = self.steady.levels[from] - part.level;
                (head, (below - part.level) / head)
            } else {
                (weir::head_for_flow(&part.crest.item, flow), 0.0)
            };
            let state = FallState {
                flow,
                head,
                submergence,
                crest: part.crest.item,
                inputs: part.crest.inputs.clone(),
            };
            system.falls.insert(part.fall.place.clone(), Ok(state));
        }
        self.enter_cascades(system);
        self.enter_drains(system);
        self.enter_spills(system);
        for (id, levels) in &self.levels {
            let state = BasinState {
                inflow: self.inflow(id),
                running: levels.running,
                in_flight: levels.in_flight,
                make_up: levels.make_up.clone(),
                inputs: levels.inputs.clone(),
            };
            let state = self.unbalanced.clone().map_or(Ok(state), Err);
            system.basins.insert(Plan::basin_place(id), state);
        }
    }

    /// A fall that leaves a stream passes what the stream brings, at the head its crest needs for it.
    fn enter_cascades(&self, system: &mut System) {
        for part in &self.parts.cascades {
            let state = part.crest.as_ref().map_err(Clone::clone).map(|crest| {
                let flow = self.steady.stream_flow(self.parts, part.stream);
                FallState {
                    flow,
                    head: weir::head_for_flow(&crest.item, flow),
                    submergence: 0.0,
                    crest: crest.item,
                    inputs: crest.inputs.clone(),
                }
            });
            system.falls.insert(part.fall.place.clone(), state);
        }
    }

    fn enter_pumps(&self, system: &mut System) {
        for (part, link) in self.parts.pumps.iter().zip(&self.steady.links.pumps) {
            let flow = self.flow(*link);
            let count = f64::from(part.pump.count.value().copied().unwrap_or(1));
            let head = part.curve.item.head(flow / count).unwrap_or_default();
            let at = part.pump.place.clone();
            if self.steady.solution.state(*link) == Some(LinkState::DeadHeaded) {
                let flap = if part.valve.is_some() {
                    "its check valve keeps the water from running back"
                } else {
                    "no check valve of its own is shown, and without one water runs back through it"
                };
                let because = format!(
                    "the pump moves no water: the pumps it shares a line with hold more against it than its head at \
                     shut-off; {flap}"
                );
                let at_fault = OffCurve { because, at: None };
                system.off_curve.insert(at.clone(), at_fault);
            }
            let state = PumpState {
                flow,
                head,
                inputs: Arc::clone(&self.inputs),
            };
            system.pumps.insert(at, Ok(state));
        }
    }

    fn enter_spills(&self, system: &mut System) {
        for (part, link) in self.parts.outlets.iter().zip(&self.steady.links.outlets) {
            if let Some(link) = link {
                let spill = system.spills.entry(Plan::basin_place(&part.basin)).or_default();
                match part.kind {
                    Outlet::Rim => spill.over_rim = self.flow(*link),
                    Outlet::Overflow => spill.by_overflow = self.flow(*link),
                }
            }
        }
    }

    fn enter_drains(&self, system: &mut System) {
        for (part, link) in self.parts.drains.iter().zip(&self.steady.links.drains) {
            let flow = self.flow(*link);
            let (above, below) = (self.steady.levels[part.from], self.steady.levels[part.to]);
            let drain = gravity_pipe::GravityPipe {
                pipe: self.condition.of_run(part.piece.item.pipe),
                ..part.piece.item
            };
            let (_, control) = gravity_pipe::discharge(&drain, above, part.against(below), self.nu);
            let state = DrainState {
                flow,
                velocity: pipe::velocity(flow, drain.pipe.diameter),
                control,
                inputs: part.piece.inputs.clone(),
            };
            system.drains.insert(part.drain.place.clone(), Ok(state));
        }
    }

    fn flow(&self, link: LinkId) -> f64 {
        self.steady.solution.flow(link).unwrap_or(f64::NAN)
    }

    fn inflow(&self, id: &str) -> f64 {
        inflow(self.parts, &self.steady, id)
    }
}

/// What lines, falls and drains bring to a basin, m³/s.
fn inflow(parts: &Parts<'_>, steady: &Steady, id: &str) -> f64 {
    let (flow, links) = (
        |link: &LinkId| steady.solution.flow(*link).unwrap_or(f64::NAN),
        &steady.links,
    );
    let around = parts.around.of(id);
    let pumped = around.runs_in.iter().map(|at| flow(&links.runs[*at]));
    let falls = around.falls_in.iter().map(|at| flow(&links.falls[*at]));
    let drains = around
        .drains_in
        .iter()
        .map(|at| flow(&links.drains[*at]).max(0.0));
    pumped.sum::<f64>() + falls.sum::<f64>() + drains.sum::<f64>()
}

/// Share of the flow through a basin that may be missing before it counts as losing water.
const BALANCED: f64 = 1e-3;

/// Basins that no fall and no drain leaves, and that gain what another loses, have no steady level.
fn unbalanced(balance: &Balance<'_>, steady: &Steady) -> Option<Gap> {
    if balance.sinks().count() < 2 {
        return None;
    }
    let drawn = |id: &str| -> f64 {
        let pumps = balance.parts.around.of(id).pumps.iter();
        pumps
            .map(|at| steady.links.pumps[*at])
            .map(|link| steady.solution.flow(link).unwrap_or(f64::NAN))
            .sum()
    };
    let loses = |id: &&String| drawn(id) - inflow(balance.parts, steady, id) > BALANCED * drawn(id);
    let loser = balance.sinks().find(loses)?;
    Some(Gap::NotComputed(format!(
        "`{loser}` loses more water to its pumps than comes back to it, and no fall or drain evens the basins out: it \
         is pumped empty while another runs over"
    )))
}

/// A value by which two inputs are told apart.
type ValueBits = Option<(u64, Kind)>;

/// Everything the flows rest on.
fn all_inputs(parts: &Parts<'_>, condition: &Condition, viscosity: &Piece<f64>) -> Arc<[Input]> {
    let pumps = parts.pumps.iter().flat_map(|part| {
        let suction = part.suction.iter().flat_map(|piece| piece.inputs.iter());
        let valve = part.valve.iter().flat_map(|piece| piece.inputs.iter());
        part.curve.inputs.iter().chain(suction).chain(valve)
    });
    let runs = parts.runs.iter().flat_map(|part| part.pipe.inputs.iter());
    let falls = parts.falls.iter().flat_map(|part| part.crest.inputs.iter());
    let drains = parts.drains.iter().flat_map(|part| part.piece.inputs.iter());
    let beds = parts.beds.iter().flat_map(|part| part.inputs.iter());
    let all = pumps.chain(runs).chain(falls).chain(drains).chain(beds);
    let all = all.chain(&viscosity.inputs).chain(condition.inputs());
    let mut seen: HashSet<(&str, ValueBits, &Origin)> = HashSet::new();
    let new = all.filter(|input| {
        let value = input.value.map(|(si, kind)| (si.to_bits(), kind));
        seen.insert((input.symbol, value, &input.origin))
    });
    new.cloned().collect()
}
