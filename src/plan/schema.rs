//! The published schema of a plan, compiled once.

use std::sync::LazyLock;

use crate::{check::Schema, quantity::Kind, read::Place};

/// The text of the schema.
pub const SCHEMA: &str = include_str!("../../schema/plan.schema.json");

static COMPILED: LazyLock<Schema> = LazyLock::new(|| match Schema::new(SCHEMA) {
    Ok(schema) => schema,
    // The schema is part of the program and a test compiles it; a broken one can't be shipped.
    #[allow(clippy::panic)]
    Err(error) => panic!("the embedded schema is broken: {error}"),
});

/// The schema.
pub fn schema() -> &'static Schema {
    &COMPILED
}

/// The kind of quantity that stands at a place.
pub(super) fn kind_at(place: &Place) -> Option<Kind> {
    COMPILED.book().field_at(place)?.kind
}
