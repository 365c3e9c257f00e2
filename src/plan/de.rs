//! A serde deserializer over the tree that hands out places with the values.

use std::fmt;

use serde::{
    Deserializer,
    de::{DeserializeSeed, IntoDeserializer, MapAccess, SeqAccess, Visitor, value},
    forward_to_deserialize_any,
};

use super::shown::{GIVEN, SHOWN};
use crate::read::{Node, Place, Value};

/// Why a value can't be read, and where it stands.
#[derive(Debug)]
pub(super) struct Error {
    pub message: String,
    pub place: Option<Place>,
}

impl Error {
    /// The same error with its place, where it has none from further in.
    fn at(mut self, place: &Place) -> Self {
        self.place.get_or_insert_with(|| place.clone());
        self
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Error {}

impl serde::de::Error for Error {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self {
            message: message.to_string(),
            place: None,
        }
    }
}

/// A node of the tree and its place.
pub(super) struct At<'a> {
    pub node: &'a Node,
    pub place: Place,
}

impl At<'_> {
    fn says_none(&self) -> bool {
        matches!(self.node.value, Value::Bool(false)) || self.node.text() == Some("none")
    }
}

impl<'de> Deserializer<'de> for At<'de> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match &self.node.value {
            Value::Null => visitor.visit_unit(),
            Value::Bool(yes) => visitor.visit_bool(*yes),
            Value::Text(text) => visitor.visit_borrowed_str(text),
            Value::Number(raw) => match (raw.parse::<u64>(), raw.parse::<f64>()) {
                (Ok(whole), _) => visitor.visit_u64(whole),
                (_, Ok(number)) => visitor.visit_f64(number),
                _ => Err(serde::de::Error::custom("not a number")),
            },
            Value::List(items) => visitor.visit_seq(Items {
                items: items.iter().enumerate(),
                place: self.place,
            }),
            Value::Object(members) => visitor.visit_map(Members {
                left: members.iter(),
                next: None,
                place: self.place,
            }),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        let place = self.place.clone();
        let value = match name {
            SHOWN if self.says_none() => None,
            SHOWN | GIVEN => Some(self),
            _ => return visitor.visit_newtype_struct(self),
        };
        let placed = Placed {
            place: Some(place.clone()),
            value,
        };
        visitor.visit_seq(placed).map_err(|error: Error| error.at(&place))
    }

    /// `true` where an object could stand says that there is one, and nothing more.
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        if self.node.value == Value::Bool(true) {
            return visitor.visit_map(value::MapDeserializer::new(std::iter::empty::<(&str, &str)>()));
        }
        self.deserialize_any(visitor)
    }

    /// The plan writes `thin lip` and `EPDM`; variants are named `thin-lip` and `epdm`.
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let text = self.node.text().unwrap_or_default();
        visitor.visit_enum(text.to_lowercase().replace(' ', "-").into_deserializer())
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf
        unit unit_struct seq tuple tuple_struct map identifier ignored_any
    }
}

/// A place, then the value that stands there, unless the plan says that there is none.
struct Placed<'a> {
    place: Option<Place>,
    value: Option<At<'a>>,
}

impl<'de> SeqAccess<'de> for Placed<'de> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        if let Some(place) = self.place.take() {
            return seed.deserialize(place.as_str().into_deserializer()).map(Some);
        }
        self.value.take().map(|at| seed.deserialize(at)).transpose()
    }
}

struct Items<'a> {
    items: std::iter::Enumerate<std::slice::Iter<'a, Node>>,
    place: Place,
}

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let Some((index, node)) = self.items.next() else {
            return Ok(None);
        };
        seed.deserialize(At {
            node,
            place: self.place.child(&index.to_string()),
        })
        .map(Some)
    }
}

struct Members<'a> {
    left: indexmap::map::Iter<'a, String, crate::read::Member>,
    next: Option<At<'a>>,
    place: Place,
}

impl<'de> MapAccess<'de> for Members<'de> {
    type Error = Error;

    /// The user's own `x-` keys pass by.
    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        let Some((key, member)) = self.left.by_ref().find(|(key, _)| !key.starts_with("x-")) else {
            return Ok(None);
        };
        self.next = Some(At {
            node: &member.node,
            place: self.place.child(key),
        });
        seed.deserialize(key.as_str().into_deserializer()).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Error> {
        match self.next.take() {
            Some(at) => seed.deserialize(at),
            None => Err(serde::de::Error::custom("a value before its key")),
        }
    }
}
