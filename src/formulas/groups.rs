//! Things joined in pairs, told apart by the groups they come to.

/// Groups of things by their positions.
pub(crate) struct Groups(Vec<usize>);

impl Groups {
    /// Of so many things, each alone.
    pub(crate) fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    /// Joins two things, and all that is joined to either.
    pub(crate) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.first(a), self.first(b));
        self.0[a.max(b)] = a.min(b);
    }

    /// The first of all that are joined to a thing.
    pub(crate) fn first(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }
}
