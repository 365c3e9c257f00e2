//! Figures: the plan to a ledger of named quantities, each with what it was computed from.
//!
//! Nothing here can fail: what can't be computed is entered with the reason. Each file holds one body of
//! knowledge: the definitions of its figures and the code that enters them.

mod basins;
mod beds;
mod clearances;
mod controls;
mod drains;
mod electrical;
mod evaporation;
mod excavations;
mod facts;
mod falls;
mod filling;
mod fouling;
mod levels;
mod lining;
mod living_water;
mod nappe;
mod overflow;
mod plants;
mod pumping;
mod puncture;
mod streams;
mod through_flow;
mod uplift;
mod walls;

pub use levels::{SCENARIO_FIGURES, ScenarioFigures, read_from};

use std::sync::Arc;

use crate::{
    hydraulics::{Followed, Outcomes, SteadyRunning},
    ledger::{Definition, Ledger, Scope},
    plan::Plan,
};

pub use controls::{Control, Ladder, Rung, ladders};

/// Every figure of a plan.
pub fn compute(plan: &Plan) -> Ledger {
    compute_with_outcomes(plan, Followed::default()).0
}

/// Every figure of a plan, and what the scenarios they were read from came to. Figures of a scenario that is not followed
/// are not computed.
pub fn compute_with_outcomes(plan: &Plan, followed: Followed<'_>) -> (Ledger, Outcomes) {
    let mut ledger = Ledger::default();
    let steady = Arc::new(SteadyRunning::of(plan));
    let (storages, system) = (&steady.storages, &steady.system);
    basins::enter(&mut ledger, plan, storages);
    pumping::enter(&mut ledger, plan, system);
    fouling::enter(&mut ledger, plan, system);
    falls::enter(&mut ledger, plan, system);
    streams::enter(&mut ledger, plan);
    let mut outcomes = levels::enter(&mut ledger, plan, storages, system, followed);
    nappe::enter(&mut ledger, plan);
    clearances::enter(&mut ledger, plan);
    overflow::enter(&mut ledger, plan, storages);
    pumping::enter_against_levels(&mut ledger, plan);
    drains::enter(&mut ledger, plan, system);
    through_flow::enter(&mut ledger, plan);
    beds::enter(&mut ledger, plan, storages);
    uplift::enter(&mut ledger, plan, storages);
    living_water::enter(&mut ledger, plan, storages);
    filling::enter(&mut ledger, plan);
    electrical::enter(&mut ledger, plan);
    lining::enter(&mut ledger, plan, storages);
    walls::enter(&mut ledger, plan);
    excavations::enter(&mut ledger, plan, storages);
    evaporation::enter(&mut ledger, plan, storages);
    plants::enter(&mut ledger, plan);
    puncture::enter(&mut ledger, plan, storages);
    facts::enter(&mut ledger, plan);
    controls::enter(&mut ledger, plan);
    outcomes.steady = Some(steady);
    (ledger, outcomes)
}

/// Every figure there is, by body of knowledge.
pub fn catalogue() -> impl Iterator<Item = &'static Definition> {
    [
        basins::DEFINITIONS,
        pumping::pumps::DEFINITIONS,
        pumping::lift::DEFINITIONS,
        pumping::suction::DEFINITIONS,
        pumping::runs::DEFINITIONS,
        pumping::pressure::DEFINITIONS,
        fouling::DEFINITIONS,
        drains::DEFINITIONS,
        falls::DEFINITIONS,
        falls::CAPACITY,
        nappe::DEFINITIONS,
        clearances::DEFINITIONS,
        controls::DEFINITIONS,
        overflow::DEFINITIONS,
        streams::DEFINITIONS,
        streams::regime::DEFINITIONS,
        through_flow::DEFINITIONS,
        beds::DEFINITIONS,
        beds::passage::DEFINITIONS,
        beds::spread::DEFINITIONS,
        beds::stone::DEFINITIONS,
        uplift::DEFINITIONS,
        living_water::DEFINITIONS,
        filling::DEFINITIONS,
        electrical::DEFINITIONS,
        excavations::DEFINITIONS,
        evaporation::DEFINITIONS,
        plants::DEFINITIONS,
        puncture::DEFINITIONS,
        lining::DEFINITIONS,
        walls::DEFINITIONS,
    ]
    .into_iter()
    .chain(levels::DEFINITIONS)
    .chain(facts::DEFINITIONS.iter().copied())
    .flatten()
    .copied()
}

/// The figure of this name, for objects of this scope.
pub fn definition(scope: Scope, name: &str) -> Option<&'static Definition> {
    catalogue().find(|definition| definition.of == scope && definition.name == name)
}
