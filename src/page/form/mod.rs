//! The form: every value of the schema in the order a feature is built, with what the plan says of it. A field that is
//! added to the schema appears by itself.

mod field;
mod object;
mod order;
mod parts;
mod rows;
mod sheet;

pub use object::more_key;
pub use order::first;
pub use parts::form;
pub use sheet::{Sheet, anchor, edit, edit_of};

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
