//! Reports: a review to one output form. What is said is worded in [`crate::review`]; here it is laid out.

pub mod drawing;
pub mod json;
pub mod terminal;
