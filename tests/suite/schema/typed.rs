//! The fields of the typed plan as serde asks for them, held against the fields of the schema.

use std::{cell::RefCell, collections::BTreeMap};

use bywash::plan::{Plan, schema};
use serde::{
    Deserialize, Deserializer,
    de::{
        IntoDeserializer,
        value::{Error, MapDeserializer, SeqDeserializer},
    },
    forward_to_deserialize_any,
};
use serde_json::Value;

use super::{document, filled};

/// Fields by the place of the object that has them.
type Fields = BTreeMap<Vec<String>, Vec<&'static str>>;

/// A value at a place; every struct that is read from it leaves its fields in `seen`.
#[derive(Clone)]
struct Probe<'a> {
    value: &'a Value,
    place: Vec<String>,
    seen: &'a RefCell<Fields>,
}

impl<'a> Probe<'a> {
    fn inside(&self, key: &str, value: &'a Value) -> Self {
        let mut place = self.place.clone();
        place.push(key.to_owned());
        Self {
            value,
            place,
            seen: self.seen,
        }
    }
}

impl<'de> IntoDeserializer<'de> for Probe<'de> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

/// A place as text, or what stands there: the two halves of a value that is read together with its place.
enum Half<'a> {
    Place(String),
    Value(Probe<'a>),
}

impl<'de> IntoDeserializer<'de> for Half<'de> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for Half<'de> {
    type Error = Error;

    fn deserialize_any<V: serde::de::Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Place(place) => visitor.visit_string(place),
            Self::Value(probe) => probe.deserialize_any(visitor),
        }
    }

    fn deserialize_struct<V: serde::de::Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self {
            Self::Place(_) => self.deserialize_any(visitor),
            Self::Value(probe) => probe.deserialize_struct(name, fields, visitor),
        }
    }

    fn deserialize_enum<V: serde::de::Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self {
            Self::Place(_) => self.deserialize_any(visitor),
            Self::Value(probe) => probe.deserialize_enum(name, variants, visitor),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map identifier ignored_any
    }
}

impl<'de> Deserializer<'de> for Probe<'de> {
    type Error = Error;

    fn deserialize_any<V: serde::de::Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value {
            Value::Null => visitor.visit_unit(),
            Value::Bool(yes) => visitor.visit_bool(*yes),
            Value::String(text) => visitor.visit_borrowed_str(text),
            Value::Number(number) => match number.as_u64() {
                Some(whole) => visitor.visit_u64(whole),
                None => visitor.visit_f64(number.as_f64().unwrap()),
            },
            Value::Array(items) => {
                let numbered = items.iter().enumerate();
                visitor.visit_seq(SeqDeserializer::new(
                    numbered.map(|(index, item)| self.inside(&index.to_string(), item)),
                ))
            }
            Value::Object(members) => {
                let members = members.iter();
                visitor.visit_map(MapDeserializer::new(
                    members.map(|(key, member)| (key.as_str(), self.inside(key, member))),
                ))
            }
        }
    }

    /// The plan's own wrappers take a place and, where there is one, a value.
    fn deserialize_newtype_struct<V: serde::de::Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        if !matches!(name, "Shown" | "Given") {
            return visitor.visit_newtype_struct(self);
        }
        let says_none = matches!(self.value, Value::Bool(false)) || self.value == "none";
        let place = Half::Place(format!("/{}", self.place.join("/")));
        let value = (name == "Given" || !says_none).then_some(Half::Value(self));
        visitor.visit_seq(SeqDeserializer::new([Some(place), value].into_iter().flatten()))
    }

    fn deserialize_struct<V: serde::de::Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.seen.borrow_mut().insert(self.place.clone(), fields.to_vec());
        self.deserialize_any(visitor)
    }

    fn deserialize_enum<V: serde::de::Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let text = self.value.as_str().unwrap_or_default();
        visitor.visit_enum(text.to_lowercase().replace(' ', "-").into_deserializer())
    }

    fn deserialize_option<V: serde::de::Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf
        unit unit_struct seq tuple tuple_struct map identifier ignored_any
    }
}

/// Places of objects with fields of their own in a filled plan, by what the schema declares there.
fn declared(value: &Value, place: &[String], found: &mut BTreeMap<Vec<String>, Vec<String>>) {
    let pattern: Vec<&str> = place.iter().map(String::as_str).collect();
    let inside = |key: &str| [place, &[key.to_owned()]].concat();
    match value {
        Value::Object(members) => {
            let keys = schema().book().fields_of(&pattern);
            if !keys.is_empty() {
                found.insert(place.to_vec(), keys.iter().map(ToString::to_string).collect());
            }
            for (key, member) in members {
                declared(member, &inside(key), found);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                declared(item, &inside(&index.to_string()), found);
            }
        }
        _ => {}
    }
}

#[test]
fn objects_of_the_schema_and_structs_have_the_same_fields() {
    let plan = filled(&document(), &document());
    let seen = RefCell::new(Fields::new());
    let probe = Probe {
        value: &plan,
        place: Vec::new(),
        seen: &seen,
    };
    Plan::deserialize(probe).unwrap();
    let seen = seen.into_inner();
    let mut wanted = BTreeMap::new();
    declared(&plan, &[], &mut wanted);
    assert!(wanted.len() > 50, "only {} objects are compared", wanted.len());

    let mut failures = Vec::new();
    for (place, keys) in &wanted {
        let Some(fields) = seen.get(place) else {
            failures.push(format!("{place:?} is an object and no struct is read from it"));
            continue;
        };
        let of_the_file = |key: &&String| place.is_empty() && matches!(key.as_str(), "format" | "$schema");
        let unknown = keys
            .iter()
            .filter(|key| !fields.contains(&key.as_str()) && !of_the_file(key));
        failures.extend(unknown.map(|key| format!("{place:?}: the struct has no field `{key}`")));
        let undeclared = fields
            .iter()
            .filter(|field| !keys.iter().any(|key| key == *field));
        failures.extend(undeclared.map(|field| format!("{place:?}: the schema declares no `{field}`")));
    }
    failures.extend(
        seen.keys()
            .filter(|place| !wanted.contains_key(*place))
            .map(|place| format!("{place:?} is a struct and no object")),
    );
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
