//! Values as they were built, or as the yard has them, as a merge patch over the plan as drawn.

use serde_json::{Map, Value as Json};

use crate::{
    papers::level_changes::BuiltValue,
    quantity::UnitSystem,
    read::{Node, Value},
};

/// The merge patch that sets values as they were built. A list of the plan is given whole, as a merge patch must.
pub(super) fn built_patch(tree: &Node, values: &[BuiltValue], units: UnitSystem) -> String {
    let mut patch = Json::Object(Map::new());
    for value in values {
        let parts: Vec<String> = value.place.parts().collect();
        set(&mut patch, Some(tree), &parts, value.written(units));
    }
    format!("{patch:#}\n")
}

/// Sets a text at the end of a way of keys; lists on the way are taken from the drawn plan.
fn set(at: &mut Json, drawn: Option<&Node>, parts: &[String], text: String) {
    let Some((first, rest)) = parts.split_first() else {
        *at = Json::String(text);
        return;
    };
    let inner = drawn.and_then(|node| node.get(first));
    match at {
        Json::Array(items) => {
            let item = first.parse::<usize>().ok().and_then(|index| items.get_mut(index));
            if let Some(item) = item {
                set(item, inner, rest, text);
            }
        }
        Json::Object(members) => {
            let member = members.entry(first.clone()).or_insert_with(|| match inner {
                Some(node) if matches!(node.value, Value::List(_)) => node.to_json(),
                _ => Json::Object(Map::new()),
            });
            set(member, inner, rest, text);
        }
        _ => {}
    }
}
