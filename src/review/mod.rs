//! The review: outcomes and acceptances to findings, questions, coverage and a recommended action.

mod model;

pub use model::*;
