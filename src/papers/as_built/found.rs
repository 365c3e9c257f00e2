//! What an as-built check found.

use super::shots::{Shot, Shots};
use crate::{
    papers::{drift::MarkDrift, marks::Mark},
    review::{Finding, Review},
    rules::Library,
};

/// What an as-built check is made with.
pub struct AsBuiltOptions<'a> {
    /// The rules.
    pub library: &'a Library,
    /// The review of the plan as drawn.
    pub drawn: &'a Review,
    /// The name of the file of shots.
    pub file: &'a str,
}

/// A mark that stands off, and what that leads to.
pub(super) struct Moved<'a> {
    pub shot: &'a Shot,
    pub mark: &'a Mark,
    /// How far it may drift that way; none where no value of the plan stands behind it.
    pub room: Option<MarkDrift>,
    pub standing: MarkStanding,
    /// What it breaks by itself.
    pub breaks: Vec<Finding>,
    /// What it changes, in words, where it breaks nothing.
    pub changes: Vec<String>,
}

/// How a shot stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MarkStanding {
    /// As set as work is.
    Set,
    /// Off, and no rule falls short.
    Off,
    /// Farther off than it may drift, or than the plan’s own tolerance.
    Over,
    /// Not believed.
    Misread,
}

/// All that an as-built check found.
pub(super) struct Found<'a> {
    pub shots: &'a Shots,
    pub marks: &'a [Mark],
    pub moved: Vec<Moved<'a>>,
    /// The review of the plan as built; none where the shots are no plan.
    pub review: Option<Review>,
    /// Findings as built that the plan as drawn has not.
    pub new: Vec<Finding>,
    pub closing_allowed: f64,
}
