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
}
