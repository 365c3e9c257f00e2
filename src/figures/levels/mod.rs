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
    hydraulics::{Followed, HydraulicModel, Outcomes, Runs, Scenario, System, storage::Storages},
    ledger::{Definition, Ledger},
    plan::Plan,
};

/// The scenarios that a figure of levels is read from, by its name; none for one that no scenario gives.
pub fn read_from(name: &str) -> Vec<Scenario> {
    let is = |definition: Option<&'static Definition>| definition.is_some_and(|known| known.name == name);
    let listed = SCENARIO_FIGURES.iter().filter(|figures| {
        let own = [
            Some(figures.level),
            figures.freeboard,
            figures.spilled,
            figures.blocked,
        ];
        own.into_iter().any(is)
    });
    let others = siphon::READ_FROM.iter().chain(&broken_line::READ_FROM);
    let others = others.filter(|(definition, _)| definition.name == name);
    let named = listed.map(|figures| figures.scenario);
    named
        .chain(others.map(|(_, scenario)| *scenario))
        .map(scenarios::supposed)
        .collect()
}

/// The figures of levels, by file.
pub(super) static DEFINITIONS: [&[&Definition]; 5] = [
    running::DEFINITIONS,
    scenarios::DEFINITIONS,
    normal::DEFINITIONS,
    siphon::DEFINITIONS,
    broken_line::DEFINITIONS,
];

/// Enters every figure of levels; gives what the scenarios came to.
pub(super) fn enter(
    ledger: &mut Ledger,
    plan: &Plan,
    storages: &Storages,
    system: &System,
    followed: Followed<'_>,
) -> Outcomes {
    let model = HydraulicModel::of(plan, storages, system);
    let runs = Runs::new(&model, Outcomes::default(), followed);
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
