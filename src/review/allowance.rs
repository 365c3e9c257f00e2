//! How many trials a plan may take. They are counted, not timed, so that a review comes out the same everywhere.

use std::cell::Cell;

use crate::ledger::Ledger;

/// Trials times the square of the plan's figures, at most: some 1,700 trials of the richest example. Each takes longer the
/// larger the plan is, and a larger plan has more to try.
const MOST_WORK: usize = 1_000_000_000;

/// Trials that are left for one purpose.
pub(super) struct Allowance(Cell<usize>);

impl Allowance {
    /// Those of a plan with these figures.
    pub fn of(ledger: &Ledger) -> Self {
        let figures = ledger.count().max(1);
        Self(Cell::new(MOST_WORK / figures.saturating_mul(figures)))
    }

    /// How many are left.
    pub fn left(&self) -> usize {
        self.0.get()
    }

    /// Takes one; false where none is left.
    pub fn take(&self) -> bool {
        let left = self.0.get();
        self.0.set(left.saturating_sub(1));
        left > 0
    }

    /// The first of several that take about so many trials each, as far as they go, and how many are left over.
    pub fn first_of<'t, T>(&self, all: &'t [T], trials_each: usize) -> (&'t [T], usize) {
        let most = all.len().min(self.left() / trials_each);
        (&all[..most], all.len() - most)
    }
}
