//! What a plan says of a value: nothing, that there is none, or the value with its place.

use std::{fmt, marker::PhantomData, ops::Deref};

use indexmap::IndexMap;
use serde::{
    Deserialize, Deserializer,
    de::{self, SeqAccess, Visitor},
};

use crate::read::Place;

/// A value and its place in the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Given<T> {
    /// The value, SI where it is a quantity.
    pub value: T,
    /// Where the plan gives it.
    pub place: Place,
}

impl<T> Deref for Given<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

/// What the plan says of a value. Left out and said to be none are never mixed up.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Shown<T> {
    /// Left out: a question to the designer.
    #[default]
    NotShown,
    /// `false` or `"none"`: the plan says that there is none.
    None(Place),
    /// The value.
    Is(Given<T>),
}

impl<T> Shown<T> {
    /// The value with its place, where the plan gives one.
    pub fn given(&self) -> Option<&Given<T>> {
        match self {
            Self::Is(given) => Some(given),
            _ => None,
        }
    }

    /// The value alone, where the plan gives one.
    pub fn value(&self) -> Option<&T> {
        self.given().map(|given| &given.value)
    }

    /// Whether the plan says that there is none.
    pub fn is_none(&self) -> bool {
        matches!(self, Self::None(_))
    }
}

impl Shown<bool> {
    /// Yes, no, or not shown.
    pub fn yes(&self) -> Option<bool> {
        match self {
            Self::NotShown => None,
            Self::None(_) => Some(false),
            Self::Is(given) => Some(given.value),
        }
    }
}

/// What an object is called: its name, else its id.
pub(crate) fn name_of<'a>(id: &'a str, name: &'a Shown<String>) -> &'a str {
    name.value().map_or(id, String::as_str)
}

/// A collection by id, in the order of the file; each member with its place.
pub type Map<T> = IndexMap<String, Given<T>>;

/// One id or several.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ids(pub Vec<String>);

/// The names under which a deserializer is asked for a value together with its place.
pub(super) const GIVEN: &str = "Given";
pub(super) const SHOWN: &str = "Shown";

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Given<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (place, value) = deserializer.deserialize_newtype_struct(GIVEN, Placed(PhantomData))?;
        let value = value.ok_or_else(|| de::Error::custom("a value is required here"))?;
        Ok(Self { value, place })
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Shown<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (place, value) = deserializer.deserialize_newtype_struct(SHOWN, Placed(PhantomData))?;
        Ok(match value {
            Some(value) => Self::Is(Given { value, place }),
            None => Self::None(place),
        })
    }
}

/// Takes a place and, where there is one, the value.
struct Placed<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Placed<T> {
    type Value = (Place, Option<T>);

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value with its place")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
        let pointer: String = seq.next_element()?.ok_or_else(|| de::Error::custom("no place"))?;
        Ok((Place::from_pointer(&pointer), seq.next_element()?))
    }
}

impl<'de> Deserialize<'de> for Ids {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OneOrSeveral;
        impl<'de> Visitor<'de> for OneOrSeveral {
            type Value = Ids;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an id or a list of ids")
            }

            fn visit_str<E: de::Error>(self, id: &str) -> Result<Ids, E> {
                Ok(Ids(vec![id.to_owned()]))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Ids, A::Error> {
                let mut ids = Vec::new();
                while let Some(id) = seq.next_element()? {
                    ids.push(id);
                }
                Ok(Ids(ids))
            }
        }
        deserializer.deserialize_any(OneOrSeveral)
    }
}
