//! The log of a review: every finding and question with its number, and where it stands since the review before.

use serde::{Deserialize, Serialize};

use crate::{read::Place, rules::Severity};

/// Where a finding or a question stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Raised in this review for the first time.
    New,
    /// Closed before, and raised again.
    Reopened,
    /// Still there, with another value, limit or severity.
    Changed,
    /// Still there as it was.
    StillOpen,
    /// Falls short, and accepted by name.
    Accepted,
    /// Mended, answered, or no longer required.
    Closed,
}

impl Status {
    /// Every status, in the order they are listed.
    pub const ALL: [Self; 6] = [
        Self::New,
        Self::Reopened,
        Self::Changed,
        Self::StillOpen,
        Self::Accepted,
        Self::Closed,
    ];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Reopened => "reopened",
            Self::Changed => "changed",
            Self::StillOpen => "still open",
            Self::Accepted => "accepted",
            Self::Closed => "closed",
        }
    }

    /// Whether somebody has to do something about it.
    pub const fn is_open(self) -> bool {
        !matches!(self, Self::Accepted | Self::Closed)
    }
}

/// One finding or question of a project, from the review that raised it on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LogEntry {
    /// Its number, which stays with it: `3`, `3.1` or `Q2`.
    pub number: String,
    /// The rule’s id; none for a question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// How bad.
    pub severity: Severity,
    /// The object judged; for a question the missing place.
    pub object: Place,
    /// The place in words.
    pub place_name: String,
    /// What was found and required, or what is not shown.
    pub text: String,
    /// What was found and the limit in SI, where they are measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub values: Option<[f64; 2]>,
    /// What to do, in a few words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub action: Option<String>,
    /// Where it stands.
    pub status: Status,
    /// What became of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What the designer answered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answer: Option<String>,
    /// The revision of the plan in which it was raised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raised: Option<String>,
    /// The revision of the plan in which it was closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closed: Option<String>,
}

impl LogEntry {
    /// Whether it is a question.
    pub fn is_question(&self) -> bool {
        self.rule.is_none()
    }

    /// What the number sorts by: findings before questions, each by their parts.
    pub fn order(&self) -> (bool, Vec<u32>) {
        let digits = self.number.trim_start_matches('Q').split('.');
        (
            self.is_question(),
            digits.map(|part| part.parse().unwrap_or(0)).collect(),
        )
    }
}

/// A review held against the one before it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Backcheck {
    /// The review before.
    pub earlier: EarlierSubject,
    /// Every finding and question of the project, by number.
    pub entries: Vec<LogEntry>,
    /// What was changed on the plan since.
    pub changes: Vec<PlanChange>,
    /// What there is to say about the comparison.
    pub notes: Vec<String>,
}

/// What an earlier review was of.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct EarlierSubject {
    /// The file that was read for it.
    pub file: String,
    /// The revision of the plan it was of.
    pub revision: Option<String>,
    /// Its date.
    pub date: Option<String>,
    /// Its number in the row of reviews, from 1.
    pub review: usize,
}

/// One value that differs between two plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlanChange {
    /// The value.
    pub place: Place,
    /// The value in words.
    pub place_name: String,
    /// What it was; none where it was not shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    /// What it is; none where it is no longer shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How far a level moved, where that is more than the tolerance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved: Option<String>,
}

impl PlanChange {
    /// In words: `spillway / width 24 in → 36 in`.
    pub fn words(&self) -> String {
        let name = &self.place_name;
        let text = match (&self.before, &self.after) {
            (Some(before), Some(after)) => format!("{name} {before} → {after}"),
            (None, Some(after)) => format!("{name} added: {after}"),
            (Some(before), None) => format!("{name} taken off: was {before}"),
            (None, None) => name.clone(),
        };
        match &self.moved {
            Some(moved) => format!("{text}; level moved {moved}, over the tolerance"),
            None => text,
        }
    }
}

impl Backcheck {
    /// How many entries have a status.
    pub fn count(&self, status: Status) -> usize {
        self.entries.iter().filter(|entry| entry.status == status).count()
    }

    /// The revision before, in words.
    pub fn against(&self) -> String {
        let earlier = &self.earlier;
        match (&earlier.revision, &earlier.date) {
            (Some(mark), _) => format!("revision {mark}"),
            (None, Some(date)) => format!("the plan of {date}"),
            (None, None) => "the earlier plan".to_owned(),
        }
    }

    /// How many of what, in one line.
    pub fn tally(&self) -> String {
        let counted: Vec<String> = Status::ALL
            .iter()
            .filter(|status| self.count(**status) > 0)
            .map(|status| format!("{} {}", self.count(*status), status.words()))
            .collect();
        let told = if counted.is_empty() {
            "nothing was or is open".to_owned()
        } else {
            counted.join(", ")
        };
        format!("Against {}: {told}.", self.against())
    }
}
