//! Figures: the plan to a ledger of named quantities, each with what it was computed from.
//!
//! Nothing here can fail: what can't be computed is entered with the reason. Each file holds one body of
//! knowledge: the definitions of its figures and the code that enters them.

mod basins;
mod beds;
pub mod cases;
mod definition;
mod drains;
mod electrical;
mod evaporation;
mod excavations;
mod facts;
mod filling;
mod fouling;
mod ledger;
mod levels;
mod lining;
mod living_water;
mod plants;
mod pumped;
mod pumping;
mod puncture;
mod returns;
mod streams;
mod system;
mod uplift;
mod vessel;
mod walls;

pub use definition::{Definition, OWN_ARITHMETIC, Scope};
pub use ledger::{Answer, Figure, Found, Gap, Input, Ledger, Origin};

use crate::plan::Plan;

/// Every figure of a plan.
pub fn compute(plan: &Plan) -> Ledger {
    let mut ledger = Ledger::default();
    let vessels = vessel::all(plan);
    basins::enter(&mut ledger, plan, &vessels);
    let system = system::solve(plan, &vessels);
    pumping::enter(&mut ledger, plan, &system);
    fouling::enter(&mut ledger, plan, &system);
    returns::enter_falls(&mut ledger, plan, &system);
    streams::enter(&mut ledger, plan);
    levels::enter(&mut ledger, plan, &vessels, &system);
    pumping::enter_against_levels(&mut ledger, plan);
    drains::enter(&mut ledger, plan, &system);
    beds::enter(&mut ledger, plan, &vessels);
    uplift::enter(&mut ledger, plan, &vessels);
    living_water::enter(&mut ledger, plan, &vessels);
    filling::enter(&mut ledger, plan);
    electrical::enter(&mut ledger, plan);
    lining::enter(&mut ledger, plan, &vessels);
    walls::enter(&mut ledger, plan);
    excavations::enter(&mut ledger, plan, &vessels);
    evaporation::enter(&mut ledger, plan, &vessels);
    plants::enter(&mut ledger, plan);
    puncture::enter(&mut ledger, plan, &vessels);
    facts::enter(&mut ledger, plan);
    ledger
}

/// Every figure there is, by body of knowledge.
pub fn catalogue() -> impl Iterator<Item = &'static Definition> {
    [
        basins::DEFINITIONS,
        pumping::pumps::DEFINITIONS,
        pumping::suction::DEFINITIONS,
        pumping::runs::DEFINITIONS,
        pumping::pressure::DEFINITIONS,
        fouling::DEFINITIONS,
        drains::DEFINITIONS,
        returns::DEFINITIONS,
        returns::crest::DEFINITIONS,
        returns::sheet::DEFINITIONS,
        returns::overflow::DEFINITIONS,
        streams::DEFINITIONS,
        streams::regime::DEFINITIONS,
        levels::DEFINITIONS,
        levels::FOLLOWED,
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
    .chain(facts::DEFINITIONS.iter().copied())
    .flatten()
    .copied()
}

/// The figure of this name, for objects of this scope.
pub fn definition(scope: Scope, name: &str) -> Option<&'static Definition> {
    catalogue().find(|definition| definition.of == scope && definition.name == name)
}
