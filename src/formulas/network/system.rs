//! The equations of a network: every live link a branch, every head not given a sought one.

use super::{
    Kind, Link, Network, Node, Residual,
    element::{Element, Point, usual_flow},
    reduction::Reduction,
};

/// The equations of the part of a network that levels hold.
pub(super) struct System<'a> {
    pub(super) branches: Vec<Branch<'a>>,
    /// Of each node, which of the sought heads is its own.
    pub(super) sought: Vec<Option<usize>>,
    first_heads: Vec<f64>,
    /// A usual flow, m³/s: the unit in which flows are compared.
    pub(super) scale: f64,
    /// Of each sought head, the least usual flow of the branches that meet there, m³/s.
    pub(super) usual: Vec<f64>,
}

/// A live link.
pub(super) struct Branch<'a> {
    /// Its index among the links of the network.
    pub(super) link: usize,
    pub(super) element: Element<'a>,
    pub(super) from: End,
    pub(super) to: End,
    /// A flow it is often found at, m³/s.
    pub(super) usual: f64,
    against: Against,
}

/// The end of a branch.
#[derive(Clone, Copy)]
pub(super) enum End {
    Given(f64),
    Sought(usize),
}

/// What the water of a branch works against.
#[derive(Clone, Copy)]
enum Against {
    /// The head at its end.
    Water,
    /// An open outlet, or the water above it.
    Outlet(f64),
    /// Nothing: the branch tells its head itself, as a crest does.
    Nothing,
}

/// The unknowns, or a change of them.
pub(super) struct State {
    /// Where each branch stands on its curve.
    pub(super) parameters: Vec<f64>,
    /// The sought heads, m.
    pub(super) heads: Vec<f64>,
}

/// How far a state is from meeting the equations.
pub(super) struct Balance {
    pub(super) points: Vec<Point>,
    /// Of each branch, the head it takes less the head it has, m.
    pub(super) energy: Vec<f64>,
    /// At each sought head, flow out less flow in, m³/s.
    pub(super) continuity: Vec<f64>,
    /// Sum of squares, flows in units of the usual flow.
    pub(super) merit: f64,
}

impl End {
    fn head(self, heads: &[f64]) -> f64 {
        match self {
            Self::Given(head) => head,
            Self::Sought(at) => heads[at],
        }
    }

    fn change(self, changes: &[f64]) -> f64 {
        match self {
            Self::Given(_) => 0.0,
            Self::Sought(at) => changes[at],
        }
    }

    pub(super) fn sought(self) -> Option<usize> {
        match self {
            Self::Given(_) => None,
            Self::Sought(at) => Some(at),
        }
    }
}

impl Branch<'_> {
    /// The head the branch works against, and whether that is the head of its end node.
    pub(super) fn end_head(&self, heads: &[f64]) -> (f64, bool) {
        let water = self.to.head(heads);
        match self.against {
            Against::Water => (water, true),
            Against::Outlet(level) if water > level => (water, true),
            Against::Outlet(level) => (level, false),
            Against::Nothing => (0.0, false),
        }
    }

    /// The change of head along the branch for changes of the sought heads.
    pub(super) fn change(&self, heads: &[f64], changes: &[f64]) -> f64 {
        let (_, leans) = self.end_head(heads);
        let end = if leans { self.to.change(changes) } else { 0.0 };
        self.from.change(changes) - end
    }
}

impl State {
    /// The state a share of a step away.
    pub(super) fn along(&self, step: &Self, share: f64) -> Self {
        let add = |values: &[f64], changes: &[f64]| {
            let pairs = values.iter().zip(changes);
            pairs.map(|(value, change)| value + share * change).collect()
        };
        Self {
            parameters: add(&self.parameters, &step.parameters),
            heads: add(&self.heads, &step.heads),
        }
    }
}

impl Balance {
    /// The worst of each kind.
    pub(super) fn residual(&self) -> Residual {
        let worst = |values: &[f64]| {
            let size = |value: &f64| {
                if value.is_finite() {
                    value.abs()
                } else {
                    f64::INFINITY
                }
            };
            values.iter().map(size).fold(0.0, f64::max)
        };
        Residual {
            head: worst(&self.energy),
            flow: worst(&self.continuity),
        }
    }
}

impl<'a> System<'a> {
    /// The equations of the live links between held nodes.
    pub(super) fn new(network: &'a Network, held: &[bool]) -> Self {
        let live = |link: &Link| !link.shut && held[link.from.0] && held[link.to.0];
        let links = || network.links.iter().enumerate().filter(|(_, link)| live(link));
        let scale = flow_scale(links().map(|(_, link)| link));
        let level = mean_level(network);
        let mut first_heads = Vec::new();
        let mut sought = vec![None; network.nodes.len()];
        for (at, node) in network.nodes.iter().enumerate() {
            if held[at] && !matches!(node, Node::Fixed { .. }) {
                sought[at] = Some(first_heads.len());
                first_heads.push(level);
            }
        }
        let end = |node: usize| match (network.nodes[node], sought[node]) {
            (Node::Fixed { head }, _) => End::Given(head),
            (_, Some(at)) => End::Sought(at),
            // Live links join held nodes only.
            (_, None) => End::Given(level),
        };
        let branch = |(at, link): (usize, &'a Link)| Branch {
            link: at,
            element: Element::new(link, network.nu, scale),
            from: end(link.from.0),
            to: end(link.to.0),
            usual: match &link.kind {
                Kind::Spill(_) => scale,
                kind => usual_flow(kind),
            },
            against: match (&link.kind, link.outlet) {
                (Kind::Spill(_), _) => Against::Nothing,
                (_, Some(level)) => Against::Outlet(level),
                (_, None) => Against::Water,
            },
        };
        let branches: Vec<Branch<'_>> = links().map(branch).collect();
        Self {
            usual: least_at(&branches, first_heads.len()),
            branches,
            sought,
            first_heads,
            scale,
        }
    }

    /// The elimination plan for this system's couplings.
    pub(super) fn plan(&self) -> Reduction {
        let pairs = self
            .branches
            .iter()
            .filter_map(|branch| Some((branch.from.sought()?, branch.to.sought()?)));
        Reduction::plan(self.first_heads.len(), pairs)
    }

    /// Where to begin: usual flows, and basins at a level that spills them.
    pub(super) fn start(&self) -> State {
        let parameters: Vec<f64> = self
            .branches
            .iter()
            .map(|branch| branch.element.start())
            .collect();
        let mut heads = self.first_heads.clone();
        for (branch, &parameter) in self.branches.iter().zip(&parameters) {
            if let (Against::Nothing, Some(basin)) = (branch.against, branch.from.sought()) {
                heads[basin] = branch.element.at(parameter).drop;
            }
        }
        State { parameters, heads }
    }

    /// How far a state is from meeting the equations.
    pub(super) fn balance(&self, state: &State) -> Balance {
        let points: Vec<Point> = self
            .branches
            .iter()
            .zip(&state.parameters)
            .map(|(branch, &parameter)| branch.element.at(parameter))
            .collect();
        let mut continuity = vec![0.0; state.heads.len()];
        let mut energy = Vec::with_capacity(points.len());
        for (branch, point) in self.branches.iter().zip(&points) {
            if let Some(from) = branch.from.sought() {
                continuity[from] += point.flow;
            }
            if let Some(to) = branch.to.sought() {
                continuity[to] -= point.flow;
            }
            let (end, _) = branch.end_head(&state.heads);
            energy.push(point.drop - (branch.from.head(&state.heads) - end));
        }
        let heads: f64 = energy.iter().map(|e| e * e).sum();
        let flows: f64 = continuity.iter().map(|q| (q / self.scale).powi(2)).sum();
        Balance {
            points,
            energy,
            continuity,
            merit: heads + flows,
        }
    }
}

/// Of each sought head, the least usual flow of the branches that meet there, m³/s.
fn least_at(branches: &[Branch<'_>], heads: usize) -> Vec<f64> {
    let mut least = vec![f64::INFINITY; heads];
    for branch in branches {
        for at in [branch.from, branch.to].into_iter().filter_map(End::sought) {
            least[at] = least[at].min(branch.usual);
        }
    }
    least
}

/// The flow of all pumps at the middle of their curves; without pumps, of the widest pipe.
fn flow_scale<'l>(links: impl Iterator<Item = &'l Link>) -> f64 {
    let (mut pumped, mut piped) = (0.0, 0.0_f64);
    for link in links {
        if link.is_pump() {
            pumped += usual_flow(&link.kind);
        } else {
            piped = piped.max(usual_flow(&link.kind));
        }
    }
    if pumped > 0.0 {
        pumped
    } else if piped > 0.0 {
        piped
    } else {
        1e-3
    }
}

/// The mean of the fixed levels, m.
fn mean_level(network: &Network) -> f64 {
    let levels: Vec<f64> = network
        .nodes
        .iter()
        .filter_map(|node| match node {
            Node::Fixed { head } => Some(*head),
            _ => None,
        })
        .collect();
    levels.iter().sum::<f64>() / levels.len().max(1) as f64
}
