//! Levels in every scenario: the plan's water routed in time through ordinary running and every failure.

mod ends;
mod memo;
mod model;
mod outcome;
mod runs;
mod scenario;
mod setup;
mod tables;
mod worst;

pub use memo::{Followed, Memo, NOT_FOLLOWED};
pub(crate) use model::HydraulicModel;
pub use outcome::{BasinOutcome, LostAt, LostBy, NOTICED_AFTER, Outcome, Reached, Siphoned, Stopped};
pub use runs::{Outcomes, ScenarioRun, ScenarioRuns};
pub(crate) use runs::{Runs, SteadyRunning};
pub use scenario::{
    Begins, CREDIBLE, NamedScenario, OVERFLOW_BLOCKED, SCENARIOS, Scenario, WHY_CREDIBLE, scenario,
};
pub use worst::worst;

use std::sync::Arc;

use crate::plan::Plan;

/// Runs every scenario of a plan, and combinations by the names of their parts, beside what is known already.
pub fn run_scenarios(plan: &Plan, known: &Outcomes, named: &[Vec<&'static NamedScenario>]) -> ScenarioRuns {
    let steady = known.steady.clone();
    let steady = steady.unwrap_or_else(|| Arc::new(SteadyRunning::of(plan)));
    let model = HydraulicModel::of(plan, &steady.storages, &steady.system);
    Runs::new(&model, known.clone(), Followed::default()).all(named)
}
