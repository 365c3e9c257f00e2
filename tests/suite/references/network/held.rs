//! A network beside what was put into it, so that a solution can be held against the laws by formulas outside the
//! solver.

use bywash::formulas::{
    network::{Link, LinkId, LinkState, Network, NoSolution, Node, NodeId, Outflow, Solution},
    pipe::{Run, head_loss, velocity, velocity_head},
    pump::Curve,
    weir::{Crest, discharge},
};

/// What carries the water of a link.
#[derive(Clone, Debug)]
pub enum Kind {
    Pump {
        curve: Curve,
        count: u32,
    },
    Pipe {
        run: Run,
        one_way: bool,
        outlet: Option<f64>,
    },
    Valve {
        diameter: f64,
        k: f64,
        one_way: bool,
    },
    Spill(f64, Crest),
}

/// A link to be built.
#[derive(Clone, Debug)]
pub struct Piece {
    pub from: NodeId,
    pub to: NodeId,
    pub kind: Kind,
    pub shut: bool,
}

impl Piece {
    pub fn open(from: NodeId, to: NodeId, kind: Kind) -> Self {
        Self {
            from,
            to,
            kind,
            shut: false,
        }
    }

    fn link(&self) -> Link {
        let (from, to) = (self.from, self.to);
        let (link, one_way) = match &self.kind {
            Kind::Pump { curve, count } => (Link::pump(from, to, curve.clone(), *count), false),
            Kind::Spill(level, crest) => (Link::spill(from, to, Outflow::over(*crest, *level)), false),
            Kind::Valve { diameter, k, one_way } => (Link::valve(from, to, *diameter, *k), *one_way),
            Kind::Pipe { run, one_way, outlet } => {
                let pipe = Link::pipe(from, to, *run);
                (
                    outlet.map_or(pipe.clone(), |level| pipe.discharging_at(level)),
                    *one_way,
                )
            }
        };
        let link = if one_way { link.check_valve() } else { link };
        if self.shut { link.shut() } else { link }
    }
}

/// A network with its parts.
pub struct Built {
    pub network: Network,
    pub nu: f64,
    pub nodes: Vec<(NodeId, Node)>,
    /// In the order they were told, whatever the order they were added in.
    pub links: Vec<(LinkId, Piece)>,
}

impl Built {
    pub fn new(nu: f64) -> Self {
        Self {
            network: Network::new(nu),
            nu,
            nodes: Vec::new(),
            links: Vec::new(),
        }
    }

    pub fn node(&mut self, kind: Node) -> NodeId {
        let id = self.network.add_node(kind);
        self.nodes.push((id, kind));
        id
    }

    /// Adds links, beginning at another one of them.
    pub fn join(&mut self, pieces: Vec<Piece>, rotation: usize) {
        let count = pieces.len();
        let mut ids = vec![None; count];
        for at in (0..count).map(|i| (i + rotation) % count) {
            ids[at] = Some(self.network.add_link(pieces[at].link()));
        }
        self.links = ids.into_iter().flatten().zip(pieces).collect();
    }

    /// The first pump.
    pub fn pump(&self) -> LinkId {
        let mut pumps = self
            .links
            .iter()
            .filter(|(_, piece)| matches!(piece.kind, Kind::Pump { .. }));
        pumps.next().unwrap().0
    }

    /// The flow of all pumps at the middle of their curves, m³/s.
    pub fn usual_flow(&self) -> f64 {
        let flows = self.links.iter().map(|(_, piece)| match &piece.kind {
            Kind::Pump { curve, count } => f64::from(*count) * curve.ends().1 / 2.0,
            _ => 0.0,
        });
        flows.sum()
    }

    /// Holds a solution against the laws.
    pub fn assert_laws(&self, solution: &Solution) {
        assert!(solution.iterations <= 200, "{} steps", solution.iterations);
        let slack = 1e-9 * self.largest_flow(solution);
        self.assert_continuity(solution, slack);
        for (id, piece) in &self.links {
            let flow = solution.flow(*id).unwrap();
            assert!(flow.is_finite());
            if solution.state(*id).unwrap() == LinkState::Shut {
                assert_eq!(flow, 0.0);
            } else {
                self.assert_energy(solution, *id, piece, slack);
            }
        }
    }

    fn largest_flow(&self, solution: &Solution) -> f64 {
        let flows = self.links.iter().map(|(id, _)| solution.flow(*id).unwrap().abs());
        flows.fold(1e-3 * self.usual_flow(), f64::max)
    }

    /// What comes into a node goes out of it.
    fn assert_continuity(&self, solution: &Solution, slack: f64) {
        for &(node, kind) in &self.nodes {
            if matches!(kind, Node::Fixed { .. }) {
                continue;
            }
            let balance: f64 = self
                .links
                .iter()
                .map(|(link, piece)| match node {
                    node if node == piece.to => solution.flow(*link).unwrap(),
                    node if node == piece.from => -solution.flow(*link).unwrap(),
                    _ => 0.0,
                })
                .sum();
            assert!(
                balance.abs() <= slack,
                "{node:?} keeps {balance}, allowed {slack}"
            );
        }
    }

    /// The head a link takes is the head it has.
    fn assert_energy(&self, solution: &Solution, id: LinkId, piece: &Piece, slack: f64) {
        let (flow, state) = (solution.flow(id).unwrap(), solution.state(id).unwrap());
        let (start, end) = (
            solution.head(piece.from).unwrap(),
            solution.head(piece.to).unwrap(),
        );
        match &piece.kind {
            Kind::Pump { curve, count } => {
                let head = curve.head(flow / f64::from(*count)).unwrap();
                if state == LinkState::Open {
                    assert!(
                        (end - start - head).abs() < 1e-8,
                        "pump {head} for {}",
                        end - start
                    );
                } else {
                    assert!(flow == 0.0 && end - start > head - 1e-8);
                }
            }
            Kind::Pipe { one_way, outlet, .. } => {
                let against = outlet.map_or(end, |level| level.max(end));
                self.assert_passage(piece, flow, state, *one_way || outlet.is_some(), start - against);
            }
            Kind::Valve { one_way, .. } => self.assert_passage(piece, flow, state, *one_way, start - end),
            Kind::Spill(level, crest) => {
                let want = discharge(crest, start - level);
                assert!((flow - want).abs() <= slack, "spills {flow}, not {want}");
            }
        }
    }

    fn assert_passage(&self, piece: &Piece, flow: f64, state: LinkState, one_way: bool, head: f64) {
        if state == LinkState::Closed {
            assert!(one_way && flow == 0.0 && head < 1e-8);
            return;
        }
        let loss = self.loss(&piece.kind, flow);
        assert!((head - loss).abs() < 1e-8, "{loss} for {head}");
        assert!(!one_way || flow >= 0.0);
    }

    /// Head lost in a pipe or a valve at a flow, less what a pump gives, m.
    pub fn loss(&self, kind: &Kind, flow: f64) -> f64 {
        match kind {
            Kind::Pipe { run, .. } => head_loss(flow, run, self.nu),
            Kind::Valve { diameter, k, .. } => (k * velocity_head(velocity(flow, *diameter))).copysign(flow),
            Kind::Pump { curve, count } => -curve.head(flow / f64::from(*count)).unwrap(),
            Kind::Spill(..) => unreachable!("a crest is no way round"),
        }
    }
}

/// Whether the answer is a plain "no": anything but a search that ran out.
pub fn says_why(answer: &Result<Solution, NoSolution>) -> bool {
    !matches!(answer, Err(NoSolution::DidNotConverge { .. }))
}
