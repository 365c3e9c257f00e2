//! Pumps at their operating point, what their suction sees, the runs they feed and the pressure in those.

mod feeding;
pub(super) mod lift;
pub(super) mod pressure;
pub(super) mod pumps;
pub(super) mod runs;
pub(super) mod suction;

use crate::{hydraulics::System, ledger::Ledger, plan::Plan};

pub(super) use pumps::DUTY_FLOW;
pub(super) use runs::RUN_FLOW;

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
