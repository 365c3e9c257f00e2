//! Levels in every case: the plan's water followed in time through ordinary running and every failure.

mod model;
mod outcome;
mod scenario;
mod setup;
mod tables;
mod worst;

pub(crate) use model::HydraulicModel;
pub(crate) use outcome::follow;
pub use outcome::{BasinOutcome, LostAt, LostBy, Outcome, Reached, Siphoned, Stopped};
pub use scenario::{Begins, CASES, Case, Scenario, case};
pub(crate) use setup::make_up_flow;
pub use worst::{CREDIBLE, WHY_CREDIBLE, worst};

use super::components::storage;
use crate::{ledger::Gap, plan::Plan, read::Place};

/// A case followed, or why it can't be.
#[derive(Clone, Debug)]
pub struct Followed {
    /// Its name; names of combined cases are joined by `+`.
    pub name: String,
    /// What it is called.
    pub title: String,
    /// What it supposes, in words.
    pub supposes: String,
    /// What it came to.
    pub outcome: Result<Outcome, Gap>,
}

/// Every case of a plan, the combinations asked for, and those that are credible.
#[derive(Clone, Debug)]
pub struct Cases {
    /// The cases, in the order they are told.
    pub single: Vec<Followed>,
    /// The combinations asked for.
    pub asked: Vec<Followed>,
    /// Combinations of two that go together.
    pub credible: Vec<Followed>,
    /// Basins that no case can follow, and why.
    pub missing: Vec<(Place, Gap)>,
}

impl Cases {
    /// Every case followed.
    pub fn all(&self) -> impl Iterator<Item = &Followed> {
        self.single.iter().chain(&self.asked).chain(&self.credible)
    }
}

/// Follows every case of a plan, and combinations by the names of their parts.
pub fn cases(plan: &Plan, asked: &[Vec<&'static Case>]) -> Cases {
    let vessels = storage::all(plan);
    let system = super::steady::solve(plan, &vessels);
    let works = HydraulicModel::of(plan, &vessels, &system);
    let credible: Vec<Vec<&'static Case>> = CREDIBLE
        .iter()
        .map(|names| names.iter().filter_map(|name| case(name)).collect())
        .collect();
    let all = |combinations: &[Vec<&'static Case>]| {
        combinations.iter().map(|parts| followed(&works, parts)).collect()
    };
    Cases {
        single: CASES.iter().map(|case| followed(&works, &[case])).collect(),
        asked: all(asked),
        credible: all(&credible),
        missing: works.missing.clone(),
    }
}

/// Follows one case or several at once.
fn followed(works: &HydraulicModel<'_>, parts: &[&'static Case]) -> Followed {
    let joined = |part: fn(&Case) -> &'static str, by: &str| {
        let words: Vec<&str> = parts.iter().map(|case| part(case)).collect();
        words.join(by)
    };
    let scenario = parts.iter().map(|case| case.scenario).reduce(Scenario::and);
    let outcome = if works.basins.is_empty() {
        let gaps = works.missing.iter().map(|(_, gap)| gap.clone());
        let none = Gap::NotShown(vec![Place::root().child("basins")]);
        Err(gaps.reduce(Gap::and).unwrap_or(none))
    } else {
        follow(works, scenario.unwrap_or_default())
    };
    Followed {
        name: joined(|case| case.name, "+"),
        title: joined(|case| case.title, " and "),
        supposes: joined(|case| case.supposes, "; "),
        outcome,
    }
}
