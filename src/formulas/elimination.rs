//! The linear solve of a Newton step or a step in time: node by node reduction of a network of conductances.
//!
//! The matrix has positive diagonals, negative couplings and columns that sum to zero or more, so nothing is ever
//! subtracted: each eliminated node hands its couplings to its neighbours (star–mesh). Heads behind a nearly closed
//! flap keep full relative accuracy that way (Grassmann, Taksar & Heyman 1985), without pivoting. Nodes go by fewest
//! neighbours first, which adds no coupling at all in a tree.

use std::{cmp::Reverse, collections::BinaryHeap};

/// In which order nodes are eliminated, and which are coupled when their turn comes.
pub(super) struct Order {
    /// Position in the order of each node.
    pub(super) position: Vec<usize>,
    /// Of each position, the later positions it is coupled to when its turn comes, rising.
    later: Vec<Vec<usize>>,
}

impl Order {
    /// An order for nodes coupled in the given pairs.
    pub(super) fn new(nodes: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Self {
        let mut near = vec![Vec::new(); nodes];
        for (a, b) in pairs {
            insert(&mut near[a], b);
            insert(&mut near[b], a);
        }
        // An entry whose count is no longer right has a better one further on.
        let mut queue: BinaryHeap<_> = (0..nodes).map(|n| Reverse((near[n].len(), n))).collect();
        let mut position = vec![usize::MAX; nodes];
        let mut later = Vec::with_capacity(nodes);
        while let Some(Reverse((count, node))) = queue.pop() {
            if position[node] != usize::MAX || count != near[node].len() {
                continue;
            }
            position[node] = later.len();
            let star = std::mem::take(&mut near[node]);
            for &a in &star {
                near[a].retain(|&b| b != node);
                for &b in star.iter().filter(|&&b| b != a) {
                    insert(&mut near[a], b);
                }
                queue.push(Reverse((near[a].len(), a)));
            }
            later.push(star);
        }
        for star in &mut later {
            for node in &mut *star {
                *node = position[*node];
            }
            star.sort_unstable();
        }
        Self { position, later }
    }
}

/// Adds a number to a rising list that does not have it.
fn insert(list: &mut Vec<usize>, number: usize) {
    if let Err(at) = list.binary_search(&number) {
        list.insert(at, number);
    }
}

/// Names the coupling between two positions.
#[derive(Clone, Copy)]
pub(super) struct Slot(usize);

/// The two directions of a coupling, as positive numbers.
#[derive(Clone, Copy, Default)]
struct Coupling {
    /// In the row of the earlier position, in the column of the later.
    row: f64,
    /// In the column of the earlier position, in the row of the later.
    column: f64,
}

/// A square system over positions in elimination order.
pub(super) struct Reduction {
    /// Where the couplings of each position to later ones begin, and where the last one's end.
    starts: Vec<usize>,
    /// The later position of each coupling.
    later: Vec<usize>,
    /// The coupling between every two later positions that one position is coupled to, in the order they are met.
    met: Vec<usize>,
    couplings: Vec<Coupling>,
    /// What each column sums to.
    ground: Vec<f64>,
    /// Of each diagonal entry, the inverse.
    resistance: Vec<f64>,
}

impl Reduction {
    pub(super) fn new(order: &Order) -> Self {
        let nodes = order.later.len();
        let mut starts = Vec::with_capacity(nodes + 1);
        starts.push(0);
        let mut later = Vec::new();
        for star in &order.later {
            later.extend(star);
            starts.push(later.len());
        }
        let mut reduction = Self {
            couplings: vec![Coupling::default(); later.len()],
            starts,
            later,
            met: Vec::new(),
            ground: vec![0.0; nodes],
            resistance: vec![0.0; nodes],
        };
        for star in &order.later {
            for (s, &a) in star.iter().enumerate() {
                let slots = star[s + 1..].iter().filter_map(|&b| reduction.between(a, b));
                let slots: Vec<usize> = slots.map(|slot| slot.0).collect();
                reduction.met.extend(slots);
            }
        }
        reduction
    }

    /// The coupling of two positions; none where either is no position of the system.
    pub(super) fn between(&self, a: usize, b: usize) -> Option<Slot> {
        let (earlier, wanted) = (a.min(b), a.max(b));
        let range = *self.starts.get(earlier)?..*self.starts.get(earlier + 1)?;
        let at = self.later[range.clone()].binary_search(&wanted).ok()?;
        Some(Slot(range.start + at))
    }

    /// Empties the matrix for the next step.
    pub(super) fn clear(&mut self) {
        self.couplings.fill(Coupling::default());
        self.ground.fill(0.0);
    }

    /// Adds a conductance that drains a head out of the system.
    pub(super) fn drain(&mut self, position: usize, conductance: f64) {
        self.ground[position] += conductance;
    }

    /// Adds a branch of a conductance: what it drains from the head of `from` it brings to the balance of `to`, and, where it
    /// leans on the head of `to`, the other way round. Without a slot one of the two is no position of the system.
    pub(super) fn join(&mut self, slot: Option<Slot>, from: usize, to: usize, conductance: f64, leans: bool) {
        let back = if leans { conductance } else { 0.0 };
        if let Some(Slot(slot)) = slot {
            let coupling = &mut self.couplings[slot];
            let (row, column) = if from < to {
                (back, conductance)
            } else {
                (conductance, back)
            };
            coupling.row += row;
            coupling.column += column;
        } else if let Some(ground) = self.ground.get_mut(from) {
            *ground += conductance;
        } else if let Some(ground) = self.ground.get_mut(to) {
            *ground += back;
        }
    }

    /// Solves in place for a right-hand side, using the matrix up. A node that nothing holds gets zero.
    pub(super) fn solve(&mut self, x: &mut [f64]) {
        self.factor();
        self.solve_factored(x);
    }

    /// Eliminates every position, so that right-hand sides can be solved for one after another.
    pub(super) fn factor(&mut self) {
        let mut met = 0;
        for k in 0..self.ground.len() {
            let range = self.starts[k]..self.starts[k + 1];
            let handed: f64 = self.couplings[range.clone()].iter().map(|c| c.column).sum();
            let sum = self.ground[k] + handed;
            let resistance = if sum > f64::MIN_POSITIVE { 1.0 / sum } else { 0.0 };
            self.resistance[k] = resistance;
            let share_of_ground = self.ground[k] * resistance;
            for s in range.clone() {
                let (j, to_j) = (self.later[s], self.couplings[s]);
                self.ground[j] += to_j.row * share_of_ground;
                for t in s + 1..range.end {
                    let to_i = self.couplings[t];
                    let between = &mut self.couplings[self.met[met]];
                    between.row += to_i.row * (to_j.column * resistance);
                    between.column += to_j.row * (to_i.column * resistance);
                    met += 1;
                }
            }
        }
    }

    /// Solves in place for a right-hand side, once factored.
    pub(super) fn solve_factored(&self, x: &mut [f64]) {
        let nodes = self.ground.len();
        for k in 0..nodes {
            x[k] *= self.resistance[k];
            for s in self.starts[k]..self.starts[k + 1] {
                x[self.later[s]] += self.couplings[s].column * x[k];
            }
        }
        for k in (0..nodes).rev() {
            let range = self.starts[k]..self.starts[k + 1];
            let coupled = self.couplings[range.clone()].iter().zip(&self.later[range]);
            let coupled: f64 = coupled.map(|(c, &j)| c.row * x[j]).sum();
            x[k] += coupled * self.resistance[k];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A system told by its nodes.
    struct Wired {
        position: Vec<usize>,
        reduction: Reduction,
    }

    impl Wired {
        fn new(nodes: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Self {
            let order = Order::new(nodes, pairs);
            Self {
                reduction: Reduction::new(&order),
                position: order.position,
            }
        }

        /// A conductance that drains the head of a column into the balance of a row.
        fn couple(&mut self, row: usize, column: usize, conductance: f64) {
            let (row, column) = (self.position[row], self.position[column]);
            let slot = self.reduction.between(row, column);
            assert!(slot.is_some());
            self.reduction.join(slot, column, row, conductance, false);
        }

        fn drain(&mut self, column: usize, conductance: f64) {
            self.reduction.drain(self.position[column], conductance);
        }

        fn solve(&mut self, rhs: &[f64]) -> Vec<f64> {
            let mut x = vec![0.0; rhs.len()];
            for (&at, value) in self.position.iter().zip(rhs) {
                x[at] = *value;
            }
            self.reduction.solve(&mut x);
            self.position.iter().map(|&at| x[at]).collect()
        }
    }

    /// Solves a small unsymmetric system and multiplies back.
    #[test]
    fn solution_satisfies_the_system() {
        // A ring with a chord, one node tied to the outside, one one-way coupling.
        let couplings = [
            (0, 1, 2.0),
            (1, 0, 2.0),
            (1, 2, 0.5),
            (2, 1, 0.5),
            (2, 3, 1e-3),
            (3, 2, 1e-3),
            (3, 0, 4.0),
            (0, 3, 4.0),
            (1, 3, 0.7),
        ];
        let mut system = Wired::new(4, couplings.iter().map(|&(i, j, _)| (i, j)));
        let mut matrix = [[0.0; 4]; 4];
        for (i, j, g) in couplings {
            system.couple(i, j, g);
            matrix[i][j] -= g;
            matrix[j][j] += g;
        }
        system.drain(2, 0.3);
        matrix[2][2] += 0.3;
        let rhs = [1.0, -2.0, 0.5, 3.0];
        let x = system.solve(&rhs);
        for i in 0..4 {
            let product: f64 = (0..4).map(|j| matrix[i][j] * x[j]).sum();
            assert!((product - rhs[i]).abs() < 1e-12, "row {i}: {product}");
        }
    }

    #[test]
    fn a_chain_behind_a_trace_keeps_its_accuracy() {
        // Three nodes tied hard together and to the outside by a conductance 1e-20 as strong.
        let mut system = Wired::new(3, [(0, 1), (1, 2)].into_iter());
        for (i, j) in [(0, 1), (1, 0), (1, 2), (2, 1)] {
            system.couple(i, j, 1.0);
        }
        system.drain(0, 1e-20);
        let x = system.solve(&[0.0, 0.0, 3e-20]);
        assert!((x[2] - 3.0).abs() < 1e-12 && (x[0] - 3.0).abs() < 1e-12);
    }
}
