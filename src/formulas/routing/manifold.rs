//! Several ends that run back through one shared main: what each passes follows from the levels at all of them.

use crate::formulas::pipe::{self, Resistance};

/// A line of pipes that branches, running backwards: from its ends down to where the line starts.
#[derive(Clone, Debug, Default)]
pub struct Manifold {
    /// Kinematic viscosity, m²/s.
    pub nu: f64,
    /// The pipes; each leads from the far node it feeds or from its end towards the start of the line.
    pub pipes: Vec<ManifoldPipe>,
}

/// One pipe of a manifold.
#[derive(Clone, Debug)]
pub struct ManifoldPipe {
    /// The pipe, with its losses.
    pub run: pipe::Run,
    /// The pipe it runs into; none where it reaches the start of the line.
    pub into: Option<usize>,
    /// Which end it takes water from; none where it only joins others.
    pub end: Option<usize>,
}

/// Steps after which a search is given up.
const MOST_STEPS: usize = 80;
/// Flows are found once a step changes none by more than this share of the largest; the next would change them by its
/// square.
const FOUND: f64 = 1e-9;
/// Velocity under which the largest flow counts as none, m/s.
const STILL: f64 = 1e-6;
/// The velocity that a search begins with, m/s.
const USUAL: f64 = 1.0;
/// Least slope of the loss by the flow, as that of a loss in m at the usual velocity: keeps a pipe at rest from counting as
/// an endless conductance.
const LEAST_LOSS: f64 = 1e-5;
/// Share of a step's first descent that may be left, with the sign turned, before the step is shortened.
const OVERSHOT: f64 = 0.5;

impl Manifold {
    /// Flow out of each end, m³/s, below zero where water runs into it.
    ///
    /// Arguments: the level at the start of the line (m); the level at each end (m), none where air or a valve has shut
    /// it. Continuity at each joint, Darcy–Weisbach in each pipe; inertia and the velocity head at joints are left out.
    /// Newton's method on all pipes at once, flows eliminated at the joints (the global gradient method, Todini & Pilati
    /// 1988); in a tree that is one walk from the ends to the start and back.
    pub fn flows(&self, start: f64, ends: &[Option<f64>]) -> Vec<f64> {
        let mut search = LineSearch::new(self);
        search.solve(start, ends);
        (0..ends.len())
            .map(|end| search.ends.get(end).map_or(0.0, |end| end.rate))
            .collect()
    }
}

/// What an end of a line passes, m³/s, with its derivatives by the level there and at the start of the line, m²/s.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct EndFlow {
    pub rate: f64,
    pub by_own: f64,
    pub by_start: f64,
}

/// The flows of one line, searched from where the last search ended.
#[derive(Clone, Debug)]
pub(super) struct LineSearch {
    /// Those that water can pass, each after the one it runs into.
    pipes: Vec<SearchedPipe>,
    /// What was found, end by end.
    pub ends: Vec<EndFlow>,
}

/// A pipe in a search. Its flow hangs on the head at its lower node: `flow = fixed − leaning·head`.
#[derive(Clone, Debug)]
struct SearchedPipe {
    resistance: Resistance,
    /// Position of the pipe it runs into.
    into: Option<usize>,
    end: Option<usize>,
    area: f64,
    /// m³/s.
    flow: f64,
    step: f64,
    /// Of the last friction factor, to begin the next evaluation with.
    root: Option<f64>,
    loss: f64,
    slope: f64,
    fixed: f64,
    leaning: f64,
    /// The sums of the pipes that run into it.
    above: (f64, f64),
    /// Head at its upper node, m.
    head: f64,
    /// How that head follows the head at its lower node, and the conductance at the upper node, m²/s.
    follows: f64,
    conductance: f64,
}

impl LineSearch {
    pub(super) fn new(manifold: &Manifold) -> Self {
        let count = manifold.pipes.len();
        let mut above = vec![Vec::new(); count];
        let mut order: Vec<usize> = Vec::new();
        for (at, pipe) in manifold.pipes.iter().enumerate() {
            match pipe.into {
                Some(into) if into < count => above[into].push(at),
                Some(_) => {}
                None => order.push(at),
            }
        }
        let mut position = vec![None; count];
        let mut next = 0;
        while let Some(&at) = order.get(next) {
            position[at] = Some(next);
            // Nothing runs into a pipe that starts at an end.
            if manifold.pipes[at].end.is_none() {
                order.extend(&above[at]);
            }
            next += 1;
        }
        let pipes = order.iter().map(|&at| {
            let pipe = &manifold.pipes[at];
            let area = pipe.run.area();
            SearchedPipe {
                resistance: Resistance::of(&pipe.run, manifold.nu),
                into: pipe.into.and_then(|into| position[into]),
                end: pipe.end,
                area,
                flow: area * USUAL,
                step: 0.0,
                root: None,
                loss: 0.0,
                slope: 1.0,
                fixed: 0.0,
                leaning: 0.0,
                above: (0.0, 0.0),
                head: 0.0,
                follows: 0.0,
                conductance: 0.0,
            }
        });
        let ends = manifold.pipes.iter().filter_map(|pipe| pipe.end);
        Self {
            pipes: pipes.collect(),
            ends: vec![EndFlow::default(); ends.max().map_or(0, |end| end + 1)],
        }
    }

    /// Brings `ends` to the levels at the start and at the ends, m; none where an end is shut.
    pub(super) fn solve(&mut self, start: f64, levels: &[Option<f64>]) {
        let mut descent = 0.0;
        for taken in 0..MOST_STEPS {
            self.evaluate();
            // Along a step the content of the line falls first; where the step went too far it rises again. The first
            // step only brings the flows into balance at the joints.
            let along = if taken > 1 { self.along(start, levels) } else { 0.0 };
            if descent < 0.0 && along > -OVERSHOT * descent {
                let back = along / (along - descent);
                for pipe in &mut self.pipes {
                    pipe.flow -= back * pipe.step;
                    pipe.step *= 1.0 - back;
                }
                self.evaluate();
            }
            self.eliminate(levels);
            let found = self.substitute(start);
            descent = self.along(start, levels);
            for pipe in &mut self.pipes {
                pipe.flow += pipe.step;
            }
            if found {
                break;
            }
        }
        self.read(levels);
    }

    /// The loss of each pipe at its flow.
    fn evaluate(&mut self) {
        for pipe in &mut self.pipes {
            let loss = pipe.resistance.loss(pipe.flow, pipe.root);
            pipe.root = loss.root;
            pipe.loss = loss.head;
            pipe.slope = loss.slope.max(LEAST_LOSS / (pipe.area * USUAL));
        }
    }

    /// The slope of the content along the last step: what its flows lose less what the levels give them.
    fn along(&self, start: f64, levels: &[Option<f64>]) -> f64 {
        let of = |pipe: &SearchedPipe| {
            let from = pipe.end.and_then(|end| levels[end]).unwrap_or(0.0);
            let to = if pipe.into.is_none() { start } else { 0.0 };
            (pipe.loss - from + to) * pipe.step
        };
        self.pipes.iter().map(of).sum()
    }

    /// From the ends down: the flow of each pipe against the head at its lower node.
    fn eliminate(&mut self, levels: &[Option<f64>]) {
        for pipe in &mut self.pipes {
            pipe.above = (0.0, 0.0);
        }
        for at in (0..self.pipes.len()).rev() {
            let pipe = &mut self.pipes[at];
            let slack = 1.0 / pipe.slope;
            let own = pipe.flow - pipe.loss * slack;
            let (fixed, leaning) = match pipe.end {
                Some(end) => levels[end].map_or((0.0, 0.0), |level| {
                    pipe.head = level;
                    (own + level * slack, slack)
                }),
                None if pipe.above.1 > 0.0 => {
                    let (fixed, leaning) = pipe.above;
                    let spread = 1.0 / (leaning + slack);
                    pipe.follows = spread * slack;
                    pipe.head = spread * (fixed - own);
                    (own + slack * pipe.head, spread * leaning * slack)
                }
                None => {
                    (pipe.head, pipe.follows) = (0.0, 0.0);
                    (0.0, 0.0)
                }
            };
            (pipe.fixed, pipe.leaning) = (fixed, leaning);
            if let Some(into) = pipe.into {
                let sums = &mut self.pipes[into].above;
                *sums = (sums.0 + fixed, sums.1 + leaning);
            }
        }
    }

    /// From the start up: heads and the step of each flow; whether it is too small to count.
    fn substitute(&mut self, start: f64) -> bool {
        let (mut most, mut largest) = (0.0_f64, 0.0_f64);
        for at in 0..self.pipes.len() {
            let below = self.pipes[at].into.map_or(start, |into| self.pipes[into].head);
            let pipe = &mut self.pipes[at];
            if pipe.end.is_none() {
                pipe.head += pipe.follows * below;
            }
            let flow = pipe.fixed - pipe.leaning * below;
            pipe.step = flow - pipe.flow;
            most = most.max(pipe.step.abs());
            largest = largest.max(flow.abs()).max(pipe.area * STILL);
        }
        most <= FOUND * largest
    }

    /// What the ends pass, with derivatives by their own levels and the start's.
    fn read(&mut self, levels: &[Option<f64>]) {
        for at in 0..self.pipes.len() {
            let (follows, onward) = match self.pipes[at].into {
                // How the lower node follows the start, and what resists the flow beyond it but for this pipe.
                Some(into) => {
                    let lower = &self.pipes[into];
                    let others = lower.conductance - self.pipes[at].leaning;
                    (lower.follows, 1.0 / others)
                }
                None => (1.0, 0.0),
            };
            let pipe = &mut self.pipes[at];
            if let Some(end) = pipe.end {
                let open = levels[end].is_some();
                self.ends[end] = EndFlow {
                    rate: if open { pipe.flow } else { 0.0 },
                    by_own: if open { 1.0 / (pipe.slope + onward) } else { 0.0 },
                    by_start: if open { -follows * pipe.leaning } else { 0.0 },
                };
            } else {
                pipe.follows *= follows;
                pipe.conductance = pipe.above.1 + 1.0 / (pipe.slope + onward);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{LineSearch, Manifold, ManifoldPipe};
    use crate::formulas::{pipe, pipe::flow_under_head};

    fn run(diameter: f64, length: f64) -> pipe::Run {
        pipe::Run {
            diameter,
            length,
            roughness: 1.5e-6,
            minor_k: 1.5,
            laminar_k: 0.0,
        }
    }

    fn forked(main: pipe::Run, branch: pipe::Run) -> Manifold {
        let branches = (0..2).map(|end| ManifoldPipe {
            run: branch,
            into: Some(0),
            end: Some(end),
        });
        let main = ManifoldPipe {
            run: main,
            into: None,
            end: None,
        };
        Manifold {
            nu: 1.1e-6,
            pipes: [main].into_iter().chain(branches).collect(),
        }
    }

    /// Two equal branches at one level pass half the main's flow each: the main with the branches' loss added passes
    /// the whole, with the loss of a branch at half the flow a quarter of that at the whole (fully by hand: minor
    /// losses only, K adds as (Q/2)² / Q²).
    #[test]
    fn equal_branches_share_the_main() {
        let minor = |k: f64| pipe::Run {
            minor_k: k,
            ..run(0.05, 0.0)
        };
        let flows = forked(minor(4.0), minor(2.0)).flows(0.0, &[Some(1.0), Some(1.0)]);
        let whole = flow_under_head(1.0, &minor(4.0 + 2.0 / 4.0), 1.1e-6);
        assert!((flows[0] - flows[1]).abs() < 1e-12);
        assert!(
            (flows[0] + flows[1] - whole).abs() < 1e-9 * whole,
            "{flows:?} {whole}"
        );
    }

    /// With the start shut off by equal head, the higher end feeds the lower one.
    #[test]
    fn a_higher_end_feeds_a_lower_one() {
        let manifold = forked(run(0.05, 20.0), run(0.04, 3.0));
        let flows = manifold.flows(0.4, &[Some(1.0), Some(0.1)]);
        assert!(flows[0] > 0.0 && flows[1] < 0.0, "{flows:?}");
        let only = manifold.flows(0.0, &[Some(1.0), None]);
        assert_eq!(only[1], 0.0);
        assert!(only[0] > 0.0);
    }

    /// A main with two forks behind one another, three ends and a shut one: continuity at both joints and the loss along
    /// every way, worked out from the flows alone, and the derivatives against differences.
    #[test]
    fn a_deeper_tree_balances_and_its_derivatives_hold() {
        let pipe = |run, into, end| ManifoldPipe { run, into, end };
        let manifold = Manifold {
            nu: 1.1e-6,
            pipes: vec![
                pipe(run(0.04, 3.0), Some(2), Some(0)),
                pipe(run(0.06, 12.0), None, None),
                pipe(run(0.05, 6.0), Some(1), None),
                pipe(run(0.03, 4.0), Some(2), Some(1)),
                pipe(run(0.03, 2.0), Some(1), Some(2)),
                pipe(run(0.03, 2.0), Some(1), Some(3)),
            ],
        };
        let (start, levels) = (-0.2, [Some(0.9), Some(0.4), Some(0.1), None]);
        let flows = manifold.flows(start, &levels);
        assert_eq!(flows[3], 0.0);
        let loss = |pipe: usize, flow: f64| pipe::head_loss(flow, &manifold.pipes[pipe].run, 1.1e-6);
        let second = flows[0] + flows[1];
        let main = second + flows[2];
        let first_joint = start + loss(1, main);
        let second_joint = first_joint + loss(2, second);
        for (level, joint, pipe, end) in [
            (0.9, second_joint, 0, 0),
            (0.4, second_joint, 3, 1),
            (0.1, first_joint, 4, 2),
        ] {
            assert!(
                (level - joint - loss(pipe, flows[end])).abs() < 1e-9,
                "end {end}: {flows:?}"
            );
        }
        let mut search = LineSearch::new(&manifold);
        search.solve(start, &levels);
        let nudge = 1e-6;
        for end in 0..3 {
            let found = search.ends[end];
            let by = |from: Vec<f64>, to: Vec<f64>| (to[end] - from[end]) / (2.0 * nudge);
            let moved = |change: f64| {
                let mut levels = levels;
                levels[end] = levels[end].map(|level| level + change);
                manifold.flows(start, &levels)
            };
            let by_own = by(moved(-nudge), moved(nudge));
            let by_start = by(
                manifold.flows(start - nudge, &levels),
                manifold.flows(start + nudge, &levels),
            );
            assert!(
                (found.by_own / by_own - 1.0).abs() < 1e-5,
                "{end}: {found:?} {by_own}"
            );
            assert!(
                (found.by_start / by_start - 1.0).abs() < 1e-5,
                "{end}: {found:?} {by_start}"
            );
        }
    }

    /// A search that goes on from other levels comes to what one from the beginning does; also where flows turn round.
    #[test]
    fn a_search_goes_on_from_the_last() {
        let manifold = forked(run(0.05, 20.0), run(0.04, 3.0));
        let mut search = LineSearch::new(&manifold);
        for (start, first, second) in [
            (0.0, 1.0, 1.0),
            (0.4, 1.0, 0.1),
            (0.4, 0.4, 0.4),
            (2.0, 0.1, 1.0),
            (0.0, 1e-6, 0.0),
        ] {
            let levels = [Some(first), Some(second)];
            search.solve(start, &levels);
            let cold = manifold.flows(start, &levels);
            for end in 0..2 {
                let apart = (search.ends[end].rate - cold[end]).abs();
                assert!(apart < 1e-12, "{start} {levels:?} {cold:?} {apart}");
            }
        }
    }
}
