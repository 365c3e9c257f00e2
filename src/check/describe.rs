//! The schema read as data: what a place of the plan is called, which kind of quantity it takes, which values.

use std::ptr;

use serde_json::Value as Json;

use super::schema::kind_of;
use crate::quantity::Kind;
use crate::read::Place;

/// The schema of a plan as a book to look things up in.
#[derive(Clone, Debug)]
pub struct SchemaBook {
    document: Json,
}

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
}

impl SchemaBook {
    /// The book of a schema.
    pub fn new(document: Json) -> Self {
        Self { document }
    }

    /// What the schema says of the field at a path of keys from the plan's root; `*` stands for any id of a
    /// collection and any item of a list. `None` where the schema declares no such field.
    pub fn field(&self, pattern: &[&str]) -> Option<Field> {
        let mut found = vec![&self.document];
        for part in pattern {
            found = self.step(&found, part).schemas;
        }
        if found.is_empty() {
            return None;
        }
        let all = self.expand(&found);
        let constants: Vec<&Json> = all.iter().flat_map(|schema| constants(schema)).collect();
        let text = |keyword| {
            all.iter()
                .find_map(|schema| schema.get(keyword)?.as_str().map(str::to_owned))
        };
        Some(Field {
            title: text("title").unwrap_or_else(|| pattern.last().copied().unwrap_or("plan").to_owned()),
            description: text("description"),
            kind: all.iter().find_map(|schema| kind_of(schema)),
            values: listed_values(&constants),
            may_be_none: constants.iter().any(|value| value.as_str() == Some("none")),
        })
    }

    /// What the schema says of the field at a place of a plan.
    pub fn field_at(&self, place: &Place) -> Option<Field> {
        let parts: Vec<String> = place.parts().collect();
        self.field(&parts.iter().map(String::as_str).collect::<Vec<_>>())
    }

    /// The keys the schema declares for the object at a path, in the schema's order.
    pub fn fields_of(&self, pattern: &[&str]) -> Vec<&str> {
        let mut found = vec![&self.document];
        for part in pattern {
            found = self.step(&found, part).schemas;
        }
        self.keys_of(&found)
    }

    /// A readable name for a place of a plan, such as `bed / lining / underlay / mass`: ids as they are, fields by
    /// their titles, items of a list by their number from 1. The collection an object is in is left out.
    pub fn title_of(&self, place: &Place) -> String {
        let parts: Vec<String> = place.parts().collect();
        let mut names = Vec::with_capacity(parts.len());
        let mut found = vec![&self.document];
        for (depth, part) in parts.iter().enumerate() {
            let step = self.step(&found, part);
            let holds_ids = depth == 0 && parts.len() > 1 && self.is_collection(&step.schemas);
            if !holds_ids {
                names.push(self.name_of(part, &step));
            }
            found = step.schemas;
        }
        if names.is_empty() {
            return "plan".to_owned();
        }
        names.join(" / ")
    }

    fn name_of(&self, part: &str, step: &Step<'_>) -> String {
        let title = || {
            self.expand(&step.schemas)
                .iter()
                .find_map(|schema| schema.get("title")?.as_str())
        };
        match step.reached {
            Reached::Field => title().unwrap_or(part).to_owned(),
            Reached::Item => part
                .parse::<usize>()
                .map_or_else(|_| part.to_owned(), |index| (index + 1).to_string()),
            Reached::Id => part.to_owned(),
        }
    }

    /// Whether schemas describe a collection: objects by id, with no fields of its own.
    fn is_collection(&self, schemas: &[&Json]) -> bool {
        let all = self.expand(schemas);
        all.iter()
            .any(|schema| schema.get("additionalProperties").is_some_and(Json::is_object))
            && all.iter().all(|schema| schema.get("properties").is_none())
    }

    /// The schemas of a member or item, and how it was reached.
    fn step<'s>(&'s self, schemas: &[&'s Json], part: &str) -> Step<'s> {
        let all = self.expand(schemas);
        let through = |find: &dyn Fn(&'s Json) -> Option<&'s Json>| -> Vec<&'s Json> {
            all.iter().filter_map(|schema| find(schema)).collect()
        };
        let fields = through(&|schema| schema.get("properties")?.get(part));
        if !fields.is_empty() {
            return Step {
                schemas: fields,
                reached: Reached::Field,
            };
        }
        if part == "*" || part.parse::<usize>().is_ok() {
            let index = part.parse().unwrap_or(0);
            let items = through(&|schema| {
                let first = schema.get("prefixItems").and_then(|items| items.get(index));
                first.or_else(|| schema.get("items").filter(|items| items.is_object()))
            });
            if !items.is_empty() {
                return Step {
                    schemas: items,
                    reached: Reached::Item,
                };
            }
        }
        let by_id = through(&|schema| {
            schema
                .get("additionalProperties")
                .filter(|inner| inner.is_object())
        });
        Step {
            schemas: by_id,
            reached: Reached::Id,
        }
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
        let field = self.step(&[object], key).schemas;
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

/// Where one step of a path leads.
struct Step<'s> {
    schemas: Vec<&'s Json>,
    reached: Reached,
}

/// The values that `const` and `enum` of a schema accept.
pub(super) fn constants(schema: &Json) -> impl Iterator<Item = &Json> {
    let listed = schema.get("enum").and_then(Json::as_array);
    schema
        .get("const")
        .into_iter()
        .chain(listed.into_iter().flatten())
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
