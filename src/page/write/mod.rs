//! Changes to a plan's text that leave all the rest of it as its author wrote it: comments, order, spaces.

use jsonc_parser::cst::{CstInputValue, CstNode, CstObject, CstRootNode};
use serde_json::Value as Json;

use crate::{
    check::SchemaBook,
    read::{Place, STRICT, Sources, Value, parse},
};

/// One change to the text of a plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Sets a value; what it stands in is made where it is missing. The place after the last item of a list adds one.
    Set(Place, Json),
    /// Takes a value away, and what held nothing else.
    Remove(Place),
    /// Gives a member another key.
    Rename(Place, String),
}

/// Why a change can't be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// The text does not parse.
    #[error("the text of the plan can’t be read; correct it as text first")]
    Unreadable,
    /// The place does not exist and can't be made.
    #[error("there is no `{0}` in the plan")]
    NoPlace(Place),
    /// Another member has the key.
    #[error("`{0}` is taken")]
    Taken(String),
}

/// The text with changes made, one after another.
///
/// # Errors
/// A text that does not parse, a place that can't be, a key that is taken. Nothing is changed then.
pub fn rewrite(text: &str, changes: &[Change], book: &SchemaBook) -> Result<String, WriteError> {
    let (mark, mut text) = match text.strip_prefix(MARK) {
        Some(rest) => (MARK, rest.to_owned()),
        None => ("", text.to_owned()),
    };
    if changes.is_empty() {
        CstRootNode::parse(&text, &STRICT).map_err(|_| WriteError::Unreadable)?;
    }
    for change in changes {
        let root = CstRootNode::parse(&text, &STRICT).map_err(|_| WriteError::Unreadable)?;
        let writer = Writer {
            text: &text,
            root,
            book,
        };
        text = match change {
            Change::Set(place, value) => writer.set(place, value)?,
            Change::Remove(place) => writer.remove(place)?,
            Change::Rename(place, key) => writer.rename(place, key)?,
        };
    }
    Ok(format!("{mark}{text}"))
}

/// Marks a text as UTF-8; no part of it.
const MARK: &str = "\u{feff}";

struct Writer<'a> {
    text: &'a str,
    root: CstRootNode,
    book: &'a SchemaBook,
}

impl Writer<'_> {
    /// The node at a place.
    fn find(&self, place: &Place) -> Option<CstNode> {
        place
            .parts()
            .try_fold(self.root.value()?, |node, part| child(&node, &part))
    }

    fn set(self, place: &Place, value: &Json) -> Result<String, WriteError> {
        let missing = || WriteError::NoPlace(place.clone());
        if let Some(node) = self.find(place) {
            replace(&node, value).ok_or_else(missing)?;
            return Ok(self.root.to_string());
        }
        let holder = place.parent().ok_or_else(missing)?;
        let key = place.parts().last().ok_or_else(missing)?;
        let around = || Json::Object([(key.clone(), value.clone())].into_iter().collect());
        let Some(node) = self.find(&holder) else {
            return self.set(&holder, &around());
        };
        if let Some(list) = node.as_array() {
            if key.parse() != Ok(list.elements().len()) {
                return Err(missing());
            }
            list.append(input(value));
        } else if let Some(object) = node.as_object() {
            let index = self.position(&object, &holder, &key);
            if let Some(text) = insert_inline(self.text, &holder, index, (&key, value)) {
                return Ok(text);
            }
            object.insert(index, &key, input(value));
        } else if says_whether(&node) {
            // A word that says that there is one, or none, gives way to the object.
            replace(&node, &around()).ok_or_else(missing)?;
        } else {
            return Err(missing());
        }
        Ok(self.root.to_string())
    }

    /// Where a new member goes: after those the schema lists before it.
    fn position(&self, object: &CstObject, holder: &Place, key: &str) -> usize {
        let pattern = self.book.pattern_of(holder);
        let parts: Vec<&str> = pattern.split('/').skip(1).collect();
        let fields = self.book.fields_of(&parts);
        let rank = |name: &str| fields.iter().position(|field| *field == name);
        let properties = object.properties();
        let Some(own) = rank(key) else {
            return properties.len();
        };
        let before = |name: Option<String>| name.and_then(|name| rank(&name)).is_some_and(|at| at < own);
        let last = properties
            .iter()
            .rposition(|property| before(property.decoded_name()));
        last.map_or(0, |last| last + 1)
    }

    fn remove(self, place: &Place) -> Result<String, WriteError> {
        self.take_out(place)?;
        Ok(self.root.to_string())
    }

    fn take_out(&self, place: &Place) -> Result<(), WriteError> {
        let missing = || WriteError::NoPlace(place.clone());
        let holder = place.parent().ok_or_else(missing)?;
        let key = place.parts().last().ok_or_else(missing)?;
        let node = self.find(&holder).ok_or_else(missing)?;
        if let Some(object) = node.as_object() {
            object.get(&key).ok_or_else(missing)?.remove();
        } else {
            child(&node, &key).ok_or_else(missing)?.remove();
        }
        // An object left empty says nothing; a member of a collection still says that it is there.
        let stays = holder.as_str().is_empty() || self.is_member(&holder);
        let holder_node = self.find(&holder).ok_or_else(missing)?;
        if !stays && holder_node.children_exclude_trivia_and_tokens().is_empty() {
            return self.take_out(&holder);
        }
        Ok(())
    }

    /// Whether an object stands in a collection, under an id, or in a list.
    fn is_member(&self, place: &Place) -> bool {
        self.book.pattern_of(place).ends_with("/*")
    }

    fn rename(self, place: &Place, key: &str) -> Result<String, WriteError> {
        let missing = || WriteError::NoPlace(place.clone());
        let holder = place
            .parent()
            .and_then(|holder| self.find(&holder))
            .ok_or_else(missing)?;
        let object = holder.as_object().ok_or_else(missing)?;
        if object.get(key).is_some() {
            return Err(WriteError::Taken(key.to_owned()));
        }
        let own = place.parts().last().ok_or_else(missing)?;
        let property = object.get(&own).ok_or_else(missing)?;
        let name = property.name().ok_or_else(missing)?;
        let literal = name.as_string_lit().ok_or_else(missing)?;
        literal.set_raw_value(quoted(key));
        Ok(self.root.to_string())
    }
}

/// Whether a value says only that there is one, or none.
fn says_whether(node: &CstNode) -> bool {
    let none = node
        .as_string_lit()
        .and_then(|literal| literal.decoded_value().ok());
    node.as_boolean_lit().is_some() || none.as_deref() == Some("none")
}

/// A new member in an object that stands on one line, which it then still does; none where the object has several.
fn insert_inline(text: &str, holder: &Place, index: usize, (key, value): (&str, &Json)) -> Option<String> {
    let mut sources = Sources::default();
    let source = sources.add("", text);
    let tree = parse(&sources, source).ok()?;
    let object = tree.at(holder)?;
    let whole = &text[object.span.start..object.span.end];
    let Value::Object(members) = &object.value else {
        return None;
    };
    if whole.contains('\n') || holder.as_str().is_empty() {
        return None;
    }
    let member = format!("{}: {}", quoted(key), on_one_line(value));
    if members.is_empty() && whole.trim_matches(['{', '}', ' ', '\t']).is_empty() {
        let (before, after) = (&text[..object.span.start], &text[object.span.end..]);
        return Some(format!("{before}{{ {member} }}{after}"));
    }
    let (at, written) = if let Some((_, next)) = members.get_index(index) {
        (next.key.start, format!("{member}, "))
    } else {
        let inside = whole.strip_suffix('}')?.trim_end();
        let comma = if inside.ends_with(',') || members.is_empty() {
            ""
        } else {
            ","
        };
        let end = if inside.ends_with(',') { "," } else { "" };
        (object.span.start + inside.len(), format!("{comma} {member}{end}"))
    };
    Some(format!("{}{written}{}", &text[..at], &text[at..]))
}

/// A value as it stands within a line.
fn on_one_line(value: &Json) -> String {
    match value {
        Json::Object(members) if !members.is_empty() => {
            let each = members
                .iter()
                .map(|(key, value)| format!("{}: {}", quoted(key), on_one_line(value)));
            format!("{{ {} }}", each.collect::<Vec<_>>().join(", "))
        }
        Json::Array(items) => {
            let each = items.iter().map(on_one_line);
            format!("[{}]", each.collect::<Vec<_>>().join(", "))
        }
        other => other.to_string(),
    }
}

/// A text in the quotes of JSON.
fn quoted(text: &str) -> String {
    Json::String(text.to_owned()).to_string()
}

fn child(node: &CstNode, part: &str) -> Option<CstNode> {
    if let Some(object) = node.as_object() {
        return object.get(part)?.value();
    }
    node.as_array()?
        .elements()
        .into_iter()
        .nth(part.parse::<usize>().ok()?)
}

/// Puts another value in a value's place.
fn replace(node: &CstNode, value: &Json) -> Option<()> {
    if let (Some(literal), Json::String(text)) = (node.as_string_lit(), value) {
        // The same text is left as it is written, escapes and all.
        if literal.decoded_value().ok().as_deref() != Some(text) {
            literal.set_raw_value(quoted(text));
        }
        return Some(());
    }
    let value = input(value);
    if let Some(object) = node.as_object() {
        object.replace_with(value)?;
    } else if let Some(list) = node.as_array() {
        list.replace_with(value)?;
    } else if let Some(literal) = node.as_string_lit() {
        literal.replace_with(value)?;
    } else if let Some(literal) = node.as_number_lit() {
        literal.replace_with(value)?;
    } else if let Some(literal) = node.as_boolean_lit() {
        literal.replace_with(value)?;
    } else {
        node.as_null_keyword()?.replace_with(value)?;
    }
    Some(())
}

/// A value as the text's writer takes it.
fn input(value: &Json) -> CstInputValue {
    match value {
        Json::Null => CstInputValue::Null,
        Json::Bool(yes) => CstInputValue::Bool(*yes),
        Json::Number(number) => CstInputValue::Number(number.to_string()),
        Json::String(text) => CstInputValue::String(text.clone()),
        Json::Array(items) => CstInputValue::Array(items.iter().map(input).collect()),
        Json::Object(members) => CstInputValue::Object(
            members
                .iter()
                .map(|(key, value)| (key.clone(), input(value)))
                .collect(),
        ),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
