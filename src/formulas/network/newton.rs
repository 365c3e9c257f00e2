//! Newton's method on all heads and flows at once, flows eliminated, damped by a line search.

use super::{
    super::elimination::Reduction,
    solution::NoSolution,
    system::{Residual, State, System, Trial},
};

/// Tolerance of heads in m, and of flows as a share of the largest.
const TOLERANCE: f64 = 1e-9;
/// A step is shortened by halves at most so often.
const MOST_HALVINGS: usize = 12;
/// A balanced state is done when a further step would change heads (in m) and flows (as a share of the largest) no more.
const SETTLED: f64 = 1e-11;
/// Further steps taken once all balances, to settle what hardly matters: heads between closed links, flows that cost
/// no head.
const MOST_POLISHING: usize = 8;
/// A sum of squares below which steps are not shortened: Newton finishes better alone.
const NEAR: f64 = 1e-8;
/// The longest memory of a damping.
const MOST_MEMORY: usize = 6;

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
    fn tie_at(&self, trial: &Trial, system: &System<'_>, balanced: bool) -> f64 {
        let tie = self.tie * trial.merit.min(1.0);
        if balanced || trial.merit > NEAR {
            return tie;
        }
        tie.max(trial.residual(system).flow / system.scale / self.leap)
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

/// How a search ended.
enum End {
    Found,
    /// Given up, with the imbalance left.
    Lost(Residual),
}

/// Searches a system for its solution, in space set aside once.
pub(super) struct Search {
    reduction: Reduction,
    start: Trial,
    /// Where the search stands.
    pub(super) here: Trial,
    next: Trial,
    best: Trial,
    step: State,
}

impl Search {
    pub(super) fn new(start: Trial, reduction: Reduction) -> Self {
        Self {
            reduction,
            here: start.clone(),
            next: start.clone(),
            best: start.clone(),
            step: start.state.clone(),
            start,
        }
    }

    /// Brings `here` to the solution of the system and tells the steps taken, or says how far it came.
    pub(super) fn run(&mut self, system: &System<'_>) -> Result<usize, NoSolution> {
        let mut taken = 0;
        let mut residual = Residual { head: 0.0, flow: 0.0 };
        for damping in &SEARCHES {
            let (steps, end) = self.run_damped(system, damping);
            taken += steps;
            match end {
                End::Found => return Ok(taken),
                End::Lost(left) => residual = left,
            }
        }
        Err(NoSolution::DidNotConverge {
            residual,
            iterations: taken,
        })
    }

    /// One search from the start.
    fn run_damped(&mut self, system: &System<'_>, damping: &Damping) -> (usize, End) {
        self.here.copy_from(&self.start);
        let mut merits = [0.0; MOST_MEMORY];
        let mut polished = 0;
        for before in 0..damping.steps {
            merits[before % damping.memory] = self.here.merit;
            let done = balanced(system, &self.here);
            let tie = damping.tie_at(&self.here, system, done);
            self.newton_step(system, tie);
            if done && (polished == MOST_POLISHING || self.step_size(system) <= SETTLED) {
                return (before, End::Found);
            }
            let bar = merits.into_iter().fold(NEAR, f64::max);
            self.advance(system, bar);
            if done {
                polished += 1;
                if !balanced(system, &self.here) {
                    // The state before the step was the better one.
                    std::mem::swap(&mut self.here, &mut self.next);
                    return (before + 1, End::Found);
                }
            }
            if !self.here.merit.is_finite() {
                return (before + 1, End::Lost(self.here.residual(system)));
            }
        }
        (damping.steps, End::Lost(self.here.residual(system)))
    }

    /// The Newton step: flows are eliminated branch by branch, which leaves one equation per sought head.
    fn newton_step(&mut self, system: &System<'_>, tie: f64) {
        let Self {
            reduction,
            here,
            step,
            ..
        } = self;
        let heads = &here.state.heads;
        reduction.clear();
        for (node, usual) in system.usual.iter().enumerate() {
            reduction.drain(node, tie * usual);
        }
        for (rhs, out) in step.heads.iter_mut().zip(&here.continuity) {
            *rhs = -out;
        }
        for ((branch, point), energy) in system.branches.iter().zip(&here.points).zip(&here.energy) {
            let conductance = (point.flow_slope * point.steps_per_drop).max(tie * branch.usual);
            let (_, leans) = branch.end_head(heads);
            step.heads[branch.from] += conductance * energy;
            step.heads[branch.to] -= conductance * energy;
            reduction.join(branch.slot, branch.from, branch.to, conductance, leans);
        }
        step.heads[system.sought..].fill(0.0);
        reduction.solve(&mut step.heads[..system.sought]);
        let each = system.branches.iter().zip(&here.points).zip(&here.energy);
        for (change, ((branch, point), energy)) in step.parameters.iter_mut().zip(each) {
            *change = (branch.change(heads, &step.heads) - energy) * point.steps_per_drop;
        }
    }

    /// The largest change in the step: of heads in m, of flows as a share of the largest.
    fn step_size(&self, system: &System<'_>) -> f64 {
        let larger = |high: f64, change: f64| high.max(change.abs());
        let heads = self.step.heads.iter().copied().fold(0.0, larger);
        let each = self.step.parameters.iter().zip(&self.here.points);
        let flows = each.map(|(change, point)| change * point.flow_slope);
        heads.max(flows.fold(0.0, larger) / self.here.largest_flow(system))
    }

    /// Goes along the step, shortened until the equations are met better than `bar`, or else to the best point tried;
    /// `next` keeps the state before.
    fn advance(&mut self, system: &System<'_>, bar: f64) {
        let mut share = 1.0;
        self.best.step_from(&self.here, &self.step, share, system);
        for _ in 0..MOST_HALVINGS {
            if self.best.merit <= (1.0 - 1e-4 * share) * bar {
                break;
            }
            share *= 0.5;
            self.next.step_from(&self.here, &self.step, share, system);
            // Not finite counts as worst.
            if self.next.merit < self.best.merit || !self.best.merit.is_finite() {
                std::mem::swap(&mut self.next, &mut self.best);
            }
        }
        std::mem::swap(&mut self.next, &mut self.here);
        std::mem::swap(&mut self.here, &mut self.best);
    }
}

/// Whether flows and heads balance, as closely as floats can tell.
fn balanced(system: &System<'_>, trial: &Trial) -> bool {
    let residual = trial.residual(system);
    let sought = &trial.state.heads[..system.sought];
    let highest = sought.iter().fold(0.0_f64, |high, head| high.max(head.abs()));
    let rounding = 16.0 * f64::EPSILON * highest;
    residual.head <= TOLERANCE + rounding && residual.flow <= TOLERANCE * trial.largest_flow(system)
}
