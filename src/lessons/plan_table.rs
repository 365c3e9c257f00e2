//! A plan as tables that people read without its file: object by object, field by field.

use serde::Serialize;

use super::examples::written;
use crate::{
    check::SchemaBook,
    read::{Node, Place, Value},
};

/// One object of a plan, or a part that holds no objects.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// Its name, such as `basin: pond`.
    pub title: String,
    /// Field and value, as written.
    pub rows: Vec<(String, String)>,
}

/// Parts of a plan that say nothing of the work.
const LEFT_OUT: [&str; 3] = ["format", "$schema", "accepted"];

/// Every object and part of a plan, in its order.
pub(super) fn parts(book: &SchemaBook, root: &Node) -> Vec<Part> {
    let mut parts = Vec::new();
    let Value::Object(members) = &root.value else {
        return parts;
    };
    for (key, member) in members {
        if LEFT_OUT.contains(&key.as_str()) || key.starts_with("x-") {
            continue;
        }
        let place = Place::root().child(key);
        if is_collection(book, &place) {
            if let Value::Object(objects) = &member.node.value {
                for (id, object) in objects {
                    let name = format!("{}: {id}", book.title_of(&place));
                    parts.push(part(book, name, &place.child(id), &object.node));
                }
            }
        } else {
            parts.push(part(book, book.title_of(&place), &place, &member.node));
        }
    }
    parts.retain(|part| !part.rows.is_empty());
    parts
}

/// Whether a place holds objects by id.
fn is_collection(book: &SchemaBook, place: &Place) -> bool {
    let pattern: Vec<String> = place.parts().collect();
    let pattern: Vec<&str> = pattern.iter().map(String::as_str).collect();
    book.fields_of(&pattern).is_empty()
}

fn part(book: &SchemaBook, title: String, place: &Place, node: &Node) -> Part {
    let mut rows = Vec::new();
    gather(book, place, place, node, &mut rows);
    Part { title, rows }
}

/// Every value below a node, with its name from the object on.
fn gather(book: &SchemaBook, object: &Place, place: &Place, node: &Node, rows: &mut Vec<(String, String)>) {
    if let Value::Object(members) = &node.value {
        for (key, member) in members.iter().filter(|(key, _)| !key.starts_with("x-")) {
            gather(book, object, &place.child(key), &member.node, rows);
        }
        return;
    }
    let (whole, own) = (book.title_of(place), book.title_of(object));
    let name = whole
        .strip_prefix(&own)
        .map_or(whole.as_str(), |rest| rest.trim_start_matches(" / "));
    rows.push((name.to_owned(), written(node)));
}
