//! The changes that close a review, as data.

use serde::Serialize;

use crate::{read::Place, rules::Effort};

/// Sets of changes after which a review has nothing to stop for and nothing to revise; empty where it has none to begin with.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Closing {
    /// The set that is recommended, then others that close as much in another way.
    pub sets: Vec<ChangeSet>,
}

/// Changes that together close what a review found, as far as they do.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeSet {
    /// What it is chosen by, such as `fewest changes`.
    pub name: &'static str,
    /// The changes, in the order of the findings they close.
    pub changes: Vec<ClosingChange>,
    /// What they leave, in words, with the reason.
    pub left: Vec<String>,
    /// Findings to stop for after them, by the review of the changed plan.
    pub stop: usize,
    /// Findings to revise after them.
    pub revise: usize,
    /// Questions that stay open.
    pub questions: usize,
    /// In one line.
    pub summary: String,
    /// The changes as a merge patch over the plan.
    pub patch: serde_json::Value,
}

/// One change.
#[derive(Clone, Debug, Serialize)]
pub struct ClosingChange {
    /// What is done, in a few words.
    pub what: String,
    /// The value that changes.
    pub place: Place,
    /// The value in words.
    pub place_name: String,
    /// What the plan says.
    pub before: String,
    /// What it says then.
    pub after: String,
    /// How much it takes.
    pub effort: Effort,
    /// Whose decision it needs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decision: Option<String>,
    /// The findings that it closes, by number; empty where it makes up for another change.
    pub closes: Vec<String>,
    /// What `--set` takes to make it; none where no assignment can name it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set: Option<String>,
}

impl ChangeSet {
    /// How many changes take each effort, the least first.
    pub fn efforts(&self) -> [(Effort, usize); 4] {
        [Effort::Setting, Effort::Part, Effort::Earth, Effort::Element].map(|effort| {
            let changes = self.changes.iter().filter(|change| change.effort == effort);
            (effort, changes.count())
        })
    }

    /// Whether nothing to stop for and nothing to revise is left.
    pub fn closes_all(&self) -> bool {
        self.stop == 0 && self.revise == 0
    }
}
