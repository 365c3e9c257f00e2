//! How far a level, a width or a flow may drift, either way, before the review has one more thing to stop for or revise.
//!
//! The whole review is repeated at the far end; where it is worse there, the place where the first rule gives way is
//! closed in on, and the whole review is repeated just before it.

use std::collections::HashSet;

use serde::Serialize;

use super::{
    Location, Review, ReviewContext, Value,
    allowance::Allowance,
    trial::{
        ChangedPlan, SeriousRules, ValueChange, as_written, is_short, margin_of, scenarios_behind,
        values_behind,
    },
};
use crate::{
    hydraulics::Scenario,
    quantity::{Kind, Quantity, UnitSystem, feet_inches, show_level},
    read::{self, Node, Place},
    rules::{Card, Judged, Library, RuleOutcome, Severity},
};

/// How far levels are followed, m: 4 in.
const REACH_OF_LEVEL: f64 = 0.1016;
/// How far widths and flows are followed, as a share of the value.
const REACH_OF_SHARE: f64 = 0.25;
/// The place is closed in on to this, m, or this share of the value.
const CLOSE: (f64, f64) = (0.0005, 0.002);
/// Tries to close in on it, at most.
const TRIES: usize = 24;
/// Trials that a value takes, about.
const TRIALS_EACH: usize = 10;
/// Drifts that a crew easily makes: a level by 1 in (25 mm), a width or flow by a tenth (common practice).
const WATCHED: (f64, f64) = (0.0254, 0.1);

/// How far a value of the plan may drift.
#[derive(Clone, Debug, Serialize)]
pub struct Tolerance {
    /// The value.
    pub place: Place,
    /// The value in words.
    pub place_name: String,
    /// Where it stands.
    pub at: Location,
    /// What the plan gives.
    pub now: Value,
    /// How far it may drift down.
    pub down: Drift,
    /// How far it may drift up.
    pub up: Drift,
    /// The nearer of the two as a share of what a crew easily misses by; under 1 it is watched on site. None where nothing
    /// gives way as far as it was followed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tightness: Option<f64>,
}

/// How far a value may drift one way.
#[derive(Clone, Debug, Serialize)]
pub struct Drift {
    /// So far the review is no worse; rounded down.
    pub by: Value,
    /// What gives way beyond it; none where nothing does as far as it was followed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<Until>,
}

/// What gives way once a value has drifted too far.
#[derive(Clone, Debug, Serialize)]
pub struct Until {
    /// The drift at which it was seen to, in SI.
    pub seen_at: f64,
    /// The rule; none where the plan contradicts itself there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// How bad.
    pub severity: Severity,
    /// What it is, in words.
    pub title: String,
    /// Where, in words.
    pub object_name: String,
}

impl Tolerance {
    /// Whether a crew easily misses by more.
    pub fn is_watched(&self) -> bool {
        self.tightness.is_some_and(|share| share < 1.0)
    }
}

impl Review {
    /// What is watched on site, the tightest first.
    pub fn watched(&self) -> Vec<&Tolerance> {
        let mut watched: Vec<&Tolerance> = self.tolerances.iter().filter(|one| one.is_watched()).collect();
        let tightness = |one: &Tolerance| one.tightness.unwrap_or(f64::INFINITY);
        watched.sort_by(|a, b| tightness(a).total_cmp(&tightness(b)));
        watched
    }
}

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
    let applies = serious
        .judged
        .iter()
        .filter(|judged| !matches!(judged.outcome, RuleOutcome::DoesNotApply));
    let behind = values_behind(&context.start(), context.ledger, applies);
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
    tried.iter().map(|value| search.tolerance(value)).collect()
}

/// A value that may drift.
struct Drifting {
    place: Place,
    kind: Kind,
    now: f64,
}

impl Drifting {
    fn reach(&self) -> f64 {
        match self.kind {
            Kind::Level => REACH_OF_LEVEL,
            _ => REACH_OF_SHARE * self.now,
        }
    }

    fn close(&self) -> f64 {
        match self.kind {
            Kind::Level => CLOSE.0,
            _ => CLOSE.1 * self.now,
        }
    }

    fn watched(&self) -> f64 {
        match self.kind {
            Kind::Level => WATCHED.0,
            _ => WATCHED.1 * self.now,
        }
    }
}

/// The values that may drift and that rules depend on: levels, widths and flows that are built or set. What is stated or
/// lies in the ground does not drift.
fn drifts(
    context: &ReviewContext<'_>,
    node: &Node,
    at: Place,
    behind: &HashSet<Place>,
    found: &mut Vec<Drifting>,
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
                found.push(Drifting { place: at, kind, now });
            }
        }
        _ => {}
    }
}

/// The search for tolerances of one plan.
struct DriftSearch<'a> {
    context: &'a ReviewContext<'a>,
    serious: &'a SeriousRules<'a>,
}

/// What gives way.
enum Fault<'a> {
    /// A rule at an object, and how far it is from its limit where that is measured.
    Rule {
        card: &'a Card,
        object: Place,
        margin: Option<f64>,
    },
    /// The plan can't be so.
    Unsound,
}

impl<'a> DriftSearch<'a> {
    fn tolerance(&self, value: &Drifting) -> Tolerance {
        let (down, up) = (self.side(value, -1.0), self.side(value, 1.0));
        let near = [&down, &up].into_iter().filter(|drift| drift.until.is_some());
        let near = near.filter_map(|drift| drift.by.si).min_by(f64::total_cmp);
        Tolerance {
            place: value.place.clone(),
            place_name: self.context.name(&value.place),
            at: self.context.location(&value.place),
            now: Value {
                text: shown(value.now, value.kind, self.context.units),
                si: Some(value.now),
            },
            down,
            up,
            tightness: near.map(|near| near / value.watched()),
        }
    }

    /// How far a value may drift in one direction.
    fn side(&self, value: &Drifting, toward: f64) -> Drift {
        let reach = value.reach();
        let Some(mut fault) = self.fault(value, toward * reach) else {
            return self.drift(value, reach, None);
        };
        let mut outside = reach;
        let mut inside = 0.0;
        for _ in 0..TRIES {
            (inside, outside) = self.closed_in(value, toward, &fault, (inside, outside));
            // Another rule may give way before this one.
            match self.fault(value, toward * inside) {
                Some(earlier) if inside > 0.0 => (fault, outside, inside) = (earlier, inside, 0.0),
                _ => break,
            }
        }
        self.drift(value, inside, Some((outside, &fault)))
    }

    /// The least drift seen at which a rule gives way, and the most at which it does not.
    fn closed_in(
        &self,
        value: &Drifting,
        toward: f64,
        fault: &Fault<'a>,
        (mut inside, mut outside): (f64, f64),
    ) -> (f64, f64) {
        let scenarios = match fault {
            Fault::Rule { card, object, .. } => self
                .judged_as(card, object)
                .map(|judged| scenarios_behind(self.context.ledger, judged)),
            Fault::Unsound => Some(Vec::new()),
        };
        // Margins at both ends, the one that has stood twice halved: regula falsi with the Illinois rule.
        let mut margins = match fault {
            Fault::Rule { card, object, margin } => {
                let now = self
                    .judged_as(card, object)
                    .and_then(|judged| margin_of(&judged.outcome));
                now.filter(|_| inside == 0.0).zip(*margin)
            }
            Fault::Unsound => None,
        };
        for _ in 0..TRIES {
            if outside - inside <= value.close() {
                break;
            }
            let share = margins.map_or(0.5, |(met, short)| met / (met - short));
            let room = (0.5 * value.close() / (outside - inside)).min(0.45);
            let next = inside + (outside - inside) * share.clamp(room, 1.0 - room);
            let (held, margin) = self.holds(value, toward * next, fault, scenarios.as_deref());
            margins = margins.zip(margin).map(|((met, short), margin)| {
                if held {
                    (margin, short / 2.0)
                } else {
                    (met / 2.0, margin)
                }
            });
            if held {
                inside = next;
            } else {
                outside = next;
            }
        }
        (inside, outside)
    }

    /// Whether what gives way further on still holds at a drift, and its margin.
    fn holds(
        &self,
        value: &Drifting,
        by: f64,
        fault: &Fault<'a>,
        only: Option<&[Scenario]>,
    ) -> (bool, Option<f64>) {
        let Some(trial) = self.trial(value, by, only) else {
            return (false, None);
        };
        match fault {
            Fault::Unsound => (trial.is_sound(), None),
            Fault::Rule { card, object, .. } => match trial.judged_at(card, object) {
                // Other scenarios are needed than at first: all are followed.
                Some(RuleOutcome::NotComputed(_)) if only.is_some() => self.holds(value, by, fault, None),
                Some(outcome @ RuleOutcome::FallsShort(_)) => (false, margin_of(&outcome)),
                Some(outcome) => (true, margin_of(&outcome)),
                None => (true, None),
            },
        }
    }

    /// The first new fault of the whole review at a drift: the one that, by a straight line, gave way earliest.
    fn fault(&self, value: &Drifting, by: f64) -> Option<Fault<'a>> {
        let change = Self::change(value, by);
        let Some(tried) = self.serious.tried(&self.context.start(), &[change]) else {
            return Some(Fault::Unsound);
        };
        let new = tried.into_iter();
        let new = new.filter(|judged| is_short(judged) && !self.serious.was_short(judged));
        let faults = new.map(|judged| {
            let now = self.judged_as(judged.card, &judged.object);
            let met = now.and_then(|now| margin_of(&now.outcome));
            let margin = margin_of(&judged.outcome);
            let share = met.zip(margin).map_or(0.5, |(met, short)| met / (met - short));
            let fault = Fault::Rule {
                card: judged.card,
                object: judged.object,
                margin,
            };
            (share, fault)
        });
        faults
            .min_by(|(a, _), (b, _)| a.total_cmp(b))
            .map(|(_, fault)| fault)
    }

    /// How a rule came out at an object before anything drifted.
    fn judged_as(&self, card: &Card, object: &Place) -> Option<&'a Judged<'a>> {
        let same = |judged: &&Judged<'_>| judged.card.id == card.id && judged.object == *object;
        self.serious.judged.iter().find(same)
    }

    fn trial(&self, value: &Drifting, by: f64, only: Option<&[Scenario]>) -> Option<ChangedPlan> {
        self.context.start().changed(&[Self::change(value, by)], only)
    }

    fn change(value: &Drifting, by: f64) -> ValueChange {
        ValueChange {
            place: value.place.clone(),
            value: read::Value::Text(as_written(value.now + by, value.kind)),
        }
    }

    fn drift(&self, value: &Drifting, by: f64, until: Option<(f64, &Fault<'_>)>) -> Drift {
        let until = until.map(|(seen_at, fault)| match fault {
            Fault::Rule { card, object, .. } => Until {
                seen_at,
                rule: Some(card.id.clone()),
                severity: card.severity,
                title: card.title.clone(),
                object_name: self.context.name(object),
            },
            Fault::Unsound => Until {
                seen_at,
                rule: None,
                severity: Severity::Revise,
                title: "the plan contradicts itself".to_owned(),
                object_name: self.context.name(&value.place),
            },
        });
        Drift {
            by: Value {
                text: shown_drift(by, value, self.context.units),
                si: Some(by),
            },
            until,
        }
    }
}

fn shown(si: f64, kind: Kind, units: UnitSystem) -> String {
    match kind {
        Kind::Level => show_level(si, units),
        _ => Quantity::si(si, kind).show(units),
    }
}

/// A drift rounded down: of a level to 1/8 in (1 mm), else to a per cent of the value.
fn shown_drift(by: f64, value: &Drifting, units: UnitSystem) -> String {
    if value.kind != Kind::Level {
        let percent = (by / value.now * 100.0 + 1e-9).floor();
        return format!("{percent:.0} %");
    }
    match units {
        UnitSystem::Us => feet_inches(((by / EIGHTH) + 1e-9).floor() * EIGHTH),
        UnitSystem::Si => format!("{:.0} mm", (by * 1000.0 + 1e-9).floor()),
    }
}

/// An eighth of an inch, m.
const EIGHTH: f64 = 0.0254 / 8.0;
