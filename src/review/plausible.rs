//! Rules that wait for a value and would come out the same whatever it is, within what is plausible: judged, and told
//! as such.

use indexmap::IndexMap;

use super::{ReviewContext, Settled, trial::ValueChange};
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
/// as met so.
pub(super) fn settle<'c>(
    context: &ReviewContext<'_>,
    mut judged: Vec<Judged<'c>>,
) -> (Vec<Judged<'c>>, Vec<Settled>) {
    let mut settled = Vec::new();
    for (place, waiting) in waiting(context, &judged) {
        let Some(range) = range(context, &place) else {
            continue;
        };
        let rules: Vec<Card> = waiting.iter().map(|&index| judged[index].card.clone()).collect();
        let Some(tries) = tries(context, &rules, &place, &range) else {
            continue;
        };
        for index in waiting {
            let outcomes: Option<Vec<&RuleOutcome>> = tries
                .iter()
                .map(|tried| outcome_of(tried, &judged[index]))
                .collect();
            let Some(outcome) = outcomes.and_then(|outcomes| same(judged[index].card, &outcomes, &place))
            else {
                continue;
            };
            if !matches!(outcome, RuleOutcome::DoesNotApply) {
                settled.push(settled_rule(context, &judged[index], &place, &outcome, &range));
            }
            judged[index].outcome = outcome;
        }
    }
    (judged, settled)
}

fn settled_rule(
    context: &ReviewContext<'_>,
    judged: &Judged<'_>,
    place: &Place,
    outcome: &RuleOutcome,
    range: &Range,
) -> Settled {
    Settled {
        rule: judged.card.id.clone(),
        object: judged.object.clone(),
        object_name: context.name(&judged.object),
        place_name: context.name(place),
        meets: matches!(outcome, RuleOutcome::Meets(_)),
        range: range.words.clone(),
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

/// The rules judged at each value; none where the plan can't be read with one.
fn tries<'c>(
    context: &ReviewContext<'_>,
    rules: &'c [Card],
    place: &Place,
    range: &Range,
) -> Option<Vec<Vec<Judged<'c>>>> {
    let tried = range.values.iter().map(|value| {
        let change = ValueChange {
            place: place.clone(),
            value: value.clone(),
        };
        let trial = context.start().changed(&[change], None)?;
        trial.is_sound().then(|| trial.judged(rules))
    });
    tried.collect()
}

fn outcome_of<'t>(tried: &'t [Judged<'_>], waiting: &Judged<'_>) -> Option<&'t RuleOutcome> {
    let same = |judged: &&Judged<'_>| judged.card.id == waiting.card.id && judged.object == waiting.object;
    tried.iter().find(same).map(|judged| &judged.outcome)
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
