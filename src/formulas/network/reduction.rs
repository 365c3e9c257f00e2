//! The linear solve inside a Newton step: node by node reduction of a network of conductances.
//!
//! The matrix has positive diagonals, negative couplings and columns that sum to zero or more, so nothing is ever
//! subtracted: each eliminated node hands its couplings to its neighbours (star–mesh). Heads behind a nearly closed
//! flap keep full relative accuracy that way (Grassmann, Taksar & Heyman 1985), without pivoting. Nodes go by fewest
//! neighbours first, which adds no coupling at all in a tree.

use std::collections::BTreeSet;

/// A square system in elimination order; couplings are stored as positive numbers.
pub(super) struct Reduction {
    /// Position in elimination order of each node.
    position: Vec<usize>,
    /// Of each position, the later positions it is coupled to when its turn comes, rising.
    later: Vec<Vec<usize>>,
    /// Coupling in the row of a position to the columns of `later`.
    row: Vec<Vec<f64>>,
    /// Coupling in the column of a position to the rows of `later`.
    column: Vec<Vec<f64>>,
    /// What each column sums to.
    ground: Vec<f64>,
}

impl Reduction {
    /// Plans the elimination for nodes coupled in the given pairs.
    pub(super) fn plan(nodes: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Self {
        let mut near = vec![BTreeSet::new(); nodes];
        for (a, b) in pairs {
            near[a].insert(b);
            near[b].insert(a);
        }
        let mut queue: BTreeSet<(usize, usize)> = (0..nodes).map(|n| (near[n].len(), n)).collect();
        let mut position = vec![0; nodes];
        let mut neighbours = Vec::with_capacity(nodes);
        while let Some((_, node)) = queue.pop_first() {
            position[node] = neighbours.len();
            let star = std::mem::take(&mut near[node]);
            for &a in &star {
                queue.remove(&(near[a].len(), a));
                near[a].remove(&node);
                near[a].extend(star.iter().filter(|&&b| b != a));
                queue.insert((near[a].len(), a));
            }
            neighbours.push(star);
        }
        let later: Vec<Vec<usize>> = neighbours
            .into_iter()
            .map(|star| {
                let mut places: Vec<usize> = star.into_iter().map(|n| position[n]).collect();
                places.sort_unstable();
                places
            })
            .collect();
        let zeros: Vec<Vec<f64>> = later.iter().map(|l| vec![0.0; l.len()]).collect();
        Self {
            position,
            later,
            row: zeros.clone(),
            column: zeros,
            ground: vec![0.0; nodes],
        }
    }

    /// Empties the matrix for the next step.
    pub(super) fn clear(&mut self) {
        for values in self.row.iter_mut().chain(&mut self.column) {
            values.fill(0.0);
        }
        self.ground.fill(0.0);
    }

    /// Adds a conductance that drains the head of `column` into the balance of `row`, or out of the system.
    pub(super) fn add(&mut self, row: Option<usize>, column: usize, conductance: f64) {
        let column = self.position[column];
        match row {
            Some(row) => self.add_at(self.position[row], column, conductance),
            None => self.ground[column] += conductance,
        }
    }

    fn add_at(&mut self, row: usize, column: usize, value: f64) {
        let (earlier, wanted) = (row.min(column), row.max(column));
        if let Ok(slot) = self.later[earlier].binary_search(&wanted) {
            let values = if row < column {
                &mut self.row
            } else {
                &mut self.column
            };
            values[earlier][slot] += value;
        }
    }

    /// Solves for a right-hand side, using the matrix up. A node that nothing holds gets zero.
    pub(super) fn solve(&mut self, rhs: &[f64]) -> Vec<f64> {
        let n = self.position.len();
        let mut b = vec![0.0; n];
        for (node, &at) in self.position.iter().enumerate() {
            b[at] = rhs[node];
        }
        let mut diagonal = Vec::with_capacity(n);
        for k in 0..n {
            let sum = self.ground[k] + self.column[k].iter().sum::<f64>();
            let own = if sum > 0.0 { sum } else { f64::INFINITY };
            self.hand_over(k, own, &mut b);
            diagonal.push(own);
        }
        let mut x = vec![0.0; n];
        for k in (0..n).rev() {
            let coupled: f64 = self.later[k]
                .iter()
                .zip(&self.row[k])
                .map(|(&j, p)| p * x[j])
                .sum();
            x[k] = (b[k] + coupled) / diagonal[k];
        }
        self.position.iter().map(|&at| x[at]).collect()
    }

    /// Hands the couplings of position `k` to its later neighbours.
    fn hand_over(&mut self, k: usize, diagonal: f64, b: &mut [f64]) {
        let later = std::mem::take(&mut self.later[k]);
        for (s, &j) in later.iter().enumerate() {
            b[j] += self.column[k][s] * (b[k] / diagonal);
            let share = self.row[k][s] / diagonal;
            self.ground[j] += share * self.ground[k];
            for (t, &i) in later.iter().enumerate() {
                if i != j {
                    let value = share * self.column[k][t];
                    self.add_at(i, j, value);
                }
            }
        }
        self.later[k] = later;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let mut system = Reduction::plan(4, couplings.iter().map(|&(i, j, _)| (i, j)));
        let mut matrix = [[0.0; 4]; 4];
        for (i, j, g) in couplings {
            system.add(Some(i), j, g);
            matrix[i][j] -= g;
            matrix[j][j] += g;
        }
        system.add(None, 2, 0.3);
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
        let mut system = Reduction::plan(3, [(0, 1), (1, 2)].into_iter());
        for (i, j) in [(0, 1), (1, 0), (1, 2), (2, 1)] {
            system.add(Some(i), j, 1.0);
        }
        system.add(None, 0, 1e-20);
        let x = system.solve(&[0.0, 0.0, 3e-20]);
        assert!((x[2] - 3.0).abs() < 1e-12 && (x[0] - 3.0).abs() < 1e-12);
    }
}
