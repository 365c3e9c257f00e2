//! What was followed already, kept by its content: trials that leave the water as it is follow nothing twice.

use std::{cell::RefCell, collections::HashMap, rc::Rc};

use super::scenario::{OVERFLOW_BLOCKED, Scenario};
use crate::formulas::routing::{Routing, Settings, TimeSeries};

/// Time series by the routing that they came of. Two routings with the same stores, links and levels are one.
/// A clone shares what is kept.
#[derive(Clone, Debug, Default)]
pub struct Memo(Rc<RefCell<Kept>>);

/// Time series by the fingerprint of their routing.
type Kept = HashMap<u64, Rc<TimeSeries>>;

/// Time series kept from one version of a plan to the next, at most: some dozens of versions.
const MOST_KEPT: usize = 1000;

impl Memo {
    /// The same memo for the next version of a plan; what is kept is forgotten where it has become much.
    #[must_use]
    pub fn carried(&self) -> Self {
        let mut kept = self.0.borrow_mut();
        if kept.len() > MOST_KEPT {
            kept.clear();
        }
        drop(kept);
        self.clone()
    }

    /// What a routing comes to, followed where it was not yet.
    pub(super) fn series(&self, routing: &Routing<'_>) -> Rc<TimeSeries> {
        let key = routing.fingerprint();
        if let Some(known) = self.0.borrow().get(&key) {
            return Rc::clone(known);
        }
        let series = Rc::new(routing.run(&Settings::default()));
        self.0.borrow_mut().insert(key, Rc::clone(&series));
        series
    }
}

/// Why there is nothing to read of a scenario that a trial leaves out.
pub const NOT_FOLLOWED: &str = "this scenario is not followed here";

/// How scenarios are followed: with what is known of them, and which of them.
#[derive(Clone, Copy, Debug, Default)]
pub struct Followed<'t> {
    /// What was followed before.
    pub memo: Option<&'t Memo>,
    /// The scenarios that are followed, with overflows blocked too; all of them where none is named.
    pub only: Option<&'t [Scenario]>,
}

impl Followed<'_> {
    /// Whether a scenario is followed.
    pub(super) fn wants(&self, scenario: Scenario) -> bool {
        let same =
            |wanted: &Scenario| *wanted == scenario || wanted.and(OVERFLOW_BLOCKED.scenario) == scenario;
        self.only.is_none_or(|only| only.iter().any(same))
    }
}
