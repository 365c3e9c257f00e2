//! One step in time: the linearly implicit method of Kaps & Rentrop (1979), order 4 with an embedded third-order result,
//! A-stable, in the parameters of Shampine (1982).
//!
//! Small basins behind wide crests settle within seconds while ponds take hours; an explicit method would have to follow
//! the seconds all the way. The matrix of a step couples only stores that a link joins, and is eliminated as such.

use super::{
    super::elimination::{Order, Reduction, Slot},
    Routing, Store,
};

/// Parameters of the method (from memory; its order is tested).
const GAMMA: f64 = 0.5;
const A21: f64 = 2.0;
const A31: f64 = 48.0 / 25.0;
const A32: f64 = 6.0 / 25.0;
const C21: f64 = -8.0;
const C31: f64 = 372.0 / 25.0;
const C32: f64 = 12.0 / 5.0;
const C41: f64 = -112.0 / 125.0;
const C42: f64 = -54.0 / 125.0;
const C43: f64 = -2.0 / 5.0;
const B: [f64; 4] = [19.0 / 9.0, 0.5, 25.0 / 108.0, 125.0 / 108.0];
const E: [f64; 4] = [17.0 / 54.0, 7.0 / 36.0, 0.0, 125.0 / 108.0];

/// Where a link starts and ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ends {
    pub from: usize,
    pub to: usize,
}

/// Flows of the links, m³/s, and their derivatives by the volumes at either end, 1/s: none below zero by where it comes
/// from, none above zero by where it goes to.
#[derive(Clone, Debug, Default)]
pub(super) struct Rates {
    pub flow: Vec<f64>,
    pub by_from: Vec<f64>,
    pub by_to: Vec<f64>,
}

/// What one step moves along each link, m³, the error of that, and the volumes it leads to.
#[derive(Clone, Debug, Default)]
pub(super) struct Step {
    pub moved: Vec<f64>,
    pub error: Vec<f64>,
    pub after: Vec<f64>,
}

/// Moves water along the links: out of where each starts, into where it ends.
pub(super) fn shift(ends: &[Ends], moved: &[f64], volumes: &mut [f64]) {
    for (end, moved) in ends.iter().zip(moved) {
        volumes[end.from] -= moved;
        volumes[end.to] += moved;
    }
}

/// Takes steps over the links of a routing, in space set aside once.
pub(super) struct Stepper {
    ends: Vec<Ends>,
    /// Position of each store in the order of elimination; what is outside changes nothing and has none.
    position: Vec<usize>,
    /// The coupling of the two ends of each link.
    slots: Vec<Option<Slot>>,
    matrix: Reduction,
    stages: [Vec<f64>; 4],
    flow: Vec<f64>,
    at: Vec<f64>,
    shifted: Vec<f64>,
}

/// No position of the matrix.
const NOWHERE: usize = usize::MAX;

impl Stepper {
    pub(super) fn new(routing: &Routing<'_>) -> Self {
        let ends: Vec<Ends> = routing
            .links
            .iter()
            .map(|link| Ends {
                from: link.from,
                to: link.to,
            })
            .collect();
        let inside: Vec<usize> = (0..routing.stores.len())
            .filter(|store| !matches!(routing.stores[*store], Store::Outside))
            .collect();
        let mut position = vec![NOWHERE; routing.stores.len()];
        for (at, store) in inside.iter().enumerate() {
            position[*store] = at;
        }
        let pairs = ends.iter().filter_map(|end| {
            let (from, to) = (position[end.from], position[end.to]);
            (from != NOWHERE && to != NOWHERE && from != to).then_some((from, to))
        });
        let order = Order::new(inside.len(), pairs);
        for store in &inside {
            position[*store] = order.position[position[*store]];
        }
        let matrix = Reduction::new(&order);
        let slots = ends.iter().map(|end| {
            let (from, to) = (position[end.from], position[end.to]);
            (from != NOWHERE && to != NOWHERE)
                .then(|| matrix.between(from, to))
                .flatten()
        });
        Self {
            slots: slots.collect(),
            position,
            stages: std::array::from_fn(|_| vec![0.0; ends.len()]),
            flow: vec![0.0; ends.len()],
            at: vec![0.0; routing.stores.len()],
            shifted: vec![0.0; inside.len()],
            ends,
            matrix,
        }
    }

    pub(super) fn ends(&self) -> &[Ends] {
        &self.ends
    }

    /// A step of a length in s from volumes (m³) at which the flows are `rates`; `flows` gives the flows at other
    /// volumes.
    ///
    /// Volumes follow the links: what a stage moves along a link leaves one store and enters the other.
    pub(super) fn step(
        &mut self,
        volumes: &[f64],
        rates: &Rates,
        length: f64,
        mut flows: impl FnMut(&[f64], &mut [f64]),
    ) -> Step {
        let scale = GAMMA * length;
        self.factor(rates, scale);
        let mut flow = std::mem::take(&mut self.flow);
        flow.copy_from_slice(&rates.flow);
        self.stage(0, &flow, [0.0; 3], rates, scale);
        self.add(volumes, &[A21]);
        flows(&self.at, &mut flow);
        self.stage(1, &flow, [C21 / length, 0.0, 0.0], rates, scale);
        self.add(volumes, &[A31, A32]);
        flows(&self.at, &mut flow);
        self.stage(2, &flow, [C31 / length, C32 / length, 0.0], rates, scale);
        let last = [C41 / length, C42 / length, C43 / length];
        self.stage(3, &flow, last, rates, scale);
        self.flow = flow;
        let moved = self.combined(B);
        let mut after = volumes.to_vec();
        shift(&self.ends, &moved, &mut after);
        Step {
            error: self.combined(E),
            moved,
            after,
        }
    }

    /// `I − γ·h·J` over the stores, factored.
    fn factor(&mut self, rates: &Rates, scale: f64) {
        self.matrix.clear();
        for position in self.position.iter().filter(|position| **position != NOWHERE) {
            self.matrix.drain(*position, 1.0);
        }
        for (link, slot) in self.slots.iter().enumerate() {
            let end = self.ends[link];
            if end.from == end.to {
                continue;
            }
            let (from, to) = (self.position[end.from], self.position[end.to]);
            self.matrix
                .join(*slot, from, to, scale * rates.by_from[link], false);
            self.matrix
                .join(*slot, to, from, -scale * rates.by_to[link], false);
        }
        self.matrix.factor();
    }

    /// One stage: what it moves along each link, from flows and a part of the stages before.
    fn stage(&mut self, index: usize, flow: &[f64], before: [f64; 3], rates: &Rates, scale: f64) {
        let (earlier, later) = self.stages.split_at_mut(index);
        let stage = &mut later[0];
        for (link, value) in stage.iter_mut().enumerate() {
            let sum: f64 = earlier
                .iter()
                .zip(before)
                .map(|(moved, factor)| factor * moved[link])
                .sum();
            *value = flow[link] + sum;
        }
        self.shifted.fill(0.0);
        for (end, value) in self.ends.iter().zip(stage.iter()) {
            for (store, value) in [(end.from, -value), (end.to, *value)] {
                if let Some(shifted) = self.shifted.get_mut(self.position[store]) {
                    *shifted += value;
                }
            }
        }
        self.matrix.solve_factored(&mut self.shifted);
        let shifted = |store: usize| self.shifted.get(self.position[store]).copied().unwrap_or(0.0);
        for (link, value) in stage.iter_mut().enumerate() {
            let end = self.ends[link];
            let follows = rates.by_from[link] * shifted(end.from) + rates.by_to[link] * shifted(end.to);
            *value = scale * (*value + scale * follows);
        }
    }

    /// Volumes with parts of the first stages moved.
    fn add(&mut self, volumes: &[f64], parts: &[f64]) {
        self.at.copy_from_slice(volumes);
        for (stage, part) in self.stages.iter().zip(parts) {
            for (end, moved) in self.ends.iter().zip(stage) {
                self.at[end.from] -= part * moved;
                self.at[end.to] += part * moved;
            }
        }
    }

    fn combined(&self, by: [f64; 4]) -> Vec<f64> {
        let sum = |link: usize| -> f64 {
            let stages = self.stages.iter().zip(by);
            stages.map(|(moved, factor)| factor * moved[link]).sum()
        };
        (0..self.ends.len()).map(sum).collect()
    }
}
