//! A routing followed in the parts that no link joins, each in steps of its own: what happens in one does not cut the
//! steps of another.

use std::rc::Rc;

use super::{
    super::groups::Groups, Ending, FlowLaw, Link, Manifold, Routing, Store, TimeSeries, WatchedLevel,
};

/// What happened in every part of a routing, by the stores and links of the whole.
#[derive(Clone, Debug)]
pub struct SplitSeries {
    parts: Vec<Rc<TimeSeries>>,
    /// The part of each store, and its index there; of what is outside, in the last part that a link leads to it from.
    stores: Vec<(usize, usize)>,
    /// The part of each link, and its index there.
    links: Vec<(usize, usize)>,
    /// When each watched level was reached, s.
    reached: Vec<Option<f64>>,
}

impl SplitSeries {
    /// What happened where a store belongs, and its index there.
    pub fn of(&self, store: usize) -> (&TimeSeries, usize) {
        let (part, index) = self.stores[store];
        (&self.parts[part], index)
    }

    /// What happened where a link belongs, and its index there.
    pub fn of_link(&self, link: usize) -> (&TimeSeries, usize) {
        let (part, index) = self.links[link];
        (&self.parts[part], index)
    }

    /// When a watched level was reached first, s.
    pub fn reached(&self, watched: usize) -> Option<f64> {
        self.reached[watched]
    }

    /// The least settled of how the parts ended.
    pub fn ending(&self) -> Ending {
        let endings = || self.parts.iter().map(|part| part.ending);
        let worst_first = [Ending::Chattering, Ending::StepLimit, Ending::TimeLimit];
        let worst = worst_first
            .into_iter()
            .find(|ending| endings().any(|of_part| of_part == *ending));
        worst.unwrap_or(Ending::Settled)
    }

    /// When the last part ended, s.
    pub fn ended_at(&self) -> f64 {
        let ends = self.parts.iter().filter_map(|part| part.last());
        ends.map(|end| end.time).fold(0.0, f64::max)
    }

    /// The instant from which every level of the first stores stays within a distance (m) of where it ends, s.
    pub fn settled_after(&self, stores: usize, within: f64) -> f64 {
        let settled = (0..stores).map(|store| {
            let (series, index) = self.of(store);
            series.settled_after(index, within)
        });
        settled.fold(0.0, f64::max)
    }
}

/// A part of a routing, with the whole's index of each of its stores, links and watched levels.
struct Part<'a> {
    routing: Routing<'a>,
    stores: Vec<usize>,
    links: Vec<usize>,
    watched: Vec<usize>,
}

impl<'a> Routing<'a> {
    /// Follows the water of each part that no link joins to another; `follow` gives what happens in one.
    pub fn run_apart(&self, mut follow: impl FnMut(&Self) -> Rc<TimeSeries>) -> SplitSeries {
        let mut split = SplitSeries {
            parts: Vec::new(),
            stores: vec![(0, 0); self.stores.len()],
            links: vec![(0, 0); self.links.len()],
            reached: vec![None; self.watched.len()],
        };
        for (at, part) in self.parts().into_iter().enumerate() {
            let series = follow(&part.routing);
            for (index, store) in part.stores.iter().enumerate() {
                split.stores[*store] = (at, index);
            }
            for (index, link) in part.links.iter().enumerate() {
                split.links[*link] = (at, index);
            }
            for mark in series.marks.iter().rev() {
                split.reached[part.watched[mark.watched]] = Some(mark.time);
            }
            split.parts.push(series);
        }
        split
    }

    /// The parts that no link joins, in the order of their first stores; what is outside belongs to each that leads to
    /// it.
    fn parts(&self) -> Vec<Part<'a>> {
        let groups = self.groups();
        let mut parts: Vec<Part<'a>> = Vec::new();
        let mut part_of = vec![usize::MAX; self.stores.len()];
        for store in (0..self.stores.len()).filter(|store| self.inside(*store)) {
            let group = groups[store];
            if part_of[group] == usize::MAX {
                part_of[group] = parts.len();
                parts.push(Part {
                    routing: Routing::default(),
                    stores: Vec::new(),
                    links: Vec::new(),
                    watched: Vec::new(),
                });
            }
            part_of[store] = part_of[group];
        }
        // Where each store stands in the part that took it last: members of one part come together here only for what is
        // inside, and what is outside is taken anew by each part.
        let mut taken: Vec<(usize, usize)> = vec![(usize::MAX, 0); self.stores.len()];
        let mut take = |parts: &mut [Part<'a>], at: usize, store: usize| {
            if taken[store].0 != at {
                let part = &mut parts[at];
                let index = part
                    .routing
                    .store(self.stores[store].clone(), self.volumes[store]);
                part.stores.push(store);
                taken[store] = (at, index);
            }
            taken[store].1
        };
        for store in (0..self.stores.len()).filter(|store| self.inside(*store)) {
            take(&mut parts, part_of[store], store);
        }
        let mut of_link = vec![(usize::MAX, 0); self.links.len()];
        let mut in_order: Vec<usize> = (0..self.links.len()).collect();
        let home = |link: &Link<'_>| {
            let at = if self.inside(link.from) {
                link.from
            } else {
                link.to
            };
            part_of[at]
        };
        in_order.sort_by_key(|link| home(&self.links[*link]));
        for index in in_order {
            let link = &self.links[index];
            let at = home(link);
            // A link between two places outside moves nothing that is followed.
            let Some(part) = parts.get(at) else { continue };
            of_link[index] = (at, part.links.len());
            let ends = [link.from, link.to].map(|store| take(&mut parts, at, store));
            let part = &mut parts[at];
            part.links.push(index);
            part.routing.links.push(Link {
                from: ends[0],
                to: ends[1],
                law: link.law.clone(),
                shuts: link.shuts.clone(),
            });
        }
        self.refer(&mut parts, &of_link);
        for (index, watched) in self.watched.iter().enumerate() {
            if let Some(part) = parts.get_mut(part_of[watched.store]) {
                let store = taken[watched.store].1;
                part.routing.watched.push(WatchedLevel { store, ..*watched });
                part.watched.push(index);
            }
        }
        parts
    }

    /// Has the laws that refer to other links and to branched lines refer to those of their part.
    fn refer(&self, parts: &mut [Part<'a>], of_link: &[(usize, usize)]) {
        for part in parts {
            let mut lines: Vec<(usize, Manifold)> = Vec::new();
            for link in &mut part.routing.links {
                match &mut link.law {
                    FlowLaw::Release { after, .. } | FlowLaw::Restart { after, .. } => {
                        *after = of_link[*after].1;
                    }
                    FlowLaw::Branch { manifold, .. } => {
                        let known = lines.iter().position(|(of, _)| of == manifold);
                        let at = known.unwrap_or_else(|| {
                            lines.push((*manifold, self.manifolds[*manifold].clone()));
                            lines.len() - 1
                        });
                        *manifold = at;
                    }
                    _ => {}
                }
            }
            part.routing.manifolds = lines.into_iter().map(|(_, line)| line).collect();
        }
    }

    fn inside(&self, store: usize) -> bool {
        !matches!(self.stores[store], Store::Outside)
    }

    /// The first of all the stores that links join to each store.
    fn groups(&self) -> Vec<usize> {
        let mut groups = Groups::new(self.stores.len());
        for link in &self.links {
            if self.inside(link.from) && self.inside(link.to) {
                groups.join(link.from, link.to);
            }
        }
        (0..self.stores.len()).map(|store| groups.first(store)).collect()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::formulas::{
        routing::{Settings, ShutReason},
        storage::{Profile, Storage},
    };

    /// Two tanks that drain into one drain, and a third that drains into a fourth: followed apart and together they come
    /// to the same, and what is outside gets the sum.
    #[test]
    fn parts_come_to_what_the_whole_does() {
        let tank = |area: f64| Storage::open(&Profile::contours(&[(0.0, area), (2.0, area)]).unwrap());
        let tanks = [tank(1.0), tank(2.0), tank(3.0), tank(4.0)];
        let mut routing = Routing::default();
        let outside = routing.store(Store::Outside, 0.0);
        let stores: Vec<usize> = tanks.iter().map(|tank| routing.basin(tank, 1.5)).collect();
        let hole = |area| FlowLaw::Orifice { level: 0.2, area };
        let shut = routing.link_shut_at(stores[1], outside, hole(1e-3), vec![(0.5, ShutReason::Mouth)]);
        routing.link(
            outside,
            stores[0],
            FlowLaw::Release {
                after: shut,
                flow: 1e-4,
                duration: 60.0,
            },
        );
        routing.link(stores[0], stores[1], hole(2e-3));
        let across = routing.link(stores[2], stores[3], hole(3e-3));
        routing.watched.push(WatchedLevel {
            store: stores[3],
            level: 1.9,
        });
        let settings = Settings {
            tolerance: 1e-9,
            ..Settings::default()
        };
        let split = routing.run_apart(|part| Rc::new(part.run(&settings)));
        let whole = routing.run(&settings);
        assert_eq!(split.parts.len(), 2);
        for store in stores {
            let (series, index) = split.of(store);
            let apart = series.last().unwrap().levels[index] - whole.last().unwrap().levels[store];
            assert!(apart.abs() < 1e-4, "store {store}: {apart}");
        }
        let (series, index) = split.of_link(shut);
        assert!((series.shut[index].unwrap().time - whole.shut[shut].unwrap().time).abs() < 1.0);
        let (series, index) = split.of_link(across);
        assert!((series.passed[index] - whole.passed[across]).abs() < 1e-3);
        assert!((split.reached(0).unwrap() - whole.marks[0].time).abs() < 1.0);
        let (series, index) = split.of(outside);
        let out = series.last().unwrap().volumes[index];
        assert!(
            (out - whole.last().unwrap().volumes[outside]).abs() < 1e-4,
            "{out}"
        );
    }
}
