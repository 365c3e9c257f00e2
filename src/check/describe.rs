//! The schema read as data: what a place of the plan is called, which kind of quantity it takes, which values.

use std::ptr;

use indexmap::IndexMap;

use serde_json::Value as Json;

use super::shape::{Shape, constants, is_collection, kind_of, shape_of, texts_of};
use crate::quantity::Kind;
use crate::read::Place;
use crate::text::typographic;

/// The schema of a plan as a book to look things up in.
#[derive(Clone, Debug)]
pub struct SchemaBook {
    document: Json,
    /// Every field the schema declares, looked up once; the first is the plan itself.
    entries: Vec<Entry>,
}

/// A field of the schema and the ways on from it.
#[derive(Clone, Debug)]
struct Entry {
    field: Field,
    /// Whether it holds objects by id, with no fields of its own.
    is_collection: bool,
    fields: IndexMap<String, usize>,
    by_id: Option<usize>,
    /// Items of a list by number; the last stands for all that follow.
    items: Vec<usize>,
}

/// Fields further in than this are not looked up: a schema may contain itself.
const DEEPEST: usize = 16;

/// What the schema says of a field of the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its readable name: the schema's title, else the key.
    pub title: String,
    /// What it means.
    pub description: Option<String>,
    /// The kind of quantity it takes.
    pub kind: Option<Kind>,
    /// The texts and numbers it may be, where they are listed; `"none"` is not among them.
    pub values: Vec<String>,
    /// Whether `"none"` may say that there is none.
    pub may_be_none: bool,
    /// The least and the most it plausibly is, where the schema says so.
    pub plausible: Option<[String; 2]>,
    /// The form of its value.
    pub shape: Shape,
    /// Whether `true` may say that there is one, and nothing more, where an object could stand.
    pub may_be_true: bool,
    /// The fields that an object there must have.
    pub required: Vec<String>,
    /// How many items a list there must have, if it stands there at all.
    pub least_items: usize,
    /// The collections whose ids it may name: those of the plan, or one it stands in itself.
    pub refers_to: Vec<String>,
    /// How it is written, by an example.
    pub example: Option<String>,
}

impl SchemaBook {
    /// The book of a schema.
    pub fn new(document: Json) -> Self {
        let empty = Self {
            document,
            entries: Vec::new(),
        };
        let mut entries = Vec::new();
        empty.enter(&mut entries, &[&empty.document], "plan", DEEPEST);
        Self { entries, ..empty }
    }

    /// Enters a field and all that lies within it.
    fn enter(&self, entries: &mut Vec<Entry>, schemas: &[&Json], key: &str, deeper: usize) -> usize {
        let all = self.expand(schemas);
        let index = entries.len();
        entries.push(Entry {
            field: field_of(&all, key),
            is_collection: is_collection(&all),
            fields: IndexMap::new(),
            by_id: None,
            items: Vec::new(),
        });
        if deeper == 0 {
            return index;
        }
        for key in self.keys_of(schemas) {
            let inner = self.step(schemas, key);
            let at = self.enter(entries, &inner, key, deeper - 1);
            entries[index].fields.insert(key.to_owned(), at);
        }
        let through = |find: &dyn Fn(&'_ Json) -> Option<&'_ Json>| -> Vec<&Json> {
            all.iter().filter_map(|schema| find(schema)).collect()
        };
        let by_id = through(&|schema| {
            schema
                .get("additionalProperties")
                .filter(|inner| inner.is_object())
        });
        if !by_id.is_empty() {
            entries[index].by_id = Some(self.enter(entries, &by_id, "*", deeper - 1));
        }
        let firsts = all
            .iter()
            .find_map(|schema| schema.get("prefixItems")?.as_array());
        let rest = through(&|schema| schema.get("items").filter(|items| items.is_object()));
        let lists = firsts
            .into_iter()
            .flatten()
            .map(|first| vec![first])
            .chain((!rest.is_empty()).then_some(rest));
        for list in lists {
            let at = self.enter(entries, &list, "*", deeper - 1);
            entries[index].items.push(at);
        }
        index
    }

    /// What the schema says of the field at a path of keys from the plan's root; `*` stands for any id of a
    /// collection and any item of a list. `None` where the schema declares no such field.
    pub fn field(&self, pattern: &[&str]) -> Option<Field> {
        let start = self.entries.first()?;
        let entry = pattern
            .iter()
            .try_fold(start, |entry, part| Some(self.onward(entry, part)?.0))?;
        Some(entry.field.clone())
    }

    /// What the schema says of the field at a place of a plan.
    pub fn field_at(&self, place: &Place) -> Option<&Field> {
        let start = self.entries.first()?;
        let entry = place
            .parts()
            .try_fold(start, |entry, part| Some(self.onward(entry, &part)?.0))?;
        Some(&entry.field)
    }

    /// The entry of a member or item, and how it was reached.
    fn onward(&self, entry: &Entry, part: &str) -> Option<(&Entry, Reached)> {
        let number = if part == "*" {
            Some(0)
        } else {
            part.parse::<usize>().ok()
        };
        let item = number.and_then(|number| entry.items.get(number).or(entry.items.last()));
        let (at, reached) = match (entry.fields.get(part), item, entry.by_id) {
            (Some(field), ..) => (*field, Reached::Field),
            (None, Some(item), _) => (*item, Reached::Item),
            (None, None, id) => (id?, Reached::Id),
        };
        Some((self.entries.get(at)?, reached))
    }

    /// The place of a plan as a pattern: its keys, with `*` for each id of a collection and each item of a list.
    pub fn pattern_of(&self, place: &Place) -> String {
        let mut pattern = String::new();
        let mut entry = self.entries.first();
        for part in place.parts() {
            let step = entry.and_then(|entry| self.onward(entry, &part));
            pattern.push('/');
            match step {
                Some((_, Reached::Field)) | None => pattern.push_str(&part),
                Some((_, Reached::Item | Reached::Id)) => pattern.push('*'),
            }
            entry = step.map(|(entry, _)| entry);
        }
        pattern
    }

    /// The keys the schema declares for the object at a path, in the schema's order.
    pub fn fields_of(&self, pattern: &[&str]) -> Vec<&str> {
        let start = self.entries.first();
        let entry = start.and_then(|start| {
            pattern
                .iter()
                .try_fold(start, |entry, part| Some(self.onward(entry, part)?.0))
        });
        entry
            .into_iter()
            .flat_map(|entry| entry.fields.keys().map(String::as_str))
            .collect()
    }

    /// A readable name for a place of a plan, such as `bed / lining / underlay / mass`: ids as they are, fields by
    /// their titles, items of a list by their number from 1. The collection an object is in is left out.
    pub fn title_of(&self, place: &Place) -> String {
        let mut names: Vec<String> = Vec::new();
        let mut entry = self.entries.first();
        let mut parts = place.parts().peekable();
        let mut outermost = true;
        while let Some(part) = parts.next() {
            let step = entry.and_then(|entry| self.onward(entry, &part));
            let inside = outermost && parts.peek().is_some();
            entry = step.map(|(entry, _)| entry);
            match step {
                Some((collection, _)) if inside && collection.is_collection => {}
                Some((field, Reached::Field)) => names.push(field.field.title.clone()),
                Some((_, Reached::Item)) => {
                    names.push(
                        part.parse::<usize>()
                            .map_or(part, |index| (index + 1).to_string()),
                    );
                }
                Some((_, Reached::Id)) | None => names.push(part),
            }
            outermost = false;
        }
        if names.is_empty() {
            "plan".to_owned()
        } else {
            names.join(" / ")
        }
    }

    /// The schemas of a declared field.
    fn step<'s>(&'s self, schemas: &[&'s Json], key: &str) -> Vec<&'s Json> {
        self.expand(schemas)
            .iter()
            .filter_map(|schema| schema.get("properties")?.get(key))
            .collect()
    }

    /// Schemas with all that they refer to and are composed of, each once, the outer ones first.
    fn expand<'s>(&'s self, schemas: &[&'s Json]) -> Vec<&'s Json> {
        let mut all: Vec<&Json> = Vec::new();
        let mut waiting: Vec<&Json> = schemas.iter().rev().copied().collect();
        while let Some(schema) = waiting.pop() {
            if all.iter().any(|known| ptr::eq(*known, schema)) {
                continue;
            }
            all.push(schema);
            for keyword in ["else", "then"] {
                waiting.extend(schema.get(keyword));
            }
            for keyword in ["oneOf", "anyOf", "allOf"] {
                let branches = schema.get(keyword).and_then(Json::as_array);
                waiting.extend(branches.into_iter().flatten().rev());
            }
            waiting.extend(self.referred(schema));
        }
        all
    }

    /// The schema that a `$ref` leads to; only places within the document are known.
    fn referred(&self, schema: &Json) -> Option<&Json> {
        self.document
            .pointer(schema.get("$ref")?.as_str()?.strip_prefix('#')?)
    }

    /// A schema and what its chain of `$ref`s leads to, without the branches of unions.
    pub(super) fn chain<'s>(&'s self, schema: &'s Json) -> Vec<&'s Json> {
        let mut chain = vec![schema];
        let mut last = schema;
        while let Some(next) = self.referred(last) {
            if chain.iter().any(|known| ptr::eq(*known, next)) {
                break;
            }
            chain.push(next);
            last = next;
        }
        chain
    }

    /// The part of the schema at a JSON Pointer.
    pub(super) fn at(&self, pointer: &str) -> Option<&Json> {
        self.document.pointer(pointer)
    }

    /// The keys that schemas declare.
    pub(super) fn keys_of<'s>(&'s self, schemas: &[&'s Json]) -> Vec<&'s str> {
        let mut keys = Vec::new();
        for schema in self.expand(schemas) {
            let declared = schema.get("properties").and_then(Json::as_object);
            for key in declared.into_iter().flat_map(|properties| properties.keys()) {
                if !keys.contains(&key.as_str()) {
                    keys.push(key.as_str());
                }
            }
        }
        keys
    }

    /// The values that the field `key` of an object with this schema may be, where they are listed.
    pub(super) fn values_of(&self, object: &Json, key: &str) -> Vec<String> {
        let field = self.step(&[object], key);
        let constants: Vec<&Json> = self
            .expand(&field)
            .iter()
            .flat_map(|schema| constants(schema))
            .collect();
        listed_values(&constants)
    }
}

/// How one step of a path was taken.
#[derive(Clone, Copy)]
enum Reached {
    /// By a field the schema declares.
    Field,
    /// By the number of an item.
    Item,
    /// By an id of the plan.
    Id,
}

/// What schemas say of a field, the outer ones first.
fn field_of(all: &[&Json], key: &str) -> Field {
    let constants: Vec<&Json> = all.iter().flat_map(|schema| constants(schema)).collect();
    let text = |keyword| {
        all.iter()
            .find_map(|schema| schema.get(keyword)?.as_str().map(str::to_owned))
    };
    Field {
        title: text("title").map_or_else(|| key.to_owned(), |title| typographic(&title)),
        description: text("description").map(|text| typographic(&text)),
        kind: all.iter().find_map(|schema| kind_of(schema)),
        values: listed_values(&constants),
        plausible: all.iter().find_map(|schema| plausible(schema)),
        may_be_none: constants.iter().any(|value| value.as_str() == Some("none")),
        shape: shape_of(all),
        may_be_true: constants.contains(&&Json::Bool(true)),
        required: texts_of(all, "required"),
        least_items: all
            .iter()
            .find_map(|schema| schema.get("minItems")?.as_u64())
            .and_then(|least| usize::try_from(least).ok())
            .unwrap_or_default(),
        refers_to: texts_of(all, "refers_to"),
        example: texts_of(all, "examples").into_iter().next(),
    }
}

/// The keyword `plausible` of a schema: two texts, the least and the most.
fn plausible(schema: &Json) -> Option<[String; 2]> {
    let ends = schema.get("plausible")?.as_array()?;
    let texts: Vec<String> = ends
        .iter()
        .filter_map(|end| Some(end.as_str()?.to_owned()))
        .collect();
    texts.try_into().ok()
}

/// The texts and numbers among accepted values, but for `"none"`.
fn listed_values(constants: &[&Json]) -> Vec<String> {
    constants
        .iter()
        .filter_map(|value| match value {
            Json::String(text) if text != "none" => Some(text.clone()),
            Json::Number(number) => Some(number.to_string()),
            _ => None,
        })
        .collect()
}
