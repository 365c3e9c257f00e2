//! Answers to a review: the form that the designer fills in, and what is read back from it.
//!
//! Every field of a form says in its own name what it is of, so that a form can be read without the review it was made
//! from: `reply 5`, `reason 5`, `value 5 /basins/bed/rim`.

mod form;
mod name;
mod patch;
mod text;

pub use form::{Form, FormItem, FormRow, Takes};
pub use name::FieldName;
pub use patch::{Answered, answers};
pub use text::{Fields, read_text, write_text};
