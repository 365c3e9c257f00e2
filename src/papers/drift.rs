//! How far a mark may drift: as far as the review lets the values that a shot on it sets, and no farther than the plan’s own
//! tolerance.

use std::{cell::RefCell, collections::HashMap};

use crate::{
    papers::{
        level_changes::{BuiltValue, built_values},
        marks::{Mark, Target},
    },
    plan::{Measure, Plan},
    read::Place,
    review::{DriftTrials, ReviewContext, ValueChange},
    rules::Library,
};

/// How far a mark may drift one way.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkDrift {
    /// So far, m: a whole number of the steps that a crew can tell apart.
    pub room: f64,
    /// Whether nothing falls short as far as it was followed.
    pub is_widest: bool,
    /// What falls short beyond it, in words.
    pub first: Option<String>,
}

/// Which way a mark drifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Downward.
    Low,
    /// Upward.
    High,
}

/// Where marks are let drift.
pub struct MarkDrifts<'a> {
    plan: &'a Plan,
    trials: DriftTrials<'a>,
    /// Crests, both ends of which drift alike.
    crests: RefCell<HashMap<(Place, Side), MarkDrift>>,
}

impl<'a> MarkDrifts<'a> {
    /// Drifts over a plan, by a library of rules.
    pub fn new(context: &'a ReviewContext<'a>, library: &'a Library) -> Self {
        Self {
            plan: context.plan,
            trials: DriftTrials::new(context, library),
            crests: RefCell::default(),
        }
    }

    /// How far a mark may drift one way; none for a mark that no value of the plan stands behind.
    pub fn of(&self, marks: &[Mark], mark: &Mark, side: Side) -> Option<MarkDrift> {
        let place = match &mark.target {
            Target::Computed => return None,
            Target::Value(place) | Target::Height { place, .. } => {
                return Some(self.tried(marks, mark, place, side));
            }
            Target::CrestEnd(place) => place,
        };
        let key = (place.clone(), side);
        let known = self.crests.borrow().get(&key).cloned();
        Some(known.unwrap_or_else(|| {
            let drift = self.crest_end(marks, mark, place, side);
            self.crests.borrow_mut().insert(key, drift.clone());
            drift
        }))
    }

    /// An end of a crest, which the plan’s own tolerance holds too.
    fn crest_end(&self, marks: &[Mark], mark: &Mark, crest: &Place, side: Side) -> MarkDrift {
        let drift = self.tried(marks, mark, crest, side);
        match own_tolerance(self.plan, mark) {
            Some(own) if own < drift.room => MarkDrift {
                room: own,
                is_widest: false,
                first: Some("the plan’s own tolerance of the crest".to_owned()),
            },
            _ => drift,
        }
    }

    fn tried(&self, marks: &[Mark], mark: &Mark, at: &Place, side: Side) -> MarkDrift {
        let toward = match side {
            Side::Low => -1.0,
            Side::High => 1.0,
        };
        let changes = |by: f64| -> Vec<ValueChange> {
            let off = HashMap::from([(mark.id.as_str(), by)]);
            let values = built_values(self.plan, marks, &off);
            values.iter().map(BuiltValue::exact).collect()
        };
        let drift = self.trials.level(at, toward, &changes);
        MarkDrift {
            room: drift.by.si.unwrap_or(0.0),
            is_widest: drift.until.is_none(),
            first: drift.until.map(|until| until.title),
        }
    }
}

/// The tolerance that the plan itself gives a mark, m: of a crest.
pub(super) fn own_tolerance(plan: &Plan, mark: &Mark) -> Option<f64> {
    let Target::CrestEnd(place) = &mark.target else {
        return None;
    };
    let mut falls = plan.falls.values();
    let fall = falls.find(|fall| fall.crest.given().is_some_and(|crest| crest.place == *place))?;
    Some(fall.level_tolerance.value()?.si())
}
