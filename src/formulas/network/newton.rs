//! Newton's method on all heads and flows at once, flows eliminated, damped by a line search.

use super::{
    NoSolution, Residual,
    element::Point,
    reduction::Reduction,
    system::{Balance, State, System},
};

/// Steps after which the search is given up.
const MOST_ITERATIONS: usize = 200;
/// Tolerance of heads in m, and of flows as a share of the largest.
const TOLERANCE: f64 = 1e-9;
/// A step is shortened by halves at most so often.
const MOST_HALVINGS: usize = 12;
/// Further steps taken once all balances, to settle what hardly matters: heads between closed links, flows that cost
/// no head.
const MOST_POLISHING: usize = 8;
/// A step may do worse than the last one, but not than this many before: a strict descent creeps along kinks.
const MEMORY: usize = 6;

/// While the equations are far from met, no branch is taken to conduct less than this share of the usual flow per
/// metre (less, in step with the sum of squares): keeps steps short where everything about a node is closed.
const LEAST_CONDUCTANCE: f64 = 1e-2;
/// A sum of squares below which steps are no longer judged: what is left is mostly rounding.
const ROUNDING: f64 = 1e-20;

/// Where the search ended.
pub(super) struct Found {
    /// The sought heads.
    pub(super) heads: Vec<f64>,
    /// Where each branch stands.
    pub(super) points: Vec<Point>,
    pub(super) residual: Residual,
    pub(super) iterations: usize,
}

/// Solves a system, or says how far it came.
pub(super) fn solve(system: &System<'_>) -> Result<Found, NoSolution> {
    let mut plan = system.plan();
    let mut state = system.start();
    let mut balance = system.balance(&state);
    let mut merits = vec![balance.merit];
    let mut polished = 0;
    for iterations in 0..MOST_ITERATIONS {
        let step = newton_step(system, &state, &balance, &mut plan);
        let size = step_size(system, &step, &balance);
        let bar = merits.iter().rev().take(MEMORY).copied().fold(ROUNDING, f64::max);
        let (next, next_balance) = advance(system, &state, &step, bar);
        if balanced(system, &state, &balance) {
            let better = balanced(system, &next, &next_balance);
            polished += 1;
            if !better || size <= TOLERANCE || polished == MOST_POLISHING {
                let (state, balance) = if better {
                    (next, next_balance)
                } else {
                    (state, balance)
                };
                return Ok(Found {
                    heads: state.heads,
                    residual: balance.residual(),
                    points: balance.points,
                    iterations: iterations + 1,
                });
            }
        }
        (state, balance) = (next, next_balance);
        merits.push(balance.merit);
        if !balance.merit.is_finite() {
            break;
        }
    }
    Err(NoSolution::DidNotConverge {
        residual: balance.residual(),
        iterations: merits.len() - 1,
    })
}

/// Whether flows and heads balance, as closely as floats can tell.
fn balanced(system: &System<'_>, state: &State, balance: &Balance) -> bool {
    let residual = balance.residual();
    let highest = state
        .heads
        .iter()
        .fold(0.0_f64, |high, head| high.max(head.abs()));
    let rounding = 16.0 * f64::EPSILON * highest;
    residual.head <= TOLERANCE + rounding && residual.flow <= TOLERANCE * largest_flow(system, balance)
}

/// The largest flow, but not less than a thousandth of the usual flow: what flows are held against.
fn largest_flow(system: &System<'_>, balance: &Balance) -> f64 {
    balance
        .points
        .iter()
        .fold(1e-3 * system.scale, |high, point| high.max(point.flow.abs()))
}

/// The largest change in a step: of heads in m (of heads above 1 m as a share), of flows as a share of the largest.
fn step_size(system: &System<'_>, step: &State, balance: &Balance) -> f64 {
    let heads = step
        .heads
        .iter()
        .fold(0.0_f64, |high, change| high.max(change.abs()));
    let flows = step
        .parameters
        .iter()
        .zip(&balance.points)
        .fold(0.0_f64, |high, (change, point)| {
            high.max((change * point.flow_slope).abs())
        });
    heads.max(flows / largest_flow(system, balance))
}

/// The Newton step: flows are eliminated branch by branch, which leaves one equation per sought head.
fn newton_step(system: &System<'_>, state: &State, balance: &Balance, plan: &mut Reduction) -> State {
    plan.clear();
    let least = LEAST_CONDUCTANCE * system.scale * balance.merit.min(1.0);
    let mut rhs: Vec<f64> = balance.continuity.iter().map(|out| -out).collect();
    for ((branch, point), energy) in system.branches.iter().zip(&balance.points).zip(&balance.energy) {
        let conductance = (point.flow_slope / point.drop_slope).max(least);
        let (_, leans) = branch.end_head(&state.heads);
        if let Some(from) = branch.from.sought() {
            plan.add(branch.to.sought(), from, conductance);
            rhs[from] += conductance * energy;
        }
        if let Some(to) = branch.to.sought() {
            if leans {
                plan.add(branch.from.sought(), to, conductance);
            }
            rhs[to] -= conductance * energy;
        }
    }
    let heads = plan.solve(&rhs);
    let parameters = system
        .branches
        .iter()
        .zip(&balance.points)
        .zip(&balance.energy)
        .map(|((branch, point), energy)| (branch.change(&state.heads, &heads) - energy) / point.drop_slope)
        .collect();
    State { parameters, heads }
}

/// Goes along a step, shortened until the equations are met better than `bar`, or else to the best point tried.
fn advance(system: &System<'_>, state: &State, step: &State, bar: f64) -> (State, Balance) {
    let tried = |share: f64| {
        let trial = state.along(step, share);
        let balance = system.balance(&trial);
        (trial, balance)
    };
    let mut share = 1.0;
    let mut best = tried(share);
    for _ in 0..MOST_HALVINGS {
        if best.1.merit <= (1.0 - 1e-4 * share) * bar {
            break;
        }
        share *= 0.5;
        let next = tried(share);
        // Not finite counts as worst.
        if next.1.merit < best.1.merit || !best.1.merit.is_finite() {
            best = next;
        }
    }
    best
}
