//! Cures in numbers: a value is varied until the rule passes, and the whole computation is repeated each time.
//!
//! A cure is offered only where it breaks no other rule that was kept before.

mod lever;
mod search;
mod setting;

use std::{
    cell::RefCell,
    collections::{HashMap, HashSet},
};

use super::{
    Cure, Finding, ReviewContext,
    allowance::Allowance,
    trial::{ChangedPlan, ValueChange, is_short, margin_of, scenarios_behind},
};
use crate::{
    hydraulics::Scenario,
    read::{Node, Place, Value, written_assignment},
    rules::{Adjustment, Card, Judged, Lever, RuleOutcome, Shortfall, Standing, Subject},
};
use lever::AdjustableValue;
pub(super) use lever::rounded;

/// Values of a lever that are tried for one finding, at most.
const MOST_PLACES: usize = 4;

/// Trials that a finding may take: one more is begun only where as many are left.
const TRIALS_EACH: usize = 60;

/// Works out the cures of every finding that is the cause of its fault: what only follows is mended with it. Gives how many
/// findings of a large plan were left out.
pub(super) fn work_out(
    context: &ReviewContext<'_>,
    cards: &[Card],
    judged: &[Judged<'_>],
    margins: &Margins,
    findings: &mut [Finding],
) -> usize {
    let allowance = Allowance::of(context.ledger);
    let cure_search = CureSearch::new(context, cards, judged, &allowance).keeping(margins);
    let short = judged.iter().filter(|judged| is_short(judged));
    let short: HashMap<(&str, &Place), &Judged<'_>> = short
        .map(|judged| ((judged.card.id.as_str(), &judged.object), judged))
        .collect();
    let mut left_out = 0;
    for finding in findings.iter_mut().filter(|finding| finding.follows.is_none()) {
        let Some(judged) = short.get(&(finding.rule.as_str(), &finding.object)) else {
            continue;
        };
        if allowance.left() < TRIALS_EACH {
            left_out += usize::from(CureSearch::can_be_varied(judged));
        } else {
            finding.cures = cure_search.cures(judged);
        }
    }
    left_out
}

/// The cures of one finding, by its rule and object.
pub(super) fn of_one(
    context: &ReviewContext<'_>,
    cards: &[Card],
    judged: &[Judged<'_>],
    rule: &str,
    object: &Place,
) -> Vec<Cure> {
    let own = |judged: &&Judged<'_>| judged.card.id == rule && judged.object == *object;
    let found = judged.iter().find(own);
    let allowance = Allowance::of(context.ledger);
    found
        .map(|found| CureSearch::new(context, cards, judged, &allowance).cures(found))
        .unwrap_or_default()
}

/// Where cures are worked out: the plan as it is, and what falls short in it.
pub(super) struct CureSearch<'a> {
    context: &'a ReviewContext<'a>,
    cards: &'a [Card],
    short: HashSet<(&'a str, &'a Place)>,
    allowance: &'a Allowance,
    margins: Option<&'a Margins>,
}

/// Margins of rules with a value changed: several searches over one plan try the same.
#[derive(Default)]
pub(super) struct Margins(RefCell<HashMap<MarginKey, Option<f64>>>);

/// Rule, object, place of the lever and setting.
type MarginKey = (String, Place, Place, String);

/// A cure, and the first rule that it would break.
struct TriedCure {
    cure: Cure,
    breaks: Option<String>,
}

impl TriedCure {
    fn into_cure(mut self) -> Cure {
        if let Some(rule) = self.breaks {
            self.cure.text.push_str(&format!("; {rule} then falls short"));
        }
        self.cure
    }
}

impl<'a> CureSearch<'a> {
    /// A search over a judged plan.
    pub fn new(
        context: &'a ReviewContext<'a>,
        cards: &'a [Card],
        judged: &'a [Judged<'_>],
        allowance: &'a Allowance,
    ) -> Self {
        Self {
            context,
            cards,
            short: shortfalls(judged).collect(),
            allowance,
            margins: None,
        }
    }

    /// The same search, which keeps what it works out, and takes what others over the plan have.
    pub fn keeping(self, margins: &'a Margins) -> Self {
        Self {
            margins: Some(margins),
            ..self
        }
    }

    /// Whether a rule that falls short is measured and has a lever that varies a value.
    fn can_be_varied(judged: &Judged<'_>) -> bool {
        let measured = margin_of(&judged.outcome).is_some();
        measured && judged.card.levers.iter().any(|lever| lever.adjustment.is_some())
    }

    /// The cures in numbers of a rule that falls short: one for each value that cures it alone; where none does, those
    /// that would break another rule, and which.
    fn cures(&self, judged: &Judged<'_>) -> Vec<Cure> {
        let RuleOutcome::FallsShort(Shortfall {
            standing: Standing::Measured { .. },
            ..
        }) = &judged.outcome
        else {
            return Vec::new();
        };
        let levers = judged.card.levers.iter();
        let varied = levers.filter_map(|lever| Some((lever, lever.adjustment.as_ref()?)));
        let cures: Vec<TriedCure> = varied
            .flat_map(|(lever, adjustment)| self.adjusted(judged, lever, adjustment))
            .collect();
        let clean = cures.iter().any(|cure| cure.breaks.is_none());
        let offered = cures.into_iter().filter(|cure| cure.breaks.is_none() || !clean);
        offered.map(TriedCure::into_cure).collect()
    }

    /// A lever applied at each of its places.
    fn adjusted(&self, judged: &Judged<'_>, lever: &Lever, adjustment: &Adjustment) -> Vec<TriedCure> {
        let places = self.places(judged, &adjustment.pattern);
        let few = places.iter().take(MOST_PLACES);
        few.filter_map(|place| self.at(judged, lever, adjustment, place))
            .collect()
    }

    /// A lever applied at one place: the first setting that breaks nothing, else the least that meets.
    fn at(
        &self,
        judged: &Judged<'_>,
        lever: &Lever,
        adjustment: &Adjustment,
        place: &Place,
    ) -> Option<TriedCure> {
        let adjustable = AdjustableValue::of(self.context, place, adjustment.direction)?;
        let mut found: Option<TriedCure> = None;
        let now = margin_of(&judged.outcome)?;
        let scenarios = scenarios_behind(self.context.ledger, judged);
        let margin = |text: &str| self.known_margin(judged, place, text, &scenarios);
        for text in search::least(&adjustable, now, margin) {
            let Some(breaks) = self.breaks(judged, place, &text) else {
                continue;
            };
            let (name, from) = (self.context.name(place), adjustable.shown_now());
            let change = setting::change(self.context, place, &text)?;
            let cure = Cure {
                text: format!("{}: {name} {text} instead of {from}", lever.words),
                set: self.settable(&change),
                value: match change.value {
                    Value::Object(_) => change.value.to_json().to_string(),
                    _ => text,
                },
                place: change.place,
            };
            let breaks = breaks.into_iter().next();
            if breaks.is_none() {
                return Some(TriedCure { cure, breaks });
            }
            found.get_or_insert(TriedCure { cure, breaks });
        }
        found
    }

    /// The context that is searched.
    pub fn context(&self) -> &'a ReviewContext<'a> {
        self.context
    }

    /// The settings of a lever that may close a rule, the least first, at each place that it names.
    pub fn settings(&self, judged: &Judged<'_>, adjustment: &Adjustment) -> Vec<Vec<ValueChange>> {
        let places = self.places(judged, &adjustment.pattern);
        let few = places.into_iter().take(MOST_PLACES);
        few.filter_map(|place| {
            let adjustable = AdjustableValue::of(self.context, &place, adjustment.direction)?;
            let scenarios = scenarios_behind(self.context.ledger, judged);
            let texts = match margin_of(&judged.outcome) {
                Some(now) => search::least(&adjustable, now, |text| {
                    self.known_margin(judged, &place, text, &scenarios)
                }),
                None => search::first(&adjustable, |text| {
                    self.known(judged, &place, text, || {
                        Some(if self.closes(judged, &place, text) {
                            1.0
                        } else {
                            -1.0
                        })
                    }) == Some(1.0)
                }),
            };
            let change = |text: &String| setting::change(self.context, &place, text);
            Some(texts.iter().filter_map(change).collect())
        })
        .collect()
    }

    /// Whether a rule falls short no more with a value changed.
    fn closes(&self, judged: &Judged<'_>, place: &Place, text: &str) -> bool {
        let Some(changed) = self.changed(place, text, None).filter(ChangedPlan::is_sound) else {
            return false;
        };
        let outcome = changed.judged_at(judged.card, &judged.object);
        matches!(outcome, Some(RuleOutcome::Meets(_) | RuleOutcome::DoesNotApply))
    }

    /// The values of the plan that a lever turns: the object's own, or those of a pattern that the figure rests on.
    pub fn places(&self, judged: &Judged<'_>, pattern: &str) -> Vec<Place> {
        if !pattern.starts_with('/') {
            return vec![judged.object.join(pattern)];
        }
        if !pattern.contains('*') {
            return vec![Place::from_pointer(pattern)];
        }
        let Subject::Figure(definition) = &judged.card.asks.subject else {
            return Vec::new();
        };
        let figure = self.context.ledger.get(&judged.object, definition.name);
        let roots = figure
            .map(|figure| self.context.ledger.roots(figure))
            .unwrap_or_default();
        let mut places: Vec<Place> = roots.iter().filter_map(|root| within(root, pattern)).collect();
        places.sort();
        places.dedup();
        if places.is_empty() {
            // What is not there yet was read by nothing.
            places = expanded(&self.context.tree.root, pattern);
        }
        places
    }

    /// The margin with a value changed, by the scenarios that the rule was read from or, where they are not enough, by all.
    fn known_margin(
        &self,
        judged: &Judged<'_>,
        place: &Place,
        text: &str,
        scenarios: &[Scenario],
    ) -> Option<f64> {
        self.known(judged, place, text, || {
            let few = self.margin(judged, place, text, Some(scenarios));
            few.or_else(|| self.margin(judged, place, text, None))
        })
    }

    /// What is known of a rule with a value changed, worked out where it is not yet.
    fn known(
        &self,
        judged: &Judged<'_>,
        place: &Place,
        text: &str,
        work_out: impl FnOnce() -> Option<f64>,
    ) -> Option<f64> {
        let Some(margins) = self.margins else {
            return work_out();
        };
        let of = (
            judged.card.id.clone(),
            judged.object.clone(),
            place.clone(),
            text.to_owned(),
        );
        if let Some(known) = margins.0.borrow().get(&of) {
            return *known;
        }
        let margin = work_out();
        margins.0.borrow_mut().insert(of, margin);
        margin
    }

    /// How far the rule is from its limit with a value changed; positive where it is met, none where it can't be
    /// computed. Where scenarios are named, no others are followed.
    fn margin(
        &self,
        judged: &Judged<'_>,
        place: &Place,
        text: &str,
        only: Option<&[Scenario]>,
    ) -> Option<f64> {
        let trial = self.changed(place, text, only)?;
        margin_of(&trial.judged_at(judged.card, &judged.object)?)
    }

    /// The rules that a value breaks once it is changed; none where the plan can't be read then, or the rule is not
    /// met by it.
    fn breaks(&self, judged: &Judged<'_>, place: &Place, text: &str) -> Option<Vec<String>> {
        let trial = self.changed(place, text, None)?;
        if !trial.is_sound() {
            return None;
        }
        let again = trial.judged(self.cards);
        let mut broken = Vec::new();
        for short in shortfalls(&again) {
            if short == (judged.card.id.as_str(), &judged.object) {
                return None;
            }
            if !self.short.contains(&short) {
                broken.push(format!("{} at {}", short.0, self.context.name(short.1)));
            }
        }
        Some(broken)
    }

    fn changed(&self, place: &Place, text: &str, only: Option<&[Scenario]>) -> Option<ChangedPlan> {
        let change = setting::change(self.context, place, text)?;
        if !self.allowance.take() {
            return None;
        }
        self.context.start().changed(&[change], only)
    }

    /// What sets the value from the command line. A patch replaces a list as a whole, so nothing within one.
    fn settable(&self, change: &ValueChange) -> Option<String> {
        let mut above = change.place.parent();
        while let Some(holder) = above {
            if matches!(self.context.tree.root.at(&holder)?.value, Value::List(_)) {
                return None;
            }
            above = holder.parent();
        }
        written_assignment(&change.place, &change.value)
    }
}

/// The rules that fall short, by object.
fn shortfalls<'j>(judged: &'j [Judged<'_>]) -> impl Iterator<Item = (&'j str, &'j Place)> {
    judged
        .iter()
        .filter(|judged| matches!(judged.outcome, RuleOutcome::FallsShort(_)))
        .map(|judged| (judged.card.id.as_str(), &judged.object))
}

/// The places of a plan that a pattern names; the last of a pattern need not stand there.
fn expanded(tree: &Node, pattern: &str) -> Vec<Place> {
    let mut parts = pattern.trim_start_matches('/').split('/').peekable();
    let mut places = vec![Place::root()];
    while let Some(part) = parts.next() {
        let members = places.iter().flat_map(|place| -> Vec<Place> {
            match tree.at(place).map(|node| &node.value) {
                Some(Value::Object(members)) if part == "*" => {
                    members.keys().map(|key| place.child(key)).collect()
                }
                Some(Value::Object(members)) if members.contains_key(part) || parts.peek().is_none() => {
                    vec![place.child(part)]
                }
                _ => Vec::new(),
            }
        });
        places = members.collect();
    }
    places
}

/// The place that a pattern names on the way to a place or at it; `*` stands for any id.
fn within(place: &Place, pattern: &str) -> Option<Place> {
    let mut at = Place::root();
    let mut parts = place.parts();
    for wanted in pattern.trim_start_matches('/').split('/') {
        let part = parts.next()?;
        if wanted != "*" && wanted != part {
            return None;
        }
        at = at.child(&part);
    }
    Some(at)
}
