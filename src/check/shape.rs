//! What form of value the schema gives a field, for whoever asks for one.

use serde_json::Value as Json;

use crate::quantity::Kind;

/// The name of the keyword.
pub(super) const QUANTITY: &str = "quantity";

/// The kind of quantity a schema names.
pub(super) fn kind_of(schema: &Json) -> Option<Kind> {
    schema.get(QUANTITY)?.as_str()?.parse().ok()
}

/// The form of a field's value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shape {
    /// A text.
    #[default]
    Text,
    /// A quantity, written with its unit.
    Quantity,
    /// A plain number.
    Number,
    /// A whole number.
    Whole,
    /// Yes or no.
    YesNo,
    /// One of a few texts.
    Choice,
    /// Always the same text.
    Fixed,
    /// An object with fields of its own.
    Object,
    /// Objects or values by id.
    Collection,
    /// A list.
    List,
    /// One text, or a list of them.
    OneOrSeveral,
}

/// The form that schemas give a value: a schema, all it refers to and is composed of.
pub(super) fn shape_of(all: &[&Json]) -> Shape {
    let has = |key: &str| all.iter().any(|schema| schema.get(key).is_some());
    let typed = |name: &str| {
        let named = |schema: &&Json| schema.get("type").and_then(Json::as_str) == Some(name);
        all.iter().any(named)
    };
    let listed = |is: fn(&Json) -> bool| all.iter().any(|schema| constants(schema).any(is));
    if all.iter().any(|schema| kind_of(schema).is_some()) {
        Shape::Quantity
    } else if has("properties") {
        Shape::Object
    } else if is_collection(all) {
        Shape::Collection
    } else if typed("array") {
        if typed("string") {
            Shape::OneOrSeveral
        } else {
            Shape::List
        }
    } else if typed("boolean") {
        Shape::YesNo
    } else if has("enum") && listed(|value| value.is_string() && value != "none") && !typed("string") {
        Shape::Choice
    } else if has("const") && !has("anyOf") {
        Shape::Fixed
    } else if typed("integer") {
        Shape::Whole
    } else if typed("number") {
        Shape::Number
    } else {
        Shape::Text
    }
}

/// The texts that a keyword of the first schema that has it lists.
pub(super) fn texts_of(all: &[&Json], keyword: &str) -> Vec<String> {
    let listed = all.iter().find_map(|schema| schema.get(keyword)?.as_array());
    let texts = listed.into_iter().flatten();
    texts.filter_map(|text| Some(text.as_str()?.to_owned())).collect()
}

/// Whether schemas describe a collection: objects by id, with no fields of its own.
pub(super) fn is_collection(all: &[&Json]) -> bool {
    all.iter()
        .any(|schema| schema.get("additionalProperties").is_some_and(Json::is_object))
        && all.iter().all(|schema| schema.get("properties").is_none())
}

/// The values that `const` and `enum` of a schema accept.
pub(super) fn constants(schema: &Json) -> impl Iterator<Item = &Json> {
    let listed = schema.get("enum").and_then(Json::as_array);
    schema
        .get("const")
        .into_iter()
        .chain(listed.into_iter().flatten())
}
