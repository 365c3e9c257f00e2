//! What stands round each basin of a circuit, by the positions of the parts: looked up by its id, so that a circuit of
//! many basins is not walked for each.

use std::collections::HashMap;

/// What comes to a basin and what leaves it.
#[derive(Debug, Default)]
pub(super) struct Neighbors {
    pub falls_out: Vec<usize>,
    pub falls_in: Vec<usize>,
    pub drains_out: Vec<usize>,
    pub drains_in: Vec<usize>,
    /// Pumps that draw from it.
    pub pumps: Vec<usize>,
    /// Runs that end in it.
    pub runs_in: Vec<usize>,
    /// Its rim and its overflow.
    pub outlets: Vec<usize>,
    /// Whether a fall or a drain leaves it, and its water does not only go round by its own pumps.
    pub leaves: bool,
    /// The lowest level at which water leaves it: its crests, and the lips of its drains, m; infinite where nothing
    /// leaves it.
    pub lowest_lip: f64,
}

/// The neighbors of every basin of a circuit.
#[derive(Debug, Default)]
pub(super) struct Around {
    basins: HashMap<String, Neighbors>,
    nothing: Neighbors,
}

impl Around {
    /// What stands round a basin.
    pub fn of(&self, id: &str) -> &Neighbors {
        self.basins.get(id).unwrap_or(&self.nothing)
    }

    /// The same, to add to it.
    pub fn at(&mut self, id: &str) -> &mut Neighbors {
        if !self.basins.contains_key(id) {
            let alone = Neighbors {
                lowest_lip: f64::INFINITY,
                ..Neighbors::default()
            };
            self.basins.insert(id.to_owned(), alone);
        }
        // Just put there where it was missing.
        self.basins.entry(id.to_owned()).or_default()
    }
}
