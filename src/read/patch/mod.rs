//! Merge patches over trees (RFC 7396): what a patch brings keeps its own spans, so that findings under a patch
//! point at the file and line that set the value.

use indexmap::map::Entry;

use super::parse::parse_window;
use super::scan::MAX_DEPTH;
use super::window::Window;
use super::{Member, Node, Place, Problem, ProblemKind, Sources, Span, Value};
use crate::text::is_hidden;

/// A member that a patch took away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Removed {
    /// What is no longer there.
    pub place: Place,
    /// The `null` of the patch that took it away.
    pub span: Span,
}

/// A tree and what patches took from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Patched {
    /// The tree as it now stands.
    pub root: Node,
    /// What patches took away, in the order they did.
    pub removed: Vec<Removed>,
}

impl Patched {
    /// A tree as read.
    pub fn new(root: Node) -> Self {
        Self {
            root,
            removed: Vec::new(),
        }
    }

    /// Puts a patch over the tree.
    pub fn apply(&mut self, patch: Node) {
        self.removed.extend(merge(&mut self.root, patch));
    }

    /// The span to show for a place: of the value, of the patch's `null` that took it away, else of the deepest
    /// part of the way that exists.
    pub fn span_of(&self, place: &Place) -> Span {
        if self.root.at(place).is_none()
            && let Some(removed) = self.removal_of(place)
        {
            return removed.span;
        }
        self.root.span_of(place)
    }

    /// The span to point at: as [`Self::span_of`], but the key of an object or a list rather than all it holds.
    pub fn pointed(&self, place: &Place) -> Span {
        let holds_more = |node: &Node| matches!(node.value, Value::Object(_) | Value::List(_));
        match self.root.key_at(place) {
            Some(key) if self.root.at(place).is_some_and(holds_more) => key,
            _ => self.span_of(place),
        }
    }

    /// The last removal of a place, or of what held it, that nothing has filled since.
    fn removal_of(&self, place: &Place) -> Option<&Removed> {
        self.removed
            .iter()
            .rev()
            .find(|removed| removed.place.holds(place) && self.root.at(&removed.place).is_none())
    }
}

/// Merges a patch into a tree after RFC 7396 and tells what it took away. Values the patch sets keep the patch's
/// spans; objects it reaches into keep theirs.
pub fn merge(base: &mut Node, patch: Node) -> Vec<Removed> {
    let mut removed = Vec::new();
    merge_at(&Place::root(), base, patch, &mut removed);
    removed
}

fn merge_at(place: &Place, base: &mut Node, patch: Node, removed: &mut Vec<Removed>) {
    let Value::Object(changes) = patch.value else {
        *base = patch;
        return;
    };
    if !matches!(base.value, Value::Object(_)) {
        *base = empty_object(patch.span);
    }
    let Value::Object(members) = &mut base.value else {
        return;
    };
    for (key, change) in changes {
        let inner = place.child(&key);
        if matches!(change.node.value, Value::Null) {
            if members.shift_remove(&key).is_some() {
                removed.push(Removed {
                    place: inner,
                    span: change.node.span,
                });
            }
            continue;
        }
        match members.entry(key) {
            Entry::Occupied(mut taken) => {
                if !reaches_into(&change.node, &taken.get().node) {
                    taken.get_mut().key = change.key;
                }
                merge_at(&inner, &mut taken.get_mut().node, change.node, removed);
            }
            Entry::Vacant(free) => {
                let added = free.insert(Member {
                    key: change.key,
                    node: empty_object(change.node.span),
                });
                // Merging into nothing drops the `null`s of what is added.
                merge_at(&inner, &mut added.node, change.node, removed);
            }
        }
    }
}

/// Whether a patch takes a value away.
pub fn takes_away(patch: &Node) -> bool {
    match &patch.value {
        Value::Null => true,
        Value::Object(members) => members.values().any(|member| takes_away(&member.node)),
        _ => false,
    }
}

/// The patch that sets one value at a place.
pub fn setting(place: &Place, value: Node) -> Node {
    let span = value.span;
    let parts: Vec<String> = place.parts().collect();
    let outward = parts.into_iter().rev();
    outward.fold(value, |node, key| object_of_one(key, span, node))
}

/// Sets a value at a place: in a list where it stands, else as the merge patch that sets it, since a merge patch replaces a
/// list as a whole.
pub fn put(tree: &mut Node, place: &Place, value: Node) {
    let parts: Vec<String> = place.parts().collect();
    let mut node = &mut *tree;
    for (index, part) in parts.iter().enumerate() {
        if let Value::List(items) = &mut node.value {
            let item = part.parse::<usize>().ok().and_then(|at| items.get_mut(at));
            let rest = parts.iter().skip(index + 1);
            let rest = rest.fold(Place::root(), |place, part| place.child(part));
            match item {
                Some(item) if rest == Place::root() => item.value = value.value,
                Some(item) => put(item, &rest, value),
                None => {}
            }
            return;
        }
        let Value::Object(members) = &mut node.value else {
            break;
        };
        let Some(member) = members.get_mut(part) else {
            break;
        };
        node = &mut member.node;
    }
    merge(tree, setting(place, value));
}

/// Whether a change is of an object's members and not of the object.
fn reaches_into(change: &Node, base: &Node) -> bool {
    matches!((&change.value, &base.value), (Value::Object(_), Value::Object(_)))
}

fn empty_object(span: Span) -> Node {
    Node {
        span,
        value: Value::Object(indexmap::IndexMap::new()),
    }
}

/// The patch that an assignment such as `/basins/bed/rim=10 in` or `basins.bed.rim=10 in` says.
///
/// What follows the first `=` is read as JSON where it is an object, a list, a quoted text, a number, `true`,
/// `false` or `null` (which takes the member away), and as a text otherwise. The assignment is kept in the sources,
/// so that findings can point at it.
pub fn assignment(sources: &mut Sources, written: &str) -> Result<Node, Problem> {
    let source = sources.add("--set", written);
    let window = Window {
        text: sources.text(source),
        source,
        offset: 0,
    };
    let text = window.text;
    let Some(equals) = text.find('=') else {
        let message = "an assignment has no `=`";
        return Err(Problem::at(
            ProblemKind::Assignment,
            window.span(0, text.len()),
            message,
            "expected `PATH=VALUE`",
        )
        .help(EXAMPLE));
    };
    let path = path_parts(window, equals)?;
    let value = assigned_value(window, equals + 1)?;
    Ok(path
        .into_iter()
        .rev()
        .fold(value, |node, (key, span)| object_of_one(key, span, node)))
}

const EXAMPLE: &str = "write it as `/basins/pond/rim=10 in` or `basins.pond.rim=10 in`";

fn object_of_one(key: String, span: Span, node: Node) -> Node {
    let whole = Span {
        end: node.span.end,
        ..span
    };
    let member = Member { key: span, node };
    Node {
        span: whole,
        value: Value::Object([(key, member)].into_iter().collect()),
    }
}

/// The keys of the path before the `=`, each with its span.
fn path_parts(window: Window<'_>, equals: usize) -> Result<Vec<(String, Span)>, Problem> {
    let path = window.text[..equals].trim();
    let start = window.text[..equals].len() - window.text[..equals].trim_start().len();
    let (separator, start) = match path.strip_prefix('/') {
        Some(_) => ('/', start + 1),
        None => ('.', start),
    };
    let refuse = |span: Span, message: String, label: &str| {
        Err(Problem::at(ProblemKind::Assignment, span, message, label).help(EXAMPLE))
    };
    if path.is_empty() {
        return refuse(
            window.char_span(equals),
            "an assignment names no place".to_owned(),
            "expected a path before `=`",
        );
    }
    let mut parts = Vec::new();
    let mut at = start;
    for part in path.strip_prefix('/').unwrap_or(path).split(separator) {
        let span = window.span(at, at + part.len().max(1));
        at += part.len() + 1;
        if part.is_empty() {
            return refuse(
                span,
                "a part of the path is empty".to_owned(),
                "expected a key here",
            );
        }
        if let Some(c) = part.chars().find(|c| c.is_control()) {
            let message = format!("the path holds the control character U+{:04X}", u32::from(c));
            return refuse(span, message, "in this part");
        }
        let Some(key) = unescaped(part, separator) else {
            return refuse(
                span,
                "a `~` in the path escapes nothing".to_owned(),
                "expected `~0`, `~1` or `~2`",
            );
        };
        parts.push((key, span));
    }
    if parts.len() > MAX_DEPTH {
        let message = format!("the path has more than {MAX_DEPTH} parts");
        return refuse(window.span(start, start + path.len()), message, "too deep");
    }
    Ok(parts)
}

/// What says a setting as [`assignment`] reads it; nothing where the place or the text holds what no
/// assignment may.
pub fn written_assignment(place: &Place, value: &Value) -> Option<String> {
    let value = match value {
        Value::Number(written) => written.clone(),
        // A text that would be read as a value of another kind, or cut, is quoted.
        Value::Text(text) if reads_otherwise(text) => serde_json::Value::from(text.as_str()).to_string(),
        Value::Text(text) => text.clone(),
        other => other.to_json().to_string(),
    };
    let written = format!("{}={value}", place.as_str().replace('=', "~2"));
    (!written.contains(is_hidden)).then_some(written)
}

fn reads_otherwise(text: &str) -> bool {
    text != text.trim() || text.is_empty() || text.starts_with(['{', '[', '"', '/']) || !is_plain(text)
}

fn is_plain(text: &str) -> bool {
    serde_json::from_str::<serde_json::Value>(text).is_err()
}

/// The key a part of a path names; in a JSON Pointer `~1` stands for `/` and `~0` for `~`, and here `~2` for `=`.
fn unescaped(part: &str, separator: char) -> Option<String> {
    if separator == '.' {
        return Some(part.to_owned());
    }
    let sound = part
        .split('~')
        .skip(1)
        .all(|rest| rest.starts_with(['0', '1', '2']));
    sound.then(|| part.replace("~2", "=").replace("~1", "/").replace("~0", "~"))
}

/// The value after the `=`.
fn assigned_value(window: Window<'_>, start: usize) -> Result<Node, Problem> {
    let written = window.text[start..].trim();
    let offset = start + window.text[start..].len() - window.text[start..].trim_start().len();
    if written.is_empty() {
        let span = window.char_span(start - 1);
        return Err(Problem::at(
            ProblemKind::Assignment,
            span,
            "an assignment gives no value",
            "expected a value after `=`",
        )
        .help("`null` takes the value away, `none` says there is none"));
    }
    let value = parse_window(Window {
        text: written,
        source: window.source,
        offset,
    });
    match value {
        Ok(node) => Ok(node),
        // Brackets were meant as JSON: tell what is wrong with it.
        Err(problems) if written.starts_with(['{', '[']) => {
            Err(problems.into_iter().next().unwrap_or_else(|| not_json(window)))
        }
        Err(_) => plain_text(window, written, offset),
    }
}

fn not_json(window: Window<'_>) -> Problem {
    Problem::at(
        ProblemKind::Assignment,
        window.span(0, window.text.len()),
        "the value is not JSON",
        "this assignment",
    )
}

fn plain_text(window: Window<'_>, written: &str, offset: usize) -> Result<Node, Problem> {
    let span = window.span(offset, offset + written.len());
    if let Some(c) = written.chars().find(|c| c.is_control()) {
        let message = format!("the value holds the control character U+{:04X}", u32::from(c));
        return Err(Problem::at(
            ProblemKind::Assignment,
            span,
            message,
            "in this value",
        ));
    }
    Ok(Node {
        span,
        value: Value::Text(written.to_owned()),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
