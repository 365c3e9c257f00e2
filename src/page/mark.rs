//! What tells one finding from another.

use crate::read::Place;

/// A finding or question by what tells it from others: rule, object and value; a question has no rule.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mark {
    /// The rule; empty for a question.
    pub rule: String,
    /// The object and the value.
    pub places: [Place; 2],
    /// What it says.
    pub words: String,
}
