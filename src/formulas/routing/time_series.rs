//! What a run is asked for, and what comes of it.

use super::ShutReason;

/// How a routing is followed.
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
    /// Links open and shut without end.
    Chattering,
}

/// A link that shut for good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closure {
    /// When, s.
    pub time: f64,
    /// What shut it.
    pub reason: ShutReason,
}

/// A watched level that was reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelReached {
    /// When, s.
    pub time: f64,
    /// Which of the watched levels.
    pub watched: usize,
}

/// The stores at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    /// s.
    pub time: f64,
    /// m³, store by store.
    pub volumes: Vec<f64>,
    /// m, store by store; of a basin.
    pub levels: Vec<f64>,
}

/// What happened.
#[derive(Clone, Debug, PartialEq)]
pub struct TimeSeries {
    /// Instants followed, from first to last.
    pub snapshots: Vec<Snapshot>,
    /// Water that passed each link, m³; less than nothing where it ran back.
    pub passed: Vec<f64>,
    /// What shut each link.
    pub shut: Vec<Option<Closure>>,
    /// WatchedLevel levels that were reached, in the order they were.
    pub marks: Vec<LevelReached>,
    /// Flow of each link at the end, m³/s.
    pub last_flows: Vec<f64>,
    /// How it ended.
    pub ending: Ending,
}

impl TimeSeries {
    /// The stores at the end.
    pub fn last(&self) -> Option<&Snapshot> {
        self.snapshots.last()
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
        let mut snapshots = self
            .snapshots
            .iter()
            .map(|snapshot| (snapshot.levels[store], snapshot.time));
        let first = snapshots.next().unwrap_or((f64::NAN, 0.0));
        snapshots.fold(
            first,
            |so_far, at| if beyond(at.0, so_far.0) { at } else { so_far },
        )
    }

    /// The instant from which the level of a store stays within a distance (m) of where it ends, s.
    ///
    /// Between two instants that were followed the level is taken to go evenly.
    pub fn settled_after(&self, store: usize, within: f64) -> f64 {
        let Some(last) = self.last() else { return 0.0 };
        let off = |snapshot: &Snapshot| (snapshot.levels[store] - last.levels[store]).abs();
        let outside = self.snapshots.iter().rposition(|snapshot| off(snapshot) > within);
        let Some(before) = outside.map(|at| &self.snapshots[at..]) else {
            return self.snapshots[0].time;
        };
        let [before, after, ..] = before else {
            return last.time;
        };
        let (far, near) = (off(before), off(after));
        before.time + (far - within) / (far - near) * (after.time - before.time)
    }
}
