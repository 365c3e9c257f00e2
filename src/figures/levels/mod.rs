//! Levels of every basin while running and in every scenario, and what they leave: freeboards, covers, water lost.

mod broken_line;
mod normal;
mod running;
mod scenarios;
mod siphon;

pub(super) use normal::FREEBOARD_NORMAL;
pub(super) use running::{RUNNING_LEVEL, THROUGH_FLOW};
pub(super) use scenarios::{
    DRAIN_BACK_LEVEL, MAKE_UP_STUCK_LEVEL, POWER_OFF_LEVEL, START_UP_LEVEL, STORM_LEVEL,
};
pub use scenarios::{SCENARIO_FIGURES, ScenarioFigures};

use scenarios::Source;

use crate::{
    hydraulics::{HydraulicModel, Outcomes, Runs, System, storage::Storages},
    ledger::{Definition, Ledger},
    plan::Plan,
};

/// The figures of levels, by file.
pub(super) static DEFINITIONS: [&[&Definition]; 5] = [
    running::DEFINITIONS,
    scenarios::DEFINITIONS,
    normal::DEFINITIONS,
    siphon::DEFINITIONS,
    broken_line::DEFINITIONS,
];

/// Enters every figure of levels; gives what the scenarios came to.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, storages: &Storages, system: &System) -> Outcomes {
    let model = HydraulicModel::of(plan, storages, system);
    let runs = Runs::new(&model, Outcomes::default());
    let source = Source {
        plan,
        system,
        runs: &runs,
    };
    for (id, basin) in &plan.basins {
        running::enter(ledger, plan, system, basin);
        scenarios::enter_ordinary(ledger, &source, basin);
        normal::enter_freeboard(ledger, basin);
        broken_line::enter(ledger, &source, id, basin);
    }
    for pump in plan.pumps.values() {
        normal::enter_cover(ledger, pump);
    }
    siphon::enter(ledger, &source);
    for (id, basin) in &plan.basins {
        scenarios::enter_failures(ledger, &source, id, basin);
    }
    runs.into_outcomes()
}
