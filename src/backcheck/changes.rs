//! What differs between two plans, in words, object by object.

use serde_json::{Map, Value};

use crate::{
    check::SchemaBook,
    quantity::{Kind, Quantity, UnitSystem, agree, show},
    read::Place,
    review::PlanChange,
};

/// Collections whose members have ids of their own.
const COLLECTIONS: [&str; 8] = [
    "basins",
    "pumps",
    "lines",
    "falls",
    "streams",
    "drains",
    "walls",
    "excavations",
];
/// Share of equal values from which an object with another id is taken for the same.
const SAME: f64 = 0.75;
/// Values that two objects must have in common before they may be taken for the same.
const LEAST_ALIKE: usize = 3;
/// Parts of the plan that are about the paper, not about the work.
const PAPER: [&str; 3] = ["format", "$schema", "answers"];

/// Two plans compared.
#[derive(Clone, Debug, Default)]
pub struct Compared {
    /// The differences, in the order of the newer plan.
    pub changes: Vec<PlanChange>,
    /// What there is to say of them.
    pub notes: Vec<String>,
    /// Objects with another id, and which one.
    renames: Vec<(Place, Place)>,
}

impl Compared {
    /// A place of the earlier plan under the ids of the newer one.
    pub fn renamed(&self, place: &Place) -> Place {
        for (old, new) in &self.renames {
            if old.holds(place) {
                let rest = &place.as_str()[old.as_str().len()..];
                return Place::from_pointer(&format!("{}{rest}", new.as_str()));
            }
        }
        place.clone()
    }
}

/// The differences between two plans. Levels that moved further than `tolerance` (m) are marked. A value written in
/// another unit is no difference.
pub fn changes(old: &Value, new: &Value, book: &SchemaBook, units: UnitSystem, tolerance: f64) -> Compared {
    let renames = renames(old, new);
    let mut old = old.clone();
    let mut notes = Vec::new();
    for (from, to) in &renames {
        rename(&mut old, from, to);
        notes.push(format!(
            "\"{}\" is now called \"{}\"; its findings keep their numbers",
            book.title_of(from),
            book.title_of(to)
        ));
    }
    let mut comparison = Comparison {
        book,
        units,
        tolerance,
        changes: Vec::new(),
    };
    let (old, new) = (without_paper(old), without_paper(new.clone()));
    comparison.compare(&Place::root(), Some(&old), Some(&new));
    Compared {
        changes: comparison.changes,
        notes,
        renames,
    }
}

/// A plan without the parts that are about the paper.
fn without_paper(mut plan: Value) -> Value {
    if let Value::Object(members) = &mut plan {
        members.retain(|key, _| !PAPER.contains(&key.as_str()));
    }
    plan
}

struct Comparison<'a> {
    book: &'a SchemaBook,
    units: UnitSystem,
    tolerance: f64,
    changes: Vec<PlanChange>,
}

impl Comparison<'_> {
    fn compare(&mut self, place: &Place, old: Option<&Value>, new: Option<&Value>) {
        match (old, new) {
            (Some(Value::Object(before)), Some(Value::Object(after))) => {
                for (key, value) in after {
                    self.compare(&place.child(key), before.get(key), Some(value));
                }
                for (key, value) in before.iter().filter(|(key, _)| !after.contains_key(*key)) {
                    self.compare(&place.child(key), Some(value), None);
                }
            }
            (Some(before), Some(after)) if self.same(place, before, after) => {}
            (before, after) => {
                let moved = self.moved(place, before, after);
                self.changes.push(PlanChange {
                    place: place.clone(),
                    place_name: self.book.title_of(place),
                    before: before.map(|value| self.words(place, value)),
                    after: after.map(|value| self.words(place, value)),
                    moved,
                });
            }
        }
    }

    /// A quantity at a place, in SI.
    fn quantity(&self, place: &Place, value: &Value) -> Option<(f64, Kind)> {
        let kind = self.book.field_at(place)?.kind?;
        Some((Quantity::parse(value.as_str()?, kind).ok()?.si, kind))
    }

    fn same(&self, place: &Place, before: &Value, after: &Value) -> bool {
        if before == after {
            return true;
        }
        match (self.quantity(place, before), self.quantity(place, after)) {
            (Some((before, _)), Some((after, _))) => agree(before, after),
            _ => match (before.as_f64(), after.as_f64()) {
                (Some(before), Some(after)) => agree(before, after),
                _ => false,
            },
        }
    }

    /// How far a level moved, where that is over the tolerance.
    fn moved(&self, place: &Place, before: Option<&Value>, after: Option<&Value>) -> Option<String> {
        let (before, kind) = self.quantity(place, before?)?;
        let (after, _) = self.quantity(place, after?)?;
        let moved = after - before;
        let over = kind == Kind::Level && moved.abs() > self.tolerance && !agree(moved.abs(), self.tolerance);
        over.then(|| {
            let way = if moved > 0.0 { "up" } else { "down" };
            format!("{way} {}", show(moved.abs(), Kind::Length, self.units))
        })
    }

    /// A value in words; of a part with members those it shows, each by name.
    fn words(&self, place: &Place, value: &Value) -> String {
        match value {
            Value::String(text) => match (text.strip_prefix('-'), self.quantity(place, value)) {
                (Some(digits), Some(_)) => format!("\u{2212}{digits}"),
                _ => text.clone(),
            },
            Value::Bool(true) => "yes".to_owned(),
            Value::Bool(false) => "no".to_owned(),
            Value::Null => "none".to_owned(),
            Value::Number(number) => number.to_string(),
            Value::Array(items) => {
                let items = items.iter().enumerate();
                let words: Vec<String> = items
                    .map(|(index, item)| self.words(&place.child(&index.to_string()), item))
                    .collect();
                words.join("; ")
            }
            Value::Object(members) => {
                let members = members.iter().map(|(key, inner)| {
                    let at = place.child(key);
                    let field = self.book.field_at(&at);
                    let title = field.map_or_else(|| key.clone(), |field| field.title.clone());
                    let title = if title == "*" { key.clone() } else { title };
                    match inner {
                        Value::Object(_) => format!("{title} ({})", self.words(&at, inner)),
                        _ => format!("{title} {}", self.words(&at, inner)),
                    }
                });
                members.collect::<Vec<_>>().join(", ")
            }
        }
    }
}

/// Objects that went from one plan and came to the other under another id, and are alike in most of their values.
fn renames(old: &Value, new: &Value) -> Vec<(Place, Place)> {
    let mut renames = Vec::new();
    for collection in COLLECTIONS {
        let (Some(before), Some(after)) = (members(old, collection), members(new, collection)) else {
            continue;
        };
        let mut came: Vec<&String> = after.keys().filter(|id| !before.contains_key(*id)).collect();
        for id in before.keys().filter(|id| !after.contains_key(*id)) {
            let alike = |other: &str| likeness(&before[id], &after[other]);
            let best = came
                .iter()
                .enumerate()
                .map(|(index, other)| (alike(other), index))
                .max_by(|(a, _), (b, _)| a.total_cmp(b));
            if let Some((share, index)) = best
                && share >= SAME
            {
                let root = Place::root().child(collection);
                renames.push((root.child(id), root.child(came.remove(index))));
            }
        }
    }
    renames
}

fn members<'v>(plan: &'v Value, collection: &str) -> Option<&'v Map<String, Value>> {
    plan.get(collection)?.as_object()
}

/// The share of the values of two objects that are equal; nothing where they have few.
fn likeness(a: &Value, b: &Value) -> f64 {
    let (mut left, mut right) = (Vec::new(), Vec::new());
    leaves(&Place::root(), a, &mut left);
    leaves(&Place::root(), b, &mut right);
    let equal = left.iter().filter(|leaf| right.contains(leaf)).count();
    if equal < LEAST_ALIKE {
        return 0.0;
    }
    equal as f64 / left.len().max(right.len()) as f64
}

fn leaves<'v>(place: &Place, value: &'v Value, into: &mut Vec<(Place, &'v Value)>) {
    match value {
        Value::Object(members) => {
            for (key, inner) in members {
                leaves(&place.child(key), inner, into);
            }
        }
        _ => into.push((place.clone(), value)),
    }
}

/// Moves a member of a collection to another id.
fn rename(plan: &mut Value, from: &Place, to: &Place) {
    let (Some(collection), Some(old), Some(new)) = (from.parent(), from.parts().last(), to.parts().last())
    else {
        return;
    };
    if let Some(Value::Object(members)) = plan.pointer_mut(collection.as_str())
        && let Some(value) = members.shift_remove(&old)
    {
        members.insert(new, value);
    }
}
