//! Reports: a review to one output form. What is said is worded in [`crate::review`]; here it is laid out.

pub mod drawing;
pub mod json;
#[cfg(feature = "pdf")]
pub mod pdf;
#[cfg(feature = "cli")]
pub mod terminal;
