//! Checking: a tree held against the plan's published schema, every violation told in our own words with its place;
//! and the schema read as data, for titles, kinds and accepted values.

mod describe;
mod problems;
mod schema;
mod shape;
mod union;
mod violations;
mod wording;

pub use describe::{Field, SchemaBook};
pub use problems::check;
pub use schema::{Schema, SchemaError};
pub use shape::Shape;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
