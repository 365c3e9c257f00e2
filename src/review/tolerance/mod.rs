//! How far a level, a width or a flow may drift, either way, before the review has one more thing to stop for or revise.
//!
//! Drifts are followed in the steps that a crew can tell apart. The whole review is repeated at the last one; where it is
//! worse there, the step at which the first rule gives way is closed in on, and the whole review is repeated just before it.

mod model;
mod search;

use std::collections::HashSet;

use super::{
    ReviewContext, Value,
    allowance::Allowance,
    trial::{SeriousRules, ValueChange, values_behind},
};
use crate::{
    quantity::{Kind, Quantity, UnitSystem, show_level},
    read::{self, Node, Place},
    rules::{Library, RuleOutcome},
};
pub use model::{Drift, Tolerance, Until};
use search::{DriftSearch, Drifting, level_step, level_steps, shown_level_drift};

/// Steps in which a width or flow is followed, as a share of it, and how many: a quarter of the value.
const HUNDREDTH: f64 = 0.01;
const STEPS_OF_SHARE: usize = 25;
/// Marks that a crew sets are followed half as far as values of a review: none is set farther off.
const SHORTER: usize = 2;
/// Trials that a value takes, about.
const TRIALS_EACH: usize = 10;
/// Drifts that a crew easily makes: a level by 1 in (25 mm), a width or flow by a tenth (common practice).
const WATCHED: (f64, f64) = (0.0254, 0.1);

/// The tolerances of a plan, in its order.
pub fn tolerances(context: &ReviewContext<'_>, library: &Library) -> Vec<Tolerance> {
    all(context, &SeriousRules::over(context, library), &mut Vec::new())
}

/// The tolerances of a plan by the rules that count.
///
/// Of a large plan the first values only; the others are told in `untried`.
pub(super) fn all(
    context: &ReviewContext<'_>,
    serious: &SeriousRules<'_>,
    untried: &mut Vec<String>,
) -> Vec<Tolerance> {
    let behind = serious_values(context, serious);
    let mut drifting = Vec::new();
    drifts(context, &context.tree.root, Place::root(), &behind, &mut drifting);
    let search = DriftSearch { context, serious };
    let allowance = Allowance::of(context.ledger);
    let (tried, left_out) = allowance.first_of(&drifting, TRIALS_EACH);
    if left_out > 0 {
        untried.push(format!(
            "how far {left_out} further levels, widths and flows may drift"
        ));
    }
    tried.iter().map(|value| tolerance(&search, value)).collect()
}

/// A value that may drift.
struct DriftingValue {
    place: Place,
    kind: Kind,
    now: f64,
}

impl DriftingValue {
    fn watched(&self) -> f64 {
        match self.kind {
            Kind::Level => WATCHED.0,
            _ => WATCHED.1 * self.now,
        }
    }
}

/// The values that rules to stop for or to revise rest on.
fn serious_values(context: &ReviewContext<'_>, serious: &SeriousRules<'_>) -> HashSet<Place> {
    let applies = serious
        .judged
        .iter()
        .filter(|judged| !matches!(judged.outcome, RuleOutcome::DoesNotApply));
    values_behind(&context.start(), context.ledger, applies)
}

/// Where levels that move together are let drift: a plan, and how it stands to begin with.
pub struct DriftTrials<'a> {
    context: &'a ReviewContext<'a>,
    serious: SeriousRules<'a>,
    behind: HashSet<Place>,
}

impl<'a> DriftTrials<'a> {
    /// Trials over a plan, by a library of rules.
    pub fn new(context: &'a ReviewContext<'a>, library: &'a Library) -> Self {
        let serious = SeriousRules::over(context, library);
        let behind = serious_values(context, &serious);
        Self {
            context,
            serious,
            behind,
        }
    }

    /// How far a level may drift, down where `toward` is −1 and up where it is 1. `changes` gives the values of the plan
    /// where it stands off by so much, m upward; `at` is the place that it is named by.
    pub fn level(&self, at: &Place, toward: f64, changes: &dyn Fn(f64) -> Vec<ValueChange>) -> Drift {
        let units = self.context.units;
        let drifting = Drifting {
            at,
            step: level_step(units),
            steps: level_steps(units) / SHORTER,
            changes,
        };
        let search = DriftSearch {
            context: self.context,
            serious: &self.serious,
        };
        let reach = toward * drifting.step * drifting.steps as f64;
        let side = if changes(reach)
            .iter()
            .any(|change| self.behind.contains(&change.place))
        {
            search.side(&drifting, toward)
        } else {
            search.unread_side(&drifting, toward)
        };
        search.drift(side, &drifting, &|by| shown_level_drift(by, units))
    }
}

/// The values that may drift and that rules depend on: levels, widths and flows that are built or set. What is stated or
/// lies in the ground does not drift.
fn drifts(
    context: &ReviewContext<'_>,
    node: &Node,
    at: Place,
    behind: &HashSet<Place>,
    found: &mut Vec<DriftingValue>,
) {
    match &node.value {
        read::Value::Object(members) => {
            for (key, member) in members.iter().filter(|(key, _)| !key.starts_with("x-")) {
                let given = at == Place::root()
                    && matches!(key.as_str(), "site" | "benchmark" | "accepted" | "project");
                if !given && !key.starts_with("stated") {
                    drifts(context, &member.node, at.child(key), behind, found);
                }
            }
        }
        read::Value::Text(text) if behind.contains(&at) => {
            let kind = context.book.field_at(&at).and_then(|field| field.kind);
            let is_width = at.parts().last().is_some_and(|key| key.contains("width"));
            let kind = kind.filter(|kind| match kind {
                Kind::Level | Kind::Flow => true,
                Kind::Length => is_width,
                _ => false,
            });
            let quantity = kind.and_then(|kind| Some((kind, Quantity::parse(text, kind).ok()?.si)));
            if let Some((kind, now)) = quantity.filter(|(kind, now)| *kind == Kind::Level || *now > 0.0) {
                found.push(DriftingValue { place: at, kind, now });
            }
        }
        _ => {}
    }
}

/// How far a value may drift either way.
fn tolerance(search: &DriftSearch<'_>, value: &DriftingValue) -> Tolerance {
    let units = search.context.units;
    let (step, steps) = match value.kind {
        Kind::Level => (level_step(units), level_steps(units)),
        _ => (HUNDREDTH * value.now, STEPS_OF_SHARE),
    };
    let changes = |by: f64| {
        vec![ValueChange::quantity(
            value.place.clone(),
            value.now + by,
            value.kind,
        )]
    };
    let drifting = Drifting {
        at: &value.place,
        step,
        steps,
        changes: &changes,
    };
    let side = |toward: f64| {
        let side = search.side(&drifting, toward);
        search.drift(side, &drifting, &|by| shown_drift(by, value, units))
    };
    let (down, up) = (side(-1.0), side(1.0));
    let near = [&down, &up].into_iter().filter(|drift| drift.until.is_some());
    let near = near.filter_map(|drift| drift.by.si).min_by(f64::total_cmp);
    Tolerance {
        place: value.place.clone(),
        place_name: search.context.name(&value.place),
        at: search.context.location(&value.place),
        now: Value {
            text: shown(value.now, value.kind, units),
            si: Some(value.now),
        },
        down,
        up,
        tightness: near.map(|near| near / value.watched()),
    }
}

fn shown(si: f64, kind: Kind, units: UnitSystem) -> String {
    match kind {
        Kind::Level => show_level(si, units),
        _ => Quantity::si(si, kind).show(units),
    }
}

/// A drift of a level in inches or millimetres, else in per cent of the value.
fn shown_drift(by: f64, value: &DriftingValue, units: UnitSystem) -> String {
    if value.kind == Kind::Level {
        return shown_level_drift(by, units);
    }
    format!("{:.0} %", by / value.now * 100.0)
}
