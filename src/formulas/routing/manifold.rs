//! Several ends that run back through one shared main: what each passes follows from the levels at all of them.

use crate::formulas::{pipe, roots};

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

/// The tolerance of a head at a joint, m.
const HEAD_TOLERANCE: f64 = 1e-12;

impl Manifold {
    /// Flow out of each end, m³/s, below zero where water runs into it.
    ///
    /// Arguments: the level at the start of the line (m); the level at each end (m), none where air or a valve has shut
    /// it. Continuity at each joint, Darcy–Weisbach in each pipe; inertia and the velocity head at joints are left out.
    pub fn flows(&self, start: f64, ends: &[Option<f64>]) -> Vec<f64> {
        let open = ends.iter().flatten().copied();
        let span = open.fold((start, start), |(low, high), level| {
            (low.min(level), high.max(level))
        });
        let mut flows = vec![0.0; ends.len()];
        for pipe in self.feeding(None) {
            let flow = self.through(pipe, start, ends, span);
            self.share(pipe, flow, start, ends, span, &mut flows);
        }
        flows
    }

    fn feeding(&self, pipe: Option<usize>) -> impl Iterator<Item = usize> {
        (0..self.pipes.len()).filter(move |other| self.pipes[*other].into == pipe)
    }

    /// Flow of a pipe into the head below it, m³/s.
    fn through(&self, pipe: usize, below: f64, ends: &[Option<f64>], span: (f64, f64)) -> f64 {
        match self.pipes[pipe].end {
            Some(end) => ends[end].map_or(0.0, |level| self.pipe_flow(pipe, level - below)),
            None => self.pipe_flow(pipe, self.joint(pipe, below, ends, span) - below),
        }
    }

    /// Head at the joint above a pipe, m: what comes from further up equals what the pipe passes.
    fn joint(&self, pipe: usize, below: f64, ends: &[Option<f64>], span: (f64, f64)) -> f64 {
        let surplus = |head: f64| {
            let arriving: f64 = self
                .feeding(Some(pipe))
                .map(|above| self.through(above, head, ends, span))
                .sum();
            self.pipe_flow(pipe, head - below) - arriving
        };
        roots::bracketed(span.0.min(below), span.1.max(below), HEAD_TOLERANCE, surplus)
    }

    fn share(
        &self,
        pipe: usize,
        flow: f64,
        below: f64,
        ends: &[Option<f64>],
        span: (f64, f64),
        flows: &mut [f64],
    ) {
        if let Some(end) = self.pipes[pipe].end {
            flows[end] = flow;
            return;
        }
        let head = self.joint(pipe, below, ends, span);
        for above in self.feeding(Some(pipe)) {
            let flow = self.through(above, head, ends, span);
            self.share(above, flow, head, ends, span, flows);
        }
    }

    /// Flow of a full pipe under a head of either sign, m³/s.
    fn pipe_flow(&self, pipe: usize, head: f64) -> f64 {
        let run = &self.pipes[pipe].run;
        pipe::flow_under_head(head.abs(), run, self.nu).copysign(head)
    }
}

#[cfg(test)]
mod tests {
    use super::{Manifold, ManifoldPipe};
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
}
