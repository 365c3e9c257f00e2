//! What of the form lies open.

use super::{
    document::View,
    form::{first, more_key},
};
use crate::{
    check::{SchemaBook, Shape},
    read::{Node, Place, Value},
};

/// Unfolds a part of the form; a collection of one object lies open with it, so that nobody unfolds one thing twice.
pub fn unfold_all_of_one(view: &mut View, book: &SchemaBook, tree: Option<&Node>, key: String) {
    let place = Place::from_pointer(&key);
    view.open.insert(key);
    let shape = |place: &Place| book.field_at(place).map(|field| field.shape);
    let Some(node) = tree.and_then(|tree| tree.at(&place)) else {
        return;
    };
    let Value::Object(members) = &node.value else {
        return;
    };
    let collections = match shape(&place) {
        Some(Shape::Collection) => vec![place],
        _ => members
            .keys()
            .map(|key| place.child(key))
            .filter(|inner| shape(inner) == Some(Shape::Collection))
            .collect(),
    };
    for collection in collections {
        let Some(Value::Object(members)) = tree.and_then(|tree| tree.at(&collection)).map(|node| &node.value)
        else {
            continue;
        };
        if let (1, Some(only)) = (members.len(), members.keys().next()) {
            let only = collection.child(only);
            if shape(&only) == Some(Shape::Object) {
                unfold_all_of_one(view, book, tree, only.as_str().to_owned());
            }
        }
    }
}

/// Unfolds the form down to a place.
pub fn unfold(view: &mut View, at: &Place) {
    view.as_text = false;
    let book = crate::plan::schema().book();
    let mut above = Some(at.clone());
    while let Some(place) = above {
        above = place.parent();
        view.open.insert(place.as_str().to_owned());
        let Some(holder) = &above else { break };
        let hidden = first(&book.pattern_of(holder)).is_some_and(|front| {
            place
                .parts()
                .last()
                .is_some_and(|key| !front.contains(&key.as_str()))
        });
        if hidden {
            view.open.insert(more_key(holder));
        }
    }
}

/// Keeps unfolded what is unfolded of an object that moved.
pub fn moved(view: &mut View, from: &Place, to: &Place) {
    view.new_rows.moved(from, to);
    let open = std::mem::take(&mut view.open);
    view.open = open
        .into_iter()
        .map(|key| match key.strip_prefix(from.as_str()) {
            Some(rest) if rest.is_empty() || rest.starts_with(['/', '#']) => format!("{to}{rest}"),
            _ => key,
        })
        .collect();
}
