//! The tree of a plan's text: values with their spans, objects in the order of the file.

use indexmap::IndexMap;

use super::{Place, Span};

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where the value stands.
    pub span: Span,
    /// The value.
    pub value: Value,
}

/// A JSON value; numbers stay as written.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number, as written.
    Number(String),
    /// A string, unescaped.
    Text(String),
    /// An array.
    List(Vec<Node>),
    /// An object, in the order of the file.
    Object(IndexMap<String, Member>),
}

/// A member of an object: where its key stands, and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Where the key stands.
    pub key: Span,
    /// The value.
    pub node: Node,
}

impl Node {
    /// The node at a place below this one.
    pub fn at(&self, place: &Place) -> Option<&Node> {
        place.parts().try_fold(self, |node, part| node.get(&part))
    }

    /// A member of an object by key, or an item of a list by index.
    pub fn get(&self, part: &str) -> Option<&Node> {
        match &self.value {
            Value::Object(members) => members.get(part).map(|m| &m.node),
            Value::List(items) => part.parse::<usize>().ok().and_then(|i| items.get(i)),
            _ => None,
        }
    }

    /// The span to show for a place: of the value itself, else of the deepest part of the way that exists.
    /// The deepest part is shown by its key where it has one: a missing member is missing from what the key names.
    pub fn span_of(&self, place: &Place) -> Span {
        let mut node = self;
        let mut shown = self.span;
        for part in place.parts() {
            let Some(next) = node.get(&part) else { return shown };
            shown = match &node.value {
                Value::Object(members) => members.get(&part).map_or(next.span, |m| m.key),
                _ => next.span,
            };
            node = next;
        }
        node.span
    }

    /// The text of a string.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Where the key of the member at a place stands; none for items of a list and for the plan itself.
    pub fn key_at(&self, place: &Place) -> Option<Span> {
        let holder = self.at(&place.parent()?)?;
        match &holder.value {
            Value::Object(members) => members.get(&place.key()).map(|member| member.key),
            _ => None,
        }
    }

    /// What the value is, with its article, such as `a text`.
    pub fn sort(&self) -> &'static str {
        match self.value {
            Value::Null => "`null`",
            Value::Bool(true) => "`true`",
            Value::Bool(false) => "`false`",
            Value::Number(_) => "a number",
            Value::Text(_) => "a text",
            Value::List(_) => "a list",
            Value::Object(_) => "an object",
        }
    }

    /// The same value without spans.
    pub fn to_json(&self) -> serde_json::Value {
        self.value.to_json()
    }
}

impl Value {
    /// The value without spans.
    pub fn to_json(&self) -> serde_json::Value {
        use serde_json::Value as Json;
        match self {
            Self::Null => Json::Null,
            Self::Bool(value) => Json::Bool(*value),
            Self::Number(written) => number_to_json(written),
            Self::Text(text) => Json::String(text.clone()),
            Self::List(items) => items.iter().map(Node::to_json).collect(),
            Self::Object(members) => members
                .iter()
                .map(|(key, member)| (key.clone(), member.node.to_json()))
                .collect(),
        }
    }
}

/// A whole number stays whole; a number no `f64` holds stays the text it was.
fn number_to_json(written: &str) -> serde_json::Value {
    written
        .parse::<serde_json::Number>()
        .map_or_else(|_| serde_json::Value::String(written.to_owned()), Into::into)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::read::{Sources, parse};

    #[test]
    fn a_tree_becomes_json_in_the_order_of_the_file() {
        let mut sources = Sources::default();
        let text =
            r#"{"z": [1, -2.5, 1e3, 18446744073709551615], "a": {"t": "é\n", "no": false, "nil": null}}"#;
        let id = sources.add("plan.json", text);
        let json = parse(&sources, id).unwrap().to_json();
        assert_eq!(json, serde_json::from_str::<serde_json::Value>(text).unwrap());
        let keys: Vec<_> = json.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["z", "a"]);
    }

    #[test]
    fn places_lead_back_to_keys_and_values() {
        let mut sources = Sources::default();
        let id = sources.add("plan.json", r#"{"a/b": {"layers": [{"fill": "stone"}]}}"#);
        let root = parse(&sources, id).unwrap();
        let fill = Place::root()
            .child("a/b")
            .child("layers")
            .child("0")
            .child("fill");
        assert_eq!(sources.slice(root.at(&fill).unwrap().span), r#""stone""#);
        assert_eq!(sources.slice(root.key_at(&fill).unwrap()), r#""fill""#);
        assert_eq!(root.key_at(&fill.parent().unwrap()), None);
        assert_eq!(root.key_at(&Place::root()), None);
        assert_eq!(sources.slice(root.span_of(&fill.child("size"))), r#""fill""#);
    }
}
