//! What a run is asked for, and what comes of it.

use super::Why;

/// How a balance is followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Error of a level in one step, m.
    pub tolerance: f64,
    /// Everything counts as settled once no level moves faster than this, m/s.
    pub still: f64,
    /// Longest time, s.
    pub until: f64,
    /// Most steps, tried ones too.
    pub steps: usize,
}

impl Default for Settings {
    /// A hundredth of a millimetre a step; settled at a thirtieth of a millimetre an hour; ten days; 4,000 steps.
    fn default() -> Self {
        Self {
            tolerance: 1e-5,
            still: 1e-8,
            until: 864_000.0,
            steps: 4000,
        }
    }
}

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ending {
    /// Nothing moves any more, or everything runs evenly.
    Settled,
    /// The longest time was up.
    TimeLimit,
    /// The most steps were taken.
    StepLimit,
    /// Ways open and shut without end.
    Chattering,
}

/// A way that shut for good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shut {
    /// When, s.
    pub time: f64,
    /// What shut it.
    pub why: Why,
}

/// A watched level that was reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// When, s.
    pub time: f64,
    /// Which of the watched levels.
    pub watched: usize,
}

/// The stores at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// s.
    pub time: f64,
    /// m³, store by store.
    pub volumes: Vec<f64>,
    /// m, store by store; of a basin.
    pub levels: Vec<f64>,
}

/// What happened.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Instants followed, from first to last.
    pub moments: Vec<Moment>,
    /// Water that passed each way, m³; less than nothing where it ran back.
    pub passed: Vec<f64>,
    /// What shut each way.
    pub shut: Vec<Option<Shut>>,
    /// Watched levels that were reached, in the order they were.
    pub marks: Vec<Mark>,
    /// How it ended.
    pub ending: Ending,
}

impl Course {
    /// The stores at the end.
    pub fn last(&self) -> Option<&Moment> {
        self.moments.last()
    }

    /// The highest level of a store and when, m and s; the first of equals.
    pub fn highest(&self, store: usize) -> (f64, f64) {
        self.extreme(store, |level, so_far| level > so_far)
    }

    /// The lowest level of a store and when, m and s; the first of equals.
    pub fn lowest(&self, store: usize) -> (f64, f64) {
        self.extreme(store, |level, so_far| level < so_far)
    }

    fn extreme(&self, store: usize, beyond: impl Fn(f64, f64) -> bool) -> (f64, f64) {
        let mut moments = self
            .moments
            .iter()
            .map(|moment| (moment.levels[store], moment.time));
        let first = moments.next().unwrap_or((f64::NAN, 0.0));
        moments.fold(
            first,
            |so_far, at| if beyond(at.0, so_far.0) { at } else { so_far },
        )
    }

    /// The instant from which every level of the first stores stays within a distance (m) of where it ends, s.
    pub fn settled_after(&self, stores: usize, within: f64) -> f64 {
        let Some(last) = self.last() else { return 0.0 };
        let off = |moment: &&Moment| {
            (0..stores).any(|store| (moment.levels[store] - last.levels[store]).abs() > within)
        };
        let at = self.moments.iter().rposition(|moment| off(&moment));
        let next = at.map_or(0, |at| at + 1);
        self.moments.get(next).map_or(last.time, |moment| moment.time)
    }
}
