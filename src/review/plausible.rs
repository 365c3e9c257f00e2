//! Rules that wait for a value and would come out the same whatever it is, within what is plausible: judged, and told
//! as such.

use std::collections::HashMap;

use indexmap::IndexMap;

use super::{
    ReviewContext, Settled,
    allowance::Allowance,
    rests_on::{ChangedValues, RestsOn},
    trial::ValueChange,
};
use crate::{
    check::Shape,
    quantity::{Kind, Quantity},
    read::{Place, Value},
    rules::{Card, Judged, RuleOutcome, Severity, Standing},
};

/// The values a place of the plan may plausibly have.
pub(super) struct Range {
    /// To try, from one end to the other.
    pub values: Vec<Value>,
    /// The same as quantities, in SI, where they are.
    pub ends: Option<(Kind, Vec<f64>)>,
    /// In words.
    pub words: String,
}

/// Judges what waits for one value and comes out the same over its plausible range; a rule to stop for is never taken
/// as met so. The same value of several objects is tried for all of them at once; what may then rest on more than its own
/// is tried alone, as far as trials go; what is not tried stays a question.
pub(super) fn settle<'c>(
    context: &ReviewContext<'_>,
    mut judged: Vec<Judged<'c>>,
) -> (Vec<Judged<'c>>, Vec<Settled>) {
    let waiting = waiting(context, &judged);
    let mut alike: IndexMap<String, Vec<&Place>> = IndexMap::new();
    for place in waiting.keys() {
        alike
            .entry(context.book.pattern_of(place))
            .or_default()
            .push(place);
    }
    let allowance = Allowance::of(context.ledger);
    let mut outcomes: HashMap<usize, RuleOutcome> = HashMap::new();
    for places in alike.values() {
        let Some(range) = places.first().and_then(|place| range(context, place)) else {
            continue;
        };
        let tries = Tries {
            context,
            judged: &judged,
            range: &range,
        };
        let together: Vec<Waiting<'_>> = places
            .iter()
            .map(|place| (*place, waiting[*place].clone()))
            .collect();
        for one in tries.outcomes(&together, &mut outcomes) {
            if allowance.take() {
                tries.outcomes(&[one], &mut outcomes);
            }
        }
    }
    let mut settled = Vec::new();
    for (place, waiting) in &waiting {
        for index in waiting {
            let Some(outcome) = outcomes.remove(index) else {
                continue;
            };
            if !matches!(outcome, RuleOutcome::DoesNotApply) {
                let range = range(context, place).map(|range| range.words).unwrap_or_default();
                settled.push(settled_rule(context, &judged[*index], place, &outcome, range));
            }
            judged[*index].outcome = outcome;
        }
    }
    (judged, settled)
}

/// Rules that wait for a field, tried at its plausible values.
struct Tries<'a, 'c> {
    context: &'a ReviewContext<'a>,
    judged: &'a [Judged<'c>],
    range: &'a Range,
}

impl<'c> Tries<'_, 'c> {
    /// Tries places of the field together, each with what waits for it, and adds what comes out the same; gives what
    /// is to be tried alone.
    fn outcomes<'p>(
        &self,
        together: &[Waiting<'p>],
        outcomes: &mut HashMap<usize, RuleOutcome>,
    ) -> Vec<Waiting<'p>> {
        let is_one = together.len() == 1;
        let Some(tried) = self.tried(together) else {
            return if is_one { Vec::new() } else { together.to_vec() };
        };
        let mut alone = Vec::new();
        for (own, (place, waiting)) in together.iter().enumerate() {
            let mut left = Vec::new();
            for &index in waiting {
                let judged = &self.judged[index];
                let found: Option<Vec<&TriedRule>> = tried
                    .iter()
                    .map(|tried| tried.get(&(judged.card.id.as_str(), judged.object.clone())))
                    .collect();
                let Some(found) = found else { continue };
                let inside = judged.object.holds(place);
                let is_own = |rests_on: RestsOn| {
                    rests_on == RestsOn::One(own) || inside && rests_on == RestsOn::Nothing
                };
                if !is_one && !found.iter().all(|tried| is_own(tried.rests_on)) {
                    left.push(index);
                    continue;
                }
                let found: Vec<&RuleOutcome> = found.iter().map(|tried| &tried.outcome).collect();
                if let Some(outcome) = same(judged.card, &found, place) {
                    outcomes.insert(index, outcome);
                }
            }
            if !left.is_empty() {
                alone.push((*place, left));
            }
        }
        alone
    }

    /// How rules come out at each value, at places all together; none where the plan can't be read then.
    fn tried(&self, together: &[Waiting<'_>]) -> Option<Vec<TriedRules<'c>>> {
        let mut cards: IndexMap<&str, &'c Card> = IndexMap::new();
        for index in together.iter().flat_map(|(_, waiting)| waiting) {
            let card = self.judged[*index].card;
            cards.insert(&card.id, card);
        }
        let tried = self.range.values.iter().map(|value| {
            let changes = together.iter().map(|(place, _)| ValueChange {
                place: (*place).clone(),
                value: value.clone(),
            });
            let changes: Vec<ValueChange> = changes.collect();
            let trial = self.context.start().changed(&changes, None)?;
            if !trial.is_sound() {
                return None;
            }
            let places = together.iter().map(|(place, _)| *place);
            let mut values = ChangedValues::at(&trial.tree.root, &trial.ledger, places);
            let judged = trial.judged(cards.values().copied()).into_iter();
            let rules = judged.map(|judged| {
                let rests_on = values.behind(&judged);
                let outcome = judged.outcome;
                (
                    (judged.card.id.as_str(), judged.object),
                    TriedRule { outcome, rests_on },
                )
            });
            Some(rules.collect())
        });
        tried.collect()
    }
}

/// A value that is missing, and what waits for it, by its positions.
type Waiting<'p> = (&'p Place, Vec<usize>);

/// How rules came out at objects.
type TriedRules<'c> = HashMap<(&'c str, Place), TriedRule>;

/// How a rule came out, and which of the values that were tried it rests on.
struct TriedRule {
    outcome: RuleOutcome,
    rests_on: RestsOn,
}

fn settled_rule(
    context: &ReviewContext<'_>,
    judged: &Judged<'_>,
    place: &Place,
    outcome: &RuleOutcome,
    range: String,
) -> Settled {
    Settled {
        rule: judged.card.id.clone(),
        object: judged.object.clone(),
        object_name: context.name(&judged.object),
        place_name: context.name(place),
        meets: matches!(outcome, RuleOutcome::Meets(_)),
        range,
    }
}

/// What waits for one missing value alone, by that value.
fn waiting(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> IndexMap<Place, Vec<usize>> {
    let mut waiting: IndexMap<Place, Vec<usize>> = IndexMap::new();
    for (index, judged) in judged.iter().enumerate() {
        let RuleOutcome::NotShown(places) = &judged.outcome else {
            continue;
        };
        let [place] = places.as_slice() else { continue };
        // A part that is left out altogether has no plausible value.
        let held = place
            .parent()
            .is_some_and(|parent| context.tree.root.at(&parent).is_some());
        if held {
            waiting.entry(place.clone()).or_default().push(index);
        }
    }
    waiting
}

/// The values to try: the ends of the plausible range of the schema and its middle, or all the words it lists.
pub(super) fn range(context: &ReviewContext<'_>, place: &Place) -> Option<Range> {
    let field = context.book.field_at(place)?;
    if let (Some([low, high]), Some(kind)) = (&field.plausible, field.kind) {
        let (from, to) = (
            Quantity::parse(low, kind).ok()?,
            Quantity::parse(high, kind).ok()?,
        );
        let middle = f64::midpoint(from.si, to.si);
        let texts = [low.clone(), Quantity::si(middle, kind).to_string(), high.clone()];
        return Some(Range {
            values: texts.into_iter().map(Value::Text).collect(),
            ends: Some((kind, vec![from.si, middle, to.si])),
            words: format!("from {} to {}", from.show(context.units), to.show(context.units)),
        });
    }
    if field.shape == Shape::YesNo {
        return Some(Range {
            values: vec![Value::Bool(true), Value::Bool(false)],
            ends: None,
            words: "yes or no".to_owned(),
        });
    }
    let closed = field.values.len() > 1 && !field.may_be_none && field.kind.is_none();
    closed.then(|| Range {
        values: field.values.iter().cloned().map(Value::Text).collect(),
        ends: None,
        words: field.values.join(", "),
    })
}

/// What these come to: short where all fall short, by the one that does so least; met where none falls short, by the
/// one that does so least; nothing where they differ.
fn same(card: &Card, outcomes: &[&RuleOutcome], place: &Place) -> Option<RuleOutcome> {
    let short = outcomes.iter().map(|outcome| match outcome {
        RuleOutcome::FallsShort(shortfall) => Some(shortfall),
        _ => None,
    });
    if let Some(short) = short.collect::<Option<Vec<_>>>() {
        let least = short
            .into_iter()
            .max_by(|a, b| margin(&a.standing).total_cmp(&margin(&b.standing)))?;
        let mut least = least.clone();
        least.place = place.clone();
        return Some(RuleOutcome::FallsShort(least));
    }
    if card.severity == Severity::Stop {
        return None;
    }
    let met = outcomes.iter().map(|outcome| match outcome {
        RuleOutcome::Meets(standing) => Some(Some(standing)),
        RuleOutcome::DoesNotApply => Some(None),
        _ => None,
    });
    let met: Vec<&Standing> = met.collect::<Option<Vec<_>>>()?.into_iter().flatten().collect();
    let least = met.into_iter().min_by(|a, b| margin(a).total_cmp(&margin(b)));
    Some(least.map_or(RuleOutcome::DoesNotApply, |least| {
        RuleOutcome::Meets(least.clone())
    }))
}

fn margin(standing: &Standing) -> f64 {
    match standing {
        Standing::Measured {
            found, limit, side, ..
        } => side.margin(*found, *limit),
        Standing::Said { .. } => 0.0,
    }
}
