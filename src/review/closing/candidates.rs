//! Changes that may close a finding: each lever of its rule, at each place that it names.

use crate::{
    quantity::{Kind, Quantity},
    read::{Member, Node, Place, Value},
    review::{
        ReviewContext,
        cures::{CureSearch, rounded},
        trial::ValueChange,
    },
    rules::{Fact, Judged, Lever, fact},
};

/// A change that may close something, and the lever it comes of.
#[derive(Clone)]
pub(in crate::review) struct Candidate<'c> {
    pub lever: &'c Lever,
    pub change: ValueChange,
}

/// The changes that may close a rule that falls short at an object, in rows: of a row the first one that does and breaks
/// nothing, and those before it that break something.
pub(in crate::review) fn candidates<'c>(
    search: &CureSearch<'_>,
    judged: &Judged<'c>,
) -> Vec<Vec<Candidate<'c>>> {
    let mut candidates = Vec::new();
    for lever in &judged.card.levers {
        if let Some(adjustment) = &lever.adjustment {
            for row in search.settings(judged, adjustment) {
                let row = row.into_iter().map(|change| Candidate { lever, change });
                candidates.push(row.collect());
            }
        }
        if let Some(setting) = &lever.setting {
            for place in search.places(judged, &setting.pattern) {
                let value = resolved(search.context(), &judged.object, &place, &setting.value);
                if let Some(value) = value.filter(|value| is_new(search.context(), &place, value)) {
                    let change = ValueChange { place, value };
                    candidates.push(vec![Candidate { lever, change }]);
                }
            }
        }
    }
    candidates
}

/// Whether a value says something that the plan does not say yet.
fn is_new(context: &ReviewContext<'_>, place: &Place, value: &Value) -> bool {
    let Some(now) = context.tree.root.at(place) else {
        return *value != Value::Null;
    };
    // Two texts may write one quantity.
    let si = |value: &Value| {
        let (Value::Text(text), Some(kind)) = (value, context.book.field_at(place)?.kind) else {
            return None;
        };
        Quantity::parse(text, kind).ok().map(|quantity| quantity.si)
    };
    match si(&now.value).zip(si(value)) {
        Some((now, new)) => (now - new).abs() > 1e-6,
        None => now.value != *value,
    }
}

/// A lever's value for an object: what stands for a figure or another value of the plan is worked out. None where that is
/// not known.
fn resolved(
    context: &ReviewContext<'_>,
    object: &Place,
    place: &Place,
    value: &serde_json::Value,
) -> Option<Value> {
    use serde_json::Value as Json;
    Some(match value {
        Json::Null => Value::Null,
        Json::Bool(yes) => Value::Bool(*yes),
        Json::Number(number) => Value::Number(number.to_string()),
        Json::String(text) => Value::Text(text.clone()),
        Json::Array(items) => {
            let span = context.tree.root.span;
            let items = items.iter().enumerate().map(|(index, item)| {
                let value = resolved(context, object, &place.child(&index.to_string()), item)?;
                Some(Node { span, value })
            });
            Value::List(items.collect::<Option<_>>()?)
        }
        Json::Object(members) if members.contains_key("figure") || members.contains_key("field") => {
            Value::Text(worked_out(context, object, place, members)?)
        }
        Json::Object(members) => {
            let span = context.tree.root.span;
            let members = members.iter().map(|(key, inner)| {
                let value = resolved(context, object, &place.child(key), inner)?;
                let node = Node { span, value };
                Some((key.clone(), Member { key: span, node }))
            });
            Value::Object(members.collect::<Option<_>>()?)
        }
    })
}

/// A figure of the object, or a value beside it, so many times, with so much added, as people write it.
fn worked_out(
    context: &ReviewContext<'_>,
    object: &Place,
    place: &Place,
    members: &serde_json::Map<String, serde_json::Value>,
) -> Option<String> {
    let text = |key: &str| members.get(key).and_then(serde_json::Value::as_str);
    let kind = context.book.field_at(place)?.kind?;
    let from = match (text("figure"), text("field")) {
        (Some(name), _) => context.ledger.quantity(object, name)?,
        (None, Some(path)) => match fact(&context.tree.root, object, path) {
            Fact::Is(node, _) => Quantity::parse(node.text()?, kind).ok()?.si,
            Fact::None(_) | Fact::NotShown(_) => return None,
        },
        (None, None) => return None,
    };
    let times = members
        .get("times")
        .map_or(Some(1.0), serde_json::Value::as_f64)?;
    let plus = match text("plus") {
        Some(plus) => {
            let kind = if kind == Kind::Level { Kind::Length } else { kind };
            let (less, plus) = match plus.strip_prefix('-') {
                Some(plus) => (-1.0, plus),
                None => (1.0, plus),
            };
            less * Quantity::parse(plus, kind).ok()?.si
        }
        None => 0.0,
    };
    Some(rounded(from * times + plus, kind, context.units))
}
