//! What may happen between two instants, and when exactly.

use super::{FlowLaw, Routing, ShutReason, Store};
use crate::formulas::{roots, siphon::REST_HEAD};

/// Something that happens once a distance, m, has gone to nothing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Event {
    pub kind: EventKind,
    distance: Distance,
}

/// What happens.
#[derive(Clone, Copy, Debug)]
pub(super) enum EventKind {
    /// A link shuts for good.
    Shuts(usize, ShutReason),
    /// A watched level is reached.
    Reaches(usize),
}

#[derive(Clone, Copy, Debug)]
enum Distance {
    /// A store's volume down to another, m³, over an area, m².
    Down { store: usize, to: f64, area: f64 },
    /// A store's volume up to another.
    Up { store: usize, to: f64, area: f64 },
    /// The head of a link down to where it counts as none.
    Head { link: usize },
}

/// A distance that counts as gone, m.
pub(super) const GONE: f64 = 1e-12;
/// A watched level counts as reached only from at least so far below, m: water that stands at it reaches nothing.
const FROM_BELOW: f64 = 1e-9;

/// Everything that may happen.
pub(super) fn all(routing: &Routing<'_>) -> Vec<Event> {
    let mut events = Vec::new();
    for (index, link) in routing.links.iter().enumerate() {
        let shuts = |why, distance| Event {
            kind: EventKind::Shuts(index, why),
            distance,
        };
        let Store::Basin(storage) = &routing.stores[link.from] else {
            continue;
        };
        let down_to = |to| Distance::Down {
            store: link.from,
            to,
            area: routing.weight(link.from),
        };
        for (level, why) in &link.shuts {
            events.push(shuts(*why, down_to(storage.volume(*level))));
        }
        // Over a crest or a lip that stands on the floor nothing leaves an empty basin, and it runs again once water comes.
        let by_itself = matches!(
            link.law,
            FlowLaw::Crest { .. } | FlowLaw::GravityPipe { .. } | FlowLaw::Inflow { .. }
        );
        if !by_itself {
            events.push(shuts(ShutReason::Empty, down_to(0.0)));
        }
        if matches!(link.law, FlowLaw::FullPipe { .. }) {
            events.push(shuts(ShutReason::LevelsMet, Distance::Head { link: index }));
        }
    }
    for (index, watched) in routing.watched.iter().enumerate() {
        if let Store::Basin(storage) = &routing.stores[watched.store] {
            let distance = Distance::Up {
                store: watched.store,
                to: storage.volume(watched.level),
                area: routing.weight(watched.store),
            };
            events.push(Event {
                kind: EventKind::Reaches(index),
                distance,
            });
        }
    }
    events
}

impl Event {
    /// How far it is from happening, m.
    pub fn distance(&self, routing: &Routing<'_>, volumes: &[f64]) -> f64 {
        match self.distance {
            Distance::Down { store, to, area } => (volumes[store] - to) / area,
            Distance::Up { store, to, area } => (to - volumes[store]) / area,
            Distance::Head { link } => {
                let link = &routing.links[link];
                let level = |store: usize| routing.level(store, volumes[store]);
                let to = routing.against(link, level(link.to));
                let head = link.law.head(level(link.from), to);
                head.unwrap_or(f64::INFINITY) - REST_HEAD
            }
        }
    }

    /// Whether it can still happen from here.
    pub fn armed(&self, routing: &Routing<'_>, volumes: &[f64]) -> bool {
        let least = match self.kind {
            EventKind::Shuts(..) => GONE,
            EventKind::Reaches(_) => FROM_BELOW,
        };
        self.distance(routing, volumes) > least
    }
}

/// The length of a step, s, at which the least distance, m, goes to nothing, between a step of no length, where it is
/// `start` and above zero, and one of `length`, where it is `end` and not.
pub(super) fn first_zero(start: f64, length: f64, end: f64, mut distance: impl FnMut(f64) -> f64) -> f64 {
    let gone = |distance: f64| GONE - distance;
    roots::between((0.0, gone(start)), (length, gone(end)), 2.0 * GONE, |part| {
        gone(distance(part))
    })
}
