//! Scenarios run over a plan, each once.

use std::{cell::RefCell, sync::Arc};

use indexmap::IndexMap;

use super::{
    memo::{Followed, NOT_FOLLOWED},
    model::HydraulicModel,
    outcome::{self, Outcome},
    scenario::{CREDIBLE, NamedScenario, OVERFLOW_BLOCKED, SCENARIOS, Scenario, scenario},
};
use crate::{
    hydraulics::{
        components::storage::{self, Storages},
        steady::{self, System},
    },
    ledger::Gap,
    plan::{Plan, Shown, connections::Check},
    read::Place,
};

/// A scenario run, or why it can't be.
#[derive(Clone, Debug)]
pub struct ScenarioRun {
    /// Its name; names of combined scenarios are joined by `+`.
    pub name: String,
    /// What it is called.
    pub title: String,
    /// What it supposes, in words.
    pub supposes: String,
    /// What it came to.
    pub outcome: Result<Arc<Outcome>, Gap>,
}

/// Every scenario of a plan, the combinations that were named, and those that are credible.
#[derive(Clone, Debug)]
pub struct ScenarioRuns {
    /// The scenarios, in the order of the list; after each in which an overflow helped, the same with overflows
    /// blocked.
    pub single: Vec<ScenarioRun>,
    /// The combinations that were named.
    pub named: Vec<ScenarioRun>,
    /// Combinations of two that go together.
    pub credible: Vec<ScenarioRun>,
    /// Basins that no scenario can follow, and why.
    pub missing: Vec<(Place, Gap)>,
}

impl ScenarioRuns {
    /// Every scenario run.
    pub fn all(&self) -> impl Iterator<Item = &ScenarioRun> {
        self.single.iter().chain(&self.named).chain(&self.credible)
    }
}

/// What came of scenarios, each run once and kept: figures, tables and drawings read the same outcome.
#[derive(Clone, Debug, Default)]
pub struct Outcomes {
    runs: IndexMap<Scenario, Result<Arc<Outcome>, Gap>>,
    /// The steady running that every scenario begins from, where it is solved already.
    pub(crate) steady: Option<Arc<SteadyRunning>>,
}

/// What basins hold, and the plan in steady running.
#[derive(Debug)]
pub(crate) struct SteadyRunning {
    pub storages: Storages,
    pub system: System,
}

impl SteadyRunning {
    /// Of a plan.
    pub fn of(plan: &Plan) -> Self {
        let storages = storage::all(plan);
        let system = steady::solve(plan, &storages);
        Self { storages, system }
    }
}

/// Runs scenarios of a model when they are first asked for.
pub(crate) struct Runs<'m, 'a> {
    /// The model.
    pub model: &'m HydraulicModel<'a>,
    done: RefCell<Outcomes>,
    followed: Followed<'m>,
}

impl<'m, 'a> Runs<'m, 'a> {
    /// Over a model, with what is known of it already.
    pub fn new(model: &'m HydraulicModel<'a>, known: Outcomes, followed: Followed<'m>) -> Self {
        Self {
            model,
            done: RefCell::new(known),
            followed,
        }
    }

    /// What was run.
    pub fn into_outcomes(self) -> Outcomes {
        self.done.into_inner()
    }

    /// Reads what a scenario comes to.
    pub fn read<T>(&self, scenario: Scenario, read: impl FnOnce(&Outcome) -> T) -> Result<T, Gap> {
        if !self.followed.wants(scenario) {
            return Err(Gap::NotComputed(NOT_FOLLOWED.to_owned()));
        }
        let scenario = self.canonical(scenario);
        self.outcome(scenario).map(|outcome| read(&outcome))
    }

    /// What a scenario that is canonical comes to.
    fn outcome(&self, scenario: Scenario) -> Result<Arc<Outcome>, Gap> {
        if let Some(known) = self.done.borrow().runs.get(&scenario) {
            return known.clone();
        }
        let outcome = self.run(scenario).map(Arc::new);
        self.done.borrow_mut().runs.insert(scenario, outcome.clone());
        outcome
    }

    fn run(&self, scenario: Scenario) -> Result<Outcome, Gap> {
        if self.model.basins.is_empty() {
            let gaps = self.model.missing.iter().map(|(_, gap)| gap.clone());
            let none = Gap::NotShown(vec![Place::root().child("basins")]);
            return Err(gaps.reduce(Gap::and).unwrap_or(none));
        }
        outcome::run(self.model, scenario, self.followed.memo)
    }

    /// The same scenario without what changes nothing in this plan, so that equal ones are run once.
    fn canonical(&self, scenario: Scenario) -> Scenario {
        let model = self.model;
        let inlets = model
            .ends
            .iter()
            .any(|end| matches!(end.line.air_inlet, Shown::Is(_)));
        let checks = model.ends.iter().any(|end| end.check != Check::None);
        let overflows = model.basins.iter().any(|part| !matches!(part.overflow, Ok(None)));
        let runs_back = scenario.power_off && scenario.checks_leak;
        Scenario {
            checks_leak: runs_back && checks,
            inlets_blocked: scenario.inlets_blocked && inlets && scenario.power_off,
            overflows_blocked: scenario.overflows_blocked && overflows,
            crests_blocked: scenario.crests_blocked && !model.falls.is_empty(),
            ..scenario
        }
    }

    /// Every scenario, the credible combinations, and those named by their parts.
    pub fn all(&self, named: &[Vec<&'static NamedScenario>]) -> ScenarioRuns {
        let credible = CREDIBLE
            .iter()
            .map(|names| names.iter().filter_map(|name| scenario(name)).collect::<Vec<_>>());
        let mut single = Vec::new();
        for named in &SCENARIOS {
            let run = self.of(&[named]);
            // What a stuck valve gives has nowhere else to go: that it spills then says nothing of the plan.
            let helped =
                run.outcome.as_deref().is_ok_and(Outcome::overflowed) && !named.scenario.make_up_stuck;
            single.push(run);
            if helped {
                single.push(self.of(&[named, &OVERFLOW_BLOCKED]));
            }
        }
        ScenarioRuns {
            single,
            named: named.iter().map(|parts| self.of(parts)).collect(),
            credible: credible.map(|parts| self.of(&parts)).collect(),
            missing: self.model.missing.clone(),
        }
    }

    /// One scenario or several at once.
    fn of(&self, parts: &[&'static NamedScenario]) -> ScenarioRun {
        let joined = |part: fn(&NamedScenario) -> &'static str, by: &str| {
            let words: Vec<&str> = parts.iter().map(|scenario| part(scenario)).collect();
            words.join(by)
        };
        let scenario = parts.iter().map(|named| named.scenario).reduce(Scenario::and);
        ScenarioRun {
            name: joined(|named| named.name, "+"),
            title: joined(|named| named.title, " and "),
            supposes: joined(|named| named.supposes, "; "),
            outcome: self.outcome(self.canonical(scenario.unwrap_or_default())),
        }
    }
}
