//! The plan in steady running: every basin, pump, line and fall that are joined, solved together.

mod around;
mod circuit;
mod conservation;
mod ends;
mod failure;
mod make_up;
mod network;
mod parts;
mod solve;
mod states;

pub(crate) use states::{DrainState, FallState, RunState, System};

use super::components::{fouling::Condition, storage::Storages};
use crate::plan::Plan;

/// Solves every circuit of the plan.
pub(crate) fn solve(plan: &Plan, storages: &Storages) -> System {
    let mut system = System::default();
    let fouled = Condition::fouled(plan);
    for circuit in circuit::all(plan) {
        circuit.solve_into(&mut system, plan, storages, &fouled);
    }
    system
}
