//! How much a drill's sheet gives beside the plan, and what a sheet as sent leaves out.

use serde::Serialize;

use super::{
    examples::{Change, places, written},
    seeded::Seeded,
};
use crate::{
    check::SchemaBook,
    quantity::Kind,
    read::{Node, Place, Value, setting},
};

/// How much the sheet of a drill gives beside the plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum DrillLevel {
    /// The whole plan, the computed figures, and a list of rules.
    #[default]
    Figures,
    /// The whole plan and a list of rules; the trainee computes.
    Plain,
    /// The plan as a contractor sends it: no figures, no rules, no number of faults, and some values left out.
    Sent,
}

/// Values that a sheet as sent leaves out at most.
const MOST_LEFT_OUT: usize = 20;

/// Values tried at once: a batch that hides a fault is kept on the sheet as a whole.
const BATCH: usize = 4;

/// Kinds of quantity that a drawing shows: levels and sizes, flows and volumes.
const DRAWN: [Kind; 7] = [
    Kind::Length,
    Kind::Level,
    Kind::Area,
    Kind::Slope,
    Kind::Angle,
    Kind::Volume,
    Kind::Flow,
];

/// Values of a plan that a sheet as sent leaves out, in the order of the plan, as a patch each that takes one away.
///
/// A drawing shows levels and sizes, and leaves out the properties and notes of a specification (common practice). What
/// was planted stays, and so does what would change how the faults come out, by `keeps`.
pub(super) fn left_out(
    book: &SchemaBook,
    root: &Node,
    planted: &[Place],
    seed: u64,
    keeps: impl Fn(&[Node]) -> bool,
) -> Vec<(Change, Node)> {
    let mut undrawn: Vec<(usize, Place)> = places(root)
        .into_iter()
        .filter(|place| may_go(book, root, place))
        .filter(|place| {
            !planted
                .iter()
                .any(|other| other.holds(place) || place.holds(other))
        })
        .enumerate()
        .collect();
    // Another stream than the one the faults are drawn from.
    Seeded::new(seed ^ 2).shuffle(&mut undrawn);
    let mut gone: Vec<(usize, Change, Node)> = Vec::new();
    for batch in undrawn.chunks(BATCH) {
        if gone.len() >= MOST_LEFT_OUT {
            break;
        }
        let removals = batch.iter().filter_map(|(order, place)| {
            let node = root.at(place)?;
            let change = Change {
                place_name: book.title_of(place),
                value: written(node),
            };
            let nothing = Node {
                span: node.span,
                value: Value::Null,
            };
            Some((*order, change, setting(place, nothing)))
        });
        let before = gone.len();
        gone.extend(removals);
        let patches: Vec<Node> = gone.iter().map(|(_, _, patch)| patch.clone()).collect();
        if !keeps(&patches) {
            gone.truncate(before);
        }
    }
    gone.sort_by_key(|(order, ..)| *order);
    gone.into_iter()
        .map(|(_, change, patch)| (change, patch))
        .collect()
}

/// Whether a drawing may leave a value out: a property or a note, not a level, a size, a count, a name, a kind or what it joins.
fn may_go(book: &SchemaBook, root: &Node, place: &Place) -> bool {
    let head = place.parts().next().unwrap_or_default();
    if ["format", "$schema", "accepted", "project", "attachments"].contains(&head.as_str())
        || ["name", "kind", "form"].contains(&place.key().as_str())
        || place.parts().any(|part| part.starts_with("x-"))
    {
        return false;
    }
    let Some(node) = root.at(place) else { return false };
    let required = place
        .parent()
        .and_then(|object| book.field_at(&object))
        .is_some_and(|object| object.required.contains(&place.key()));
    let shown = book.field_at(place).is_some_and(|field| {
        let drawn = field.kind.is_some_and(|kind| DRAWN.contains(&kind));
        drawn || !field.refers_to.is_empty()
    });
    match &node.value {
        Value::Bool(_) | Value::Text(_) => !required && !shown,
        Value::Null | Value::Number(_) | Value::List(_) | Value::Object(_) => false,
    }
}
