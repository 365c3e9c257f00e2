//! Edits to changes of the text: what each act of the user writes into the plan.

use serde_json::{Value as Json, json};

pub use super::pen::Pen;

use super::{
    new_rows::NewRow,
    typed::{height, snap, snapped, typed},
    write::{Change, WriteError, rewrite},
};
use crate::{
    check::Shape,
    quantity::{Kind, Quantity},
    read::{Node, Place, Value},
};

/// Why an edit can't be made, in words.
pub type Refusal = String;

impl Pen<'_> {
    fn write(&self, changes: &[Change]) -> Result<String, Refusal> {
        rewrite(self.text, changes, self.book).map_err(|error| error.to_string())
    }

    fn kind(&self, at: &Place) -> Option<Kind> {
        self.book.field_at(at)?.kind
    }

    /// Sets a value as it was typed; an empty text takes it away.
    pub fn set(&self, at: &Place, text: &str) -> Result<String, Refusal> {
        if text.trim().is_empty() {
            return self.empty(at);
        }
        let value = typed(self.book.field_at(at), text);
        self.write(&[Change::Set(at.clone(), value)])
    }

    /// Takes away what a value said. A cell of a pair stays empty, so that the other one keeps its column; a row goes with
    /// its last cell.
    fn empty(&self, at: &Place) -> Result<String, Refusal> {
        let row = at
            .parent()
            .and_then(|row| Some((self.tree.at(&row)?, row)))
            .filter(|(_, row)| row.parent().is_some_and(|list| self.is_list(&list)));
        let Some((node, row)) = row else {
            return self.forget(at);
        };
        let says = |cell: &Node| cell.text().is_none_or(|text| !text.is_empty());
        let (said, is_pair) = match &node.value {
            Value::List(cells) => (cells.iter().filter(|cell| says(cell)).count(), true),
            Value::Object(members) => (
                members.values().filter(|member| says(&member.node)).count(),
                false,
            ),
            _ => (0, false),
        };
        if said <= 1 && self.tree.at(at).is_some_and(says) {
            return self.forget(&row);
        }
        if is_pair {
            return self.write(&[Change::Set(at.clone(), json!(""))]);
        }
        self.forget(at)
    }

    /// Takes a value away.
    pub fn forget(&self, at: &Place) -> Result<String, Refusal> {
        if self.tree.at(at).is_none() {
            return Ok(self.text.to_owned());
        }
        let mut changes = Vec::new();
        if self.is_object_by_id(at) {
            // What accepts a deviation there goes with the object.
            let within = self.acceptances().filter(|(_, place)| at.holds(place));
            changes.extend(within.map(|(acceptance, _)| Change::Remove(acceptance)));
        }
        changes.push(Change::Remove(at.clone()));
        self.write(&changes)
    }

    /// Takes a merge patch over (RFC 7396).
    pub fn merge(&self, patch: &str) -> Result<String, Refusal> {
        let patch: Json =
            serde_json::from_str(patch).map_err(|error| format!("this is no patch: {error}"))?;
        if !patch.is_object() {
            return Err("this is no patch: it sets no value of a plan".to_owned());
        }
        let mut changes = Vec::new();
        for change in merged(&patch) {
            match &change {
                Change::Remove(at) if self.tree.at(at).is_none() => {}
                _ => changes.push(change),
            }
        }
        self.write(&changes)
    }

    /// Says that there is none.
    pub fn none(&self, at: &Place) -> Result<String, Refusal> {
        let field = self.book.field_at(at);
        let value = match field.map(|field| field.shape) {
            Some(Shape::Collection) => json!({}),
            Some(Shape::YesNo) => json!(false),
            _ => json!("none"),
        };
        self.write(&[Change::Set(at.clone(), value)])
    }

    /// Says that there is one, and nothing more of it.
    pub fn one(&self, at: &Place) -> Result<String, Refusal> {
        let value = match self.book.field_at(at) {
            Some(field) if field.may_be_true => json!(true),
            _ => json!({}),
        };
        self.write(&[Change::Set(at.clone(), value)])
    }

    /// A level as a depth below another one.
    pub fn below(&self, at: &Place, from: &Place, text: &str) -> Result<String, Refusal> {
        let from = self.level(from).ok_or("the level to measure from is not shown")?;
        let depth =
            Quantity::parse(text, Kind::Length).map_err(|error| format!("{error}; {}", error.help()))?;
        let level = height(from - depth.si, Kind::Level, self.units);
        self.set(at, &level)
    }

    /// A level or length that the plan shows, m.
    fn level(&self, at: &Place) -> Option<f64> {
        let text = self.tree.at(at)?.text()?;
        Some(Quantity::parse(text, self.kind(at)?).ok()?.si)
    }

    /// Moves a level or height to where it is dragged.
    pub fn drag(&self, at: &Place, to: f64) -> Result<String, Refusal> {
        let kind = self
            .kind(at)
            .filter(|kind| matches!(kind, Kind::Level | Kind::Length));
        match kind {
            Some(kind) if to.is_finite() && to.abs() < 1000.0 => self.set(at, &snapped(to, kind, self.units)),
            _ => Err("that can’t be dragged".to_owned()),
        }
    }

    /// Moves a level or height by steps of the snap.
    pub fn nudge(&self, at: &Place, steps: i32) -> Result<String, Refusal> {
        let now = self.level(at).ok_or("the plan does not show this value yet")?;
        self.drag(at, now + f64::from(steps) * snap(self.units))
    }

    /// Adds a member to a collection; returns the text and the new place.
    pub fn add(&self, at: &Place, id: &str, kind: &str) -> Result<(String, Place), Refusal> {
        let id = id.trim();
        self.free(at, id)?;
        let place = at.child(id);
        let value = self.blank(&place, kind);
        Ok((self.write(&[Change::Set(place.clone(), value)])?, place))
    }

    /// Adds rows to a list, each with the text of its cells.
    pub fn add_rows(&self, list: &Place, rows: &[NewRow]) -> Result<String, Refusal> {
        let values = rows.iter().map(|row| self.row(&list.child("0"), row));
        let count = self.items(list);
        if count == 0 {
            return self.write(&[Change::Set(list.clone(), values.collect())]);
        }
        let changes = values
            .enumerate()
            .map(|(index, value)| Change::Set(list.child(&(count + index).to_string()), value));
        self.write(&changes.collect::<Vec<_>>())
    }

    /// A row as the plan writes it: an object by the keys of its schema, or a pair.
    fn row(&self, item: &Place, row: &NewRow) -> Json {
        let value = |key: &str| Some(typed(self.book.field_at(&item.child(key)), row.get(key)?));
        let keys = self.keys(item);
        if keys.is_empty() {
            return ["0", "1"].into_iter().filter_map(value).collect();
        }
        let members = keys
            .into_iter()
            .filter_map(|key| Some((key.to_owned(), value(key)?)));
        Json::Object(members.collect())
    }

    /// The keys of the object at a place that its schema knows, in the schema's order.
    pub fn keys(&self, at: &Place) -> Vec<&str> {
        let pattern = self.book.pattern_of(at);
        let parts: Vec<&str> = pattern.split('/').skip(1).collect();
        self.book.fields_of(&parts)
    }

    /// How many items a list has.
    pub fn items(&self, list: &Place) -> usize {
        match self.tree.at(list).map(|node| &node.value) {
            Some(Value::List(items)) => items.len(),
            _ => 0,
        }
    }

    /// What a new member says: what its schema requires, where only one answer is possible or it was chosen.
    fn blank(&self, place: &Place, kind: &str) -> Json {
        let Some(field) = self.book.field_at(place) else {
            return json!({});
        };
        match field.shape {
            Shape::Whole | Shape::Number => return json!(1),
            Shape::Object => {}
            _ => return json!(""),
        }
        let mut object = serde_json::Map::new();
        for key in &field.required {
            let inner = place.child(key);
            let Some(required) = self.book.field_at(&inner) else {
                continue;
            };
            let only = self.known(&inner).filter(|ids| ids.len() == 1);
            if let Some(ids) = only {
                object.insert(key.clone(), json!(ids[0]));
            } else if let Some(first) = required.values.first() {
                let chosen = required.values.iter().find(|value| *value == kind);
                object.insert(key.clone(), json!(chosen.unwrap_or(first)));
            }
        }
        Json::Object(object)
    }

    /// The ids a field may name.
    pub fn known(&self, at: &Place) -> Option<Vec<String>> {
        let field = self.book.field_at(at)?;
        if field.refers_to.is_empty() {
            return None;
        }
        let collections = field.refers_to.iter().map(|name| collection(at, name));
        let ids = collections.filter_map(|place| match &self.tree.at(&place)?.value {
            Value::Object(members) => Some(members.keys().cloned().collect::<Vec<_>>()),
            _ => None,
        });
        Some(ids.flatten().filter(|id| !id.starts_with("x-")).collect())
    }

    /// Whether an id may be given to a new member of a collection.
    fn free(&self, collection: &Place, id: &str) -> Result<(), Refusal> {
        if id.is_empty() {
            return Err("a name is required".to_owned());
        }
        if id == "none" || id.starts_with("x-") || id.chars().any(crate::text::acts) {
            return Err(format!("`{}` can’t be a name", crate::text::shown(id)));
        }
        if self.tree.at(&collection.child(id)).is_some() {
            return Err(format!("`{}` is there already", crate::text::shown(id)));
        }
        Ok(())
    }

    /// Whether a place is a list of rows.
    pub fn is_list(&self, at: &Place) -> bool {
        let field = self.book.field_at(at);
        field.is_some_and(|field| field.shape == Shape::List)
    }

    fn is_object_by_id(&self, at: &Place) -> bool {
        at.parent()
            .and_then(|holder| self.book.field_at(&holder))
            .is_some_and(|field| field.shape == Shape::Collection)
    }

    /// Gives an object another id; what names it follows. Returns the text and the object's new place.
    pub fn rename(&self, at: &Place, id: &str) -> Result<(String, Place), Refusal> {
        let id = id.trim();
        let holder = at.parent().ok_or("the plan itself has no name")?;
        let old = at.parts().last().unwrap_or_default();
        if old == id {
            return Ok((self.text.to_owned(), at.clone()));
        }
        self.free(&holder, id)?;
        let new = holder.child(id);
        let mut changes = Vec::new();
        self.references(self.tree, &Place::root(), &holder, &old, &mut |place| {
            changes.push(Change::Set(place, json!(id)));
        });
        for (acceptance, place) in self.acceptances() {
            if let Some(rest) = place
                .as_str()
                .strip_prefix(at.as_str())
                .filter(|_| at.holds(&place))
            {
                let moved = format!("{}{rest}", new.as_str());
                changes.push(Change::Set(acceptance.child("place"), json!(moved)));
            }
        }
        // Last, because what was named before stands at places of the old name.
        changes.push(Change::Rename(at.clone(), id.to_owned()));
        Ok((self.write(&changes)?, new))
    }

    /// Every text below a node that names a member of a collection.
    fn references(&self, node: &Node, here: &Place, holder: &Place, id: &str, found: &mut impl FnMut(Place)) {
        match &node.value {
            Value::Object(members) => {
                for (key, member) in members {
                    self.references(&member.node, &here.child(key), holder, id, found);
                }
            }
            Value::List(items) => {
                for (index, item) in items.iter().enumerate() {
                    self.references(item, &here.child(&index.to_string()), holder, id, found);
                }
            }
            Value::Text(text) if text == id => {
                // An item of a list names what the list does.
                let own = self
                    .book
                    .field_at(here)
                    .filter(|field| !field.refers_to.is_empty());
                let list = || here.parent().and_then(|list| self.book.field_at(&list));
                let names = own.or_else(list).map(|field| field.refers_to.as_slice());
                let resolves = |name: &String| {
                    let collection = collection(here, name);
                    self.tree.at(&collection.child(id)).map(|_| collection)
                };
                let first = names.unwrap_or_default().iter().find_map(resolves);
                if first.as_ref() == Some(holder) {
                    found(here.clone());
                }
            }
            _ => {}
        }
    }

    /// A free id in a collection: an id with a number from 2 on.
    fn numbered(&self, holder: &Place, id: &str) -> String {
        let mut number = 2_u32;
        loop {
            let tried = format!("{id}-{number}");
            if self.tree.at(&holder.child(&tried)).is_none() {
                return tried;
            }
            number += 1;
        }
    }

    /// Copies an object under a free id. Returns the text and the new place.
    pub fn copy(&self, at: &Place) -> Result<(String, Place), Refusal> {
        let holder = at.parent().ok_or("the plan itself can’t be copied")?;
        let node = self
            .tree
            .at(at)
            .ok_or_else(|| WriteError::NoPlace(at.clone()).to_string())?;
        let old = at.parts().last().unwrap_or_default();
        let id = self.numbered(&holder, &old);
        let place = holder.child(&id);
        Ok((self.write(&[Change::Set(place.clone(), node.to_json())])?, place))
    }

    /// Accepts a finding by name.
    pub fn accept(
        &self,
        rule: &str,
        at: &Place,
        [reason, initials, until]: [&str; 3],
    ) -> Result<String, Refusal> {
        if reason.trim().is_empty() || initials.trim().is_empty() || until.trim().is_empty() {
            return Err("an acceptance needs a reason, initials and a last day".to_owned());
        }
        let all = Place::root().child("accepted");
        let id = if self.tree.at(&all.child(rule)).is_none() {
            rule.to_owned()
        } else {
            self.numbered(&all, rule)
        };
        let value = json!({
            "rule": rule,
            "place": at.as_str(),
            "reason": reason.trim(),
            "initials": initials.trim(),
            "until": until.trim(),
        });
        self.write(&[Change::Set(all.child(&id), value)])
    }

    /// The acceptances of the plan, and the place of each.
    fn acceptances(&self) -> impl Iterator<Item = (Place, Place)> {
        let all = Place::root().child("accepted");
        let members = match self.tree.at(&all).map(|node| &node.value) {
            Some(Value::Object(members)) => Some(members),
            _ => None,
        };
        members.into_iter().flatten().filter_map(move |(id, member)| {
            let place = member.node.get("place")?.text()?;
            Some((all.child(id), Place::from_pointer(place)))
        })
    }
}

/// The changes that a merge patch makes.
pub fn merged(patch: &Json) -> Vec<Change> {
    fn enter(here: &Place, patch: &Json, changes: &mut Vec<Change>) {
        match patch {
            Json::Object(members) if !members.is_empty() || here.as_str().is_empty() => {
                for (key, member) in members {
                    enter(&here.child(key), member, changes);
                }
            }
            Json::Null => changes.push(Change::Remove(here.clone())),
            value => changes.push(Change::Set(here.clone(), value.clone())),
        }
    }
    let mut changes = Vec::new();
    enter(&Place::root(), patch, &mut changes);
    changes
}

/// A collection by its name: the one a place stands in itself, else the plan's.
fn collection(from: &Place, name: &str) -> Place {
    let mut above = from.parent();
    while let Some(place) = above {
        if place.parts().last().as_deref() == Some(name) {
            return place;
        }
        above = place.parent();
    }
    Place::root().child(name)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
