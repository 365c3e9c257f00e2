//! Where the water goes: levels of basins in time, by quasi-steady flows between them.
//!
//! Water stands in [`Store`]s and moves along [`Link`]s; each link's flow follows from the levels at its two ends at that
//! instant, without inertia. What is integrated is the water that has passed each link, and what stands in a store is
//! its beginning plus what came less what left: water is conserved whatever the error of a step.
//!
//! Steps are of fourth order with error control (`rosenbrock`); the instant at which something changes (air gets in,
//! a mouth or intake comes clear, levels meet, a crest or rim is reached) is found exactly (`events`). What drains
//! away asymptotically at the end is settled in closed form (`recession`).
//!
//! ```
//! use bywash::formulas::{routing::{FlowLaw, Routing, Settings, ShutReason, Store}, storage::{Profile, Storage}};
//!
//! // Torricelli: a tank of 2 m² empties from 1.2 to 0.3 m over a hole of C·A 4.4·10⁻⁴ m² in
//! // t = 2·A/(C·a·√(2g))·(√h₁ − √h₂) = 1124 s.
//! let tank = Storage::open(&Profile::contours(&[(0.0, 2.0), (2.0, 2.0)]).unwrap());
//! let mut routing = Routing::default();
//! let outside = routing.store(Store::Outside, 0.0);
//! let tank = routing.basin(&tank, 1.2);
//! let hole = FlowLaw::Orifice { level: 0.0, area: 4.4e-4 };
//! routing.link_shut_at(tank, outside, hole, vec![(0.3, ShutReason::Mouth)]);
//! let series = routing.run(&Settings::default());
//! assert!((series.shut[0].unwrap().time - 1124.0).abs() < 1.0);
//! ```

mod apart;
mod events;
mod fingerprint;
mod flows;
mod law;
mod manifold;
mod rating;
mod recession;
mod rosenbrock;
mod run;
mod time_series;

pub use apart::SplitSeries;
pub use law::FlowLaw;
pub use manifold::{Manifold, ManifoldPipe};
pub use rating::{PumpedLineCurve, StorageDischarge};
pub use time_series::{Closure, Ending, LevelReached, Settings, Snapshot, TimeSeries};

use super::storage::Storage;

/// Somewhere water stands.
#[derive(Clone, Debug)]
pub enum Store<'a> {
    /// A basin.
    Basin(&'a Storage),
    /// A stream, which passes on what stands in it.
    Stream(StorageDischarge),
    /// Outside: what is there stays there, and has no level.
    Outside,
}

/// A link for water from one store to another, by their indices.
#[derive(Clone, Debug)]
pub struct Link<'a> {
    /// Where it starts.
    pub from: usize,
    /// Where it ends.
    pub to: usize,
    /// Its flow.
    pub law: FlowLaw<'a>,
    /// Levels of the store it starts in at which it shuts for good, m, and what shuts it.
    pub shuts: Vec<(f64, ShutReason)>,
}

/// What shuts a link for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ShutReason {
    /// The water above fell to an air inlet, which broke the siphon.
    AirInlet,
    /// The water above fell to the mouth of the line.
    Mouth,
    /// The levels met, within [`super::siphon::REST_HEAD`].
    LevelsMet,
    /// The pump's intake came clear of the water; it stays off.
    Intake,
    /// The low-level cut-off stopped the pump; it stays off.
    CutOff,
    /// The basin ran empty.
    Empty,
}

/// A level worth a note when the water of a store rises to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WatchedLevel {
    /// The store.
    pub store: usize,
    /// m.
    pub level: f64,
}

/// Stores, the links between them, and the levels to note.
#[derive(Clone, Debug, Default)]
pub struct Routing<'a> {
    /// Where water stands.
    pub stores: Vec<Store<'a>>,
    /// Water at the beginning, m³, store by store.
    pub volumes: Vec<f64>,
    /// The links it takes.
    pub links: Vec<Link<'a>>,
    /// Levels to note.
    pub watched: Vec<WatchedLevel>,
    /// Branched lines whose ends run back together.
    pub manifolds: Vec<Manifold>,
}

impl<'a> Routing<'a> {
    /// Adds a store with water in it (m³); returns its index.
    pub fn store(&mut self, store: Store<'a>, volume: f64) -> usize {
        self.stores.push(store);
        self.volumes.push(volume);
        self.stores.len() - 1
    }

    /// Adds a basin with water up to a level (m); returns its index.
    pub fn basin(&mut self, storage: &'a Storage, level: f64) -> usize {
        self.store(Store::Basin(storage), storage.volume(level))
    }

    /// Adds a link that nothing shuts but an empty basin; returns its index.
    pub fn link(&mut self, from: usize, to: usize, law: FlowLaw<'a>) -> usize {
        self.link_shut_at(from, to, law, Vec::new())
    }

    /// Adds a link that shuts for good at levels of the store it starts in; returns its index.
    ///
    /// Crests and lips below the floor of a basin at either end count as standing on it.
    pub fn link_shut_at(
        &mut self,
        from: usize,
        to: usize,
        law: FlowLaw<'a>,
        shuts: Vec<(f64, ShutReason)>,
    ) -> usize {
        let law = law.seated(self.floor(from).max(self.floor(to)));
        self.links.push(Link { from, to, law, shuts });
        self.links.len() - 1
    }

    /// Level below which a store holds nothing, m.
    fn floor(&self, store: usize) -> f64 {
        match &self.stores[store] {
            Store::Basin(storage) => storage.floor(),
            _ => f64::NEG_INFINITY,
        }
    }

    /// Level of a store that holds a volume: of a basin in m; a stream's is its own volume, and outside has none.
    fn level(&self, store: usize, volume: f64) -> f64 {
        match &self.stores[store] {
            Store::Basin(storage) => storage.level_of(volume),
            Store::Stream(_) => volume,
            Store::Outside => f64::NEG_INFINITY,
        }
    }

    /// The levels of all stores at some volumes.
    fn levels_into(&self, volumes: &[f64], levels: &mut Vec<f64>) {
        levels.clear();
        let stores = volumes.iter().enumerate();
        levels.extend(stores.map(|(store, volume)| self.level(store, *volume)));
    }

    /// How much the level rises with the volume.
    fn level_by_volume(&self, store: usize, level: f64) -> f64 {
        match &self.stores[store] {
            Store::Basin(storage) => 1.0 / storage.area(level).max(LEAST_AREA),
            Store::Stream(_) => 1.0,
            Store::Outside => 0.0,
        }
    }

    /// Area by which errors of volume are weighed, m².
    fn weight(&self, store: usize) -> f64 {
        match &self.stores[store] {
            Store::Basin(storage) => storage.area(storage.top()).max(LEAST_AREA),
            Store::Stream(_) | Store::Outside => 1.0,
        }
    }

    /// Level at which water below a link stands for it, m: only a basin's water does.
    fn against(&self, link: &Link<'_>, level: f64) -> f64 {
        match self.stores[link.to] {
            Store::Basin(_) => level,
            _ => f64::NEG_INFINITY,
        }
    }
}

/// Keeps levels from running away where a basin comes to a point, m².
const LEAST_AREA: f64 = 1e-6;

#[cfg(test)]
mod tests;
