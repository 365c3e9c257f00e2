//! Falls: the flow over each crest, and what the crest can carry.

mod capacity;
mod crest_range;
mod flow;

pub(super) use capacity::DEFINITIONS as CAPACITY;
pub(super) use flow::{
    BRINK_DEPTH, CREST_HEAD, DEFINITIONS, FALL_FLOW, FLOW_PER_WIDTH, at_crest, clear_brink, drop_tolerance,
};

use crate::{hydraulics::System, ledger::Ledger, plan::Plan};

/// Enters what does not depend on the levels below.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System) {
    for fall in plan.falls.values() {
        flow::enter(ledger, plan, system, fall);
        capacity::enter(ledger, plan, system, fall);
    }
}
