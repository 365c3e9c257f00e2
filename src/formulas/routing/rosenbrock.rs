//! One step in time: the linearly implicit method of Kaps & Rentrop (1979), order 4 with an embedded third-order result,
//! A-stable, in the parameters of Shampine (1982).
//!
//! Small basins behind wide crests settle within seconds while ponds take hours; an explicit method would have to follow
//! the seconds all the link.

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

/// Flows of the links, m³/s, and their derivatives by the volumes at either end, 1/s.
#[derive(Clone, Debug, Default)]
pub(super) struct Rates {
    pub flow: Vec<f64>,
    pub by_from: Vec<f64>,
    pub by_to: Vec<f64>,
}

/// What one step moves along each link, m³, and the error of that.
#[derive(Clone, Debug, Default)]
pub(super) struct Step {
    pub moved: Vec<f64>,
    pub error: Vec<f64>,
}

/// A step of a length in s from volumes (m³) at which the flows are `rates`; `flows` gives the flows at other volumes.
///
/// Volumes follow the links: what a stage moves along a link leaves one store and enters the other.
pub(super) fn step(
    ends: &[Ends],
    volumes: &[f64],
    rates: &Rates,
    length: f64,
    mut flows: impl FnMut(&[f64], &mut Vec<f64>),
) -> Step {
    let scale = GAMMA * length;
    let matrix = Matrix::of(ends, volumes.len(), rates, scale);
    let stage = |rhs: &[f64]| -> Vec<f64> {
        let mut net = vec![0.0; volumes.len()];
        shift(ends, rhs, &mut net);
        let stores = matrix.solve(net);
        let along = ends.iter().enumerate().map(|(link, end)| {
            scale * (rhs[link] + rates.by_from[link] * stores[end.from] + rates.by_to[link] * stores[end.to])
        });
        along.collect()
    };
    let after = |stages: &[(f64, &[f64])]| -> Vec<f64> {
        let mut at = volumes.to_vec();
        for (factor, moved) in stages {
            let moved: Vec<f64> = moved.iter().map(|moved| factor * moved).collect();
            shift(ends, &moved, &mut at);
        }
        at
    };
    let with = |flow: &[f64], stages: &[(f64, &[f64])]| -> Vec<f64> {
        let sum = |link: usize| {
            stages
                .iter()
                .map(|(factor, moved)| factor * moved[link])
                .sum::<f64>()
        };
        (0..flow.len())
            .map(|link| flow[link] + sum(link) / length)
            .collect()
    };

    let mut flow = rates.flow.clone();
    let g1 = stage(&flow);
    flows(&after(&[(A21, &g1)]), &mut flow);
    let g2 = stage(&with(&flow, &[(C21, &g1)]));
    flows(&after(&[(A31, &g1), (A32, &g2)]), &mut flow);
    let g3 = stage(&with(&flow, &[(C31, &g1), (C32, &g2)]));
    let g4 = stage(&with(&flow, &[(C41, &g1), (C42, &g2), (C43, &g3)]));

    let combined = |by: [f64; 4]| -> Vec<f64> {
        let sum = |link: usize| by[0] * g1[link] + by[1] * g2[link] + by[2] * g3[link] + by[3] * g4[link];
        (0..ends.len()).map(sum).collect()
    };
    Step {
        moved: combined(B),
        error: combined(E),
    }
}

/// Moves water along the links: out of where each starts, into where it ends.
pub(super) fn shift(ends: &[Ends], moved: &[f64], volumes: &mut [f64]) {
    for (end, moved) in ends.iter().zip(moved) {
        volumes[end.from] -= moved;
        volumes[end.to] += moved;
    }
}

/// `I − γ·h·J` over the stores, factored.
struct Matrix {
    size: usize,
    cells: Vec<f64>,
    pivots: Vec<usize>,
    scale: f64,
}

impl Matrix {
    fn of(ends: &[Ends], size: usize, rates: &Rates, scale: f64) -> Self {
        let mut cells = vec![0.0; size * size];
        for store in 0..size {
            cells[store * size + store] = 1.0;
        }
        for (link, end) in ends.iter().enumerate() {
            let (by_from, by_to) = (scale * rates.by_from[link], scale * rates.by_to[link]);
            cells[end.from * size + end.from] += by_from;
            cells[end.from * size + end.to] += by_to;
            cells[end.to * size + end.from] -= by_from;
            cells[end.to * size + end.to] -= by_to;
        }
        let mut matrix = Self {
            size,
            cells,
            pivots: Vec::with_capacity(size),
            scale,
        };
        matrix.factor();
        matrix
    }

    /// Gaussian elimination with partial pivoting, in place.
    fn factor(&mut self) {
        let n = self.size;
        for column in 0..n {
            let by_size = |a: &usize, b: &usize| {
                let size = |row: &usize| self.cells[row * n + column].abs();
                size(a).total_cmp(&size(b))
            };
            let pivot = (column..n).max_by(by_size).unwrap_or(column);
            self.pivots.push(pivot);
            if pivot != column {
                for k in 0..n {
                    self.cells.swap(pivot * n + k, column * n + k);
                }
            }
            let divisor = self.cells[column * n + column];
            for row in column + 1..n {
                let factor = self.cells[row * n + column] / divisor;
                self.cells[row * n + column] = factor;
                if factor != 0.0 {
                    for k in column + 1..n {
                        self.cells[row * n + k] -= factor * self.cells[column * n + k];
                    }
                }
            }
        }
    }

    /// The volumes that a stage shifts, m³, for a net inflow of the stores in m³/s.
    fn solve(&self, mut x: Vec<f64>) -> Vec<f64> {
        let n = self.size;
        for column in 0..n {
            x.swap(column, self.pivots[column]);
        }
        for row in 0..n {
            let done: f64 = (0..row).map(|k| self.cells[row * n + k] * x[k]).sum();
            x[row] -= done;
        }
        for row in (0..n).rev() {
            let done: f64 = (row + 1..n).map(|k| self.cells[row * n + k] * x[k]).sum();
            x[row] = (x[row] - done) / self.cells[row * n + row];
        }
        for value in &mut x {
            *value *= self.scale;
        }
        x
    }
}
