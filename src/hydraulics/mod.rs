//! The hydraulic model of a plan: what runs where, how high the water stands, and where it goes in every scenario.
//!
//! `components` turns the parts of a plan into pipes, pumps, crests, channels and storage; `steady` solves flows and
//! levels while the pumps run; `transient` routes the water in time through ordinary operation and every failure.
//! Nothing here knows of figures, rules or wording: what was used is noted, and what is missing is a
//! [`Gap`](crate::ledger::Gap).

pub(crate) mod components;
mod steady;
mod transient;

pub(crate) use components::{
    bed::{layers, open_when_fouled, size_at, stones},
    channel::Channel,
    crest::note_size,
    gravity_line::gravity_line,
    losses::Losses,
    overflow::piped,
    pipe::{inside_diameter, run as run_pipe, size_and_class, suction},
    pump_curve::curve,
    storage,
    water::{temperature, viscosity},
};
pub(crate) use steady::{DrainState, FallState, RunState, System};
pub use transient::{
    BasinOutcome, Begins, CREDIBLE, Followed, LostAt, LostBy, Memo, NOT_FOLLOWED, NOTICED_AFTER,
    NamedScenario, OVERFLOW_BLOCKED, Outcome, Outcomes, Reached, SCENARIOS, Scenario, ScenarioRun,
    ScenarioRuns, Siphoned, Stopped, WHY_CREDIBLE, run_scenarios, scenario, worst,
};
pub(crate) use transient::{HydraulicModel, Runs, SteadyRunning};
