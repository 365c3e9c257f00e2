//! What sets of changes are chosen by.

use crate::rules::Effort;

/// What a set of changes is chosen by.
pub(super) struct Objective {
    pub name: &'static str,
    /// What a change costs, by its effort.
    pub cost: fn(Effort) -> u64,
    pub allows: fn(Effort) -> bool,
    /// Whether pairs are looked for that only work together, where the rounds find no two changes that close all.
    pub few: bool,
}

/// The sets that are looked for, the one that is recommended first.
pub(super) const OBJECTIVES: [Objective; 4] = [
    Objective {
        name: "fewest changes",
        cost: |effort| 100 + work(effort),
        allows: |_| true,
        few: true,
    },
    Objective {
        name: "least work",
        cost: |effort| 100 * work(effort) + 1,
        allows: |_| true,
        few: false,
    },
    Objective {
        name: "no digging",
        cost: |effort| 100 + work(effort),
        allows: |effort| matches!(effort, Effort::Setting | Effort::Part),
        few: false,
    },
    Objective {
        name: "no new parts",
        cost: |effort| 100 + work(effort),
        allows: |effort| matches!(effort, Effort::Setting | Effort::Earth),
        few: false,
    },
];

/// Weights of effort: a valve is turned before a part is bought, and that before a pond is dug.
const fn work(effort: Effort) -> u64 {
    match effort {
        Effort::Setting => 1,
        Effort::Part => 3,
        Effort::Earth => 8,
        Effort::Element => 12,
    }
}

/// A decision that somebody else takes weighs as much as so many changes.
pub(super) const DECISION: u64 = 2;
