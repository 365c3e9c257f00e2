//! How changes are said, and the patch that makes them.

use serde_json::{Map, Value as Json};

use super::{ChangeSet, ClosingChange};
use crate::{
    quantity::{Kind, Quantity},
    read::{Node, Place, Value},
    review::{ReviewContext, trial::ValueChange},
};

/// What the plan says at a place, as far as a new value says otherwise.
pub(super) fn said_at(context: &ReviewContext<'_>, place: &Place, new: &Value) -> String {
    let now = context.tree.root.at(place);
    match (now.map(|node| &node.value), new) {
        (None, _) => "not shown".to_owned(),
        (Some(Value::Object(_)), Value::Object(members)) => {
            let inner = members
                .iter()
                .map(|(key, member)| (place.child(key), &member.node.value));
            let changed = inner.filter(|(inner, new)| {
                let now = context.tree.root.at(inner);
                now.is_none_or(|now| now.value != **new)
            });
            let said = changed.map(|(inner, new)| {
                let name = context.name(&inner);
                let name = name.rsplit(" / ").next().unwrap_or_default().to_owned();
                format!("{name} {}", said_at(context, &inner, new))
            });
            said.collect::<Vec<_>>().join(", ")
        }
        (Some(now), _) => said(context, place, now),
    }
}

/// A value in words.
pub(super) fn said(context: &ReviewContext<'_>, place: &Place, value: &Value) -> String {
    match value {
        Value::Null => "left out".to_owned(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Number(written) => written.clone(),
        Value::Text(text) => context.words(text),
        Value::List(items) => format!("{} entries", items.len()),
        Value::Object(members) => {
            let said = members.iter().map(|(key, member)| {
                let inner = place.child(key);
                let name = context.name(&inner);
                let name = name.rsplit(" / ").next().unwrap_or_default().to_owned();
                format!("{name} {}", said(context, &inner, &member.node.value))
            });
            said.collect::<Vec<_>>().join(", ")
        }
    }
}

/// Another pump is told by the duty point that it must have, in the plan as it is then.
pub(super) fn tell_duty_point(context: &ReviewContext<'_>, change: &mut ClosingChange) {
    if change.place.parts().last().as_deref() != Some("curve") {
        return;
    }
    let Some(pump) = change.place.parent() else { return };
    let shown = |name: &str, kind: Kind| {
        let si = context.ledger.quantity(&pump, name)?;
        Some(Quantity::si(si, kind).show(context.units))
    };
    if let (Some(flow), Some(head)) = (shown("duty-flow", Kind::Flow), shown("duty-head", Kind::Length)) {
        change.after = format!("that of another pump, duty point {flow} at {head}");
        "that of this pump".clone_into(&mut change.before);
    }
}

/// Whether a merge patch can set a place: it replaces a list as a whole.
pub(super) fn can_be_patched(context: &ReviewContext<'_>, place: &Place) -> bool {
    let mut above = place.parent();
    while let Some(holder) = above {
        let is_list = |node: &Node| matches!(node.value, Value::List(_));
        if context.tree.root.at(&holder).is_some_and(is_list) {
            return false;
        }
        above = holder.parent();
    }
    true
}

/// The merge patch that makes changes.
pub(super) fn patch(changes: &[&ValueChange]) -> Json {
    let mut patch = Json::Object(Map::new());
    for change in changes {
        let mut at = &mut patch;
        for key in change.place.parts() {
            if !at.is_object() {
                *at = Json::Object(Map::new());
            }
            let Json::Object(members) = at else { break };
            at = members.entry(key).or_insert(Json::Null);
        }
        match (&mut *at, change.value.to_json()) {
            (Json::Object(known), Json::Object(members)) => known.extend(members),
            (at, value) => *at = value,
        }
    }
    patch
}

/// What a set of changes comes to, in one line.
pub(super) fn summary(set: &ChangeSet) -> String {
    let count =
        |count: usize, one: &str, many: &str| format!("{count} {}", if count == 1 { one } else { many });
    let changes = match set.changes.len() {
        0 => "no change that was tried closes anything".to_owned(),
        1 => "with this change".to_owned(),
        many => format!("with these {many} changes"),
    };
    format!(
        "{changes}: {} stop, {} revise, {}",
        set.stop,
        set.revise,
        count(set.questions, "open question", "open questions")
    )
}
