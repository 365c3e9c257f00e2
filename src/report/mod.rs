//! Reports: a review or a field paper to one output form. What is said is worded in [`crate::review`] and
//! [`crate::papers`]; here it is laid out.

#[cfg(feature = "cells")]
pub mod cells;
#[cfg(any(feature = "cli", feature = "pdf"))]
pub mod code;
pub mod drawing;
pub mod input_problems;
pub mod json;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod sarif;
#[cfg(feature = "cli")]
pub mod terminal;
