//! Pumps at their operating point, what their suction sees, the runs they feed and the pressure in those.

pub(super) mod lift;
pub(super) mod pressure;
pub(super) mod pumps;
pub(super) mod runs;
pub(super) mod suction;

use crate::{
    hydraulics::System,
    ledger::{Gap, Ledger, missing},
    plan::{Given, Line, Plan, Pump},
    read::Place,
};

pub(super) use pumps::DUTY_FLOW;
pub(super) use runs::RUN_FLOW;

const NETWORK: &str = "heads and flows solved together: Darcy–Weisbach with Colebrook–White, monotone cubic pump curve \
                       (Fritsch and Carlson), fittings by K of the method the plan names, else of one table after Crane TP-410";

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System) {
    for pump in plan.pumps.values() {
        pumps::enter(ledger, plan, system, pump);
    }
    for line in plan.lines.values() {
        pumps::enter_line(ledger, plan, line);
        for run in line.runs.values() {
            runs::enter(ledger, plan, system, line, run);
            pressure::enter(ledger, plan, line, run);
        }
    }
}

/// What rests on the levels: the water over and under a pump.
pub(super) fn enter_against_levels(ledger: &mut Ledger, plan: &Plan) {
    for (id, pump) in &plan.pumps {
        lift::enter(ledger, plan, id, pump);
        suction::enter(ledger, plan, pump);
    }
}

/// The pumps that feed a line.
fn feeding<'a>(plan: &'a Plan, line: &Line) -> Vec<&'a Given<Pump>> {
    let ids = line.from.value().map(|ids| ids.0.as_slice()).unwrap_or_default();
    ids.iter().filter_map(|id| plan.pumps.get(id)).collect()
}

/// How many alike run side by side.
fn count(pump: &Pump) -> f64 {
    f64::from(pump.count.value().copied().unwrap_or(1))
}

/// The basin a pump draws from.
fn basin_of(pump: &Given<Pump>) -> Result<Place, Gap> {
    let basin = pump
        .basin
        .value()
        .ok_or_else(|| missing(pump.place.child("basin")))?;
    Ok(Plan::basin_place(basin))
}
