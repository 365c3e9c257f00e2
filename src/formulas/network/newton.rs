//! Newton's method on all heads and flows at once, flows eliminated, damped by a line search.

use super::{
    NoSolution, Residual,
    element::Point,
    reduction::Reduction,
    system::{Balance, State, System},
};

/// Tolerance of heads in m, and of flows as a share of the largest.
const TOLERANCE: f64 = 1e-9;
/// A step is shortened by halves at most so often.
const MOST_HALVINGS: usize = 12;
/// Further steps taken once all balances, to settle what hardly matters: heads between closed links, flows that cost
/// no head.
const MOST_POLISHING: usize = 8;
/// A sum of squares below which steps are not shortened: Newton finishes better alone.
const NEAR: f64 = 1e-8;

/// How a search is kept from running away.
struct Damping {
    /// Steps after which it is given up.
    steps: usize,
    /// A step may do worse than the last one, but not worse than so many before: a strict descent creeps along kinks.
    memory: usize,
    /// While the equations are far from met, no node is taken to be tied less than this share of its usual flow per
    /// metre (less, in step with the sum of squares): keeps steps short where everything about a node is closed.
    tie: f64,
    /// The furthest the head of a node that only closed links tie may leap in a step once the equations are nearly met,
    /// m. A trace of flow left over there would else throw open what should stay shut, again and again.
    leap: f64,
}

impl Damping {
    /// The tie of every node at a state, as a share of its usual flow per metre; none that hinders where all balances.
    fn tie_at(&self, balance: &Balance, system: &System<'_>, balanced: bool) -> f64 {
        let tie = self.tie * balance.merit.min(1.0);
        if balanced || balance.merit > NEAR {
            return tie;
        }
        tie.max(balance.residual().flow / system.scale / self.leap)
    }
}

/// A search, and others from the start again where it fails (of generated circuits, one in 20 000); 200 steps in all.
const SEARCHES: [Damping; 3] = [
    Damping {
        steps: 80,
        memory: 3,
        tie: 1e-2,
        leap: 0.1,
    },
    Damping {
        steps: 60,
        memory: 6,
        tie: 1e-1,
        leap: 1.0,
    },
    Damping {
        steps: 60,
        memory: 2,
        tie: 1e-3,
        leap: 10.0,
    },
];

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
    let mut taken = 0;
    let mut residual = system.balance(&system.start()).residual();
    for damping in &SEARCHES {
        match search(system, damping, &mut plan) {
            Ok(found) => {
                return Ok(Found {
                    iterations: taken + found.iterations,
                    ..found
                });
            }
            Err((steps, left)) => {
                taken += steps;
                residual = left;
            }
        }
    }
    Err(NoSolution::DidNotConverge {
        residual,
        iterations: taken,
    })
}

/// One search from the start; where it fails, the steps taken and the imbalance left.
fn search(system: &System<'_>, damping: &Damping, plan: &mut Reduction) -> Result<Found, (usize, Residual)> {
    let mut state = system.start();
    let mut balance = system.balance(&state);
    let mut merits = vec![balance.merit];
    let mut polished = 0;
    for before in 0..damping.steps {
        let done = balanced(system, &state, &balance);
        let tie = damping.tie_at(&balance, system, done);
        let step = newton_step(system, &state, &balance, tie, plan);
        let bar = merits
            .iter()
            .rev()
            .take(damping.memory)
            .copied()
            .fold(NEAR, f64::max);
        let (next, next_balance) = advance(system, &state, &step, bar);
        if done {
            let settled = step_size(system, &step, &balance) <= TOLERANCE;
            let better = balanced(system, &next, &next_balance);
            polished += 1;
            if settled || !better || polished == MOST_POLISHING {
                let (state, balance) = if better {
                    (next, next_balance)
                } else {
                    (state, balance)
                };
                return Ok(Found {
                    heads: state.heads,
                    residual: balance.residual(),
                    points: balance.points,
                    iterations: before + 1,
                });
            }
        }
        (state, balance) = (next, next_balance);
        if !balance.merit.is_finite() {
            return Err((before + 1, balance.residual()));
        }
        merits.push(balance.merit);
    }
    Err((damping.steps, balance.residual()))
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

/// The largest change in a step: of heads in m, of flows as a share of the largest.
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
fn newton_step(
    system: &System<'_>,
    state: &State,
    balance: &Balance,
    tie: f64,
    plan: &mut Reduction,
) -> State {
    plan.clear();
    let mut rhs: Vec<f64> = balance.continuity.iter().map(|out| -out).collect();
    for ((branch, point), energy) in system.branches.iter().zip(&balance.points).zip(&balance.energy) {
        let conductance = (point.flow_slope / point.drop_slope).max(tie * branch.usual);
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
    for (node, usual) in system.usual.iter().enumerate() {
        plan.add(None, node, tie * usual);
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
