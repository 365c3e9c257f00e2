//! The equations of a network: every live link a branch, every head not given a sought one.

use super::{
    super::elimination::{Order, Reduction, Slot},
    element::{self, Element, Point, usual_flow},
    graph::{Kind, Link, Network, Node},
};

/// The worst imbalance left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// Of heads along a link, m.
    pub head: f64,
    /// Of flows at a node, m³/s.
    pub flow: f64,
}

/// The equations of the part of a network that levels hold.
///
/// Heads are numbered with the sought ones first, in the order in which they are eliminated; the given ones follow.
pub(super) struct System<'a> {
    pub(super) branches: Vec<Branch<'a>>,
    /// Of each node of the network, which of the heads is its own.
    pub(super) places: Vec<Option<usize>>,
    /// How many heads are sought.
    pub(super) sought: usize,
    /// A usual flow, m³/s: the unit in which flows are compared.
    pub(super) scale: f64,
    /// Of each sought head, the least usual flow of the branches that meet there, m³/s.
    pub(super) usual: Vec<f64>,
}

/// A live link.
pub(super) struct Branch<'a> {
    /// Its index among the links of the network.
    pub(super) link: usize,
    element: Element<'a>,
    /// The heads it joins.
    pub(super) from: usize,
    pub(super) to: usize,
    /// Their coupling, where both are sought.
    pub(super) slot: Option<Slot>,
    /// A flow it is often found at, m³/s.
    pub(super) usual: f64,
    against: Against,
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
#[derive(Clone)]
pub(super) struct State {
    /// Where each branch stands on its curve.
    pub(super) parameters: Vec<f64>,
    /// The heads, m; the given ones stay.
    pub(super) heads: Vec<f64>,
}

/// A state and how far it is from meeting the equations.
#[derive(Clone)]
pub(super) struct Trial {
    pub(super) state: State,
    pub(super) points: Vec<Point>,
    /// Of each branch, the head it takes less the head it has, m.
    pub(super) energy: Vec<f64>,
    /// At each head, flow out less flow in, m³/s; those of given heads mean nothing.
    pub(super) continuity: Vec<f64>,
    /// Sum of squares, flows in units of the usual flow.
    pub(super) merit: f64,
}

impl Branch<'_> {
    /// The head the branch works against, and whether that is the head of its end node.
    pub(super) fn end_head(&self, heads: &[f64]) -> (f64, bool) {
        let water = heads[self.to];
        match self.against {
            Against::Water => (water, true),
            Against::Outlet(level) if water > level => (water, true),
            Against::Outlet(level) => (level, false),
            Against::Nothing => (0.0, false),
        }
    }

    /// The change of head along the branch for changes of the heads.
    pub(super) fn change(&self, heads: &[f64], changes: &[f64]) -> f64 {
        let (_, leans) = self.end_head(heads);
        changes[self.from] - if leans { changes[self.to] } else { 0.0 }
    }
}

impl Trial {
    /// The worst of each kind.
    pub(super) fn residual(&self, system: &System<'_>) -> Residual {
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
            flow: worst(&self.continuity[..system.sought]),
        }
    }

    /// The largest flow, but not less than a thousandth of the usual flow: what flows are held against.
    pub(super) fn largest_flow(&self, system: &System<'_>) -> f64 {
        let least = 1e-3 * system.scale;
        self.points
            .iter()
            .fold(least, |high, point| high.max(point.flow.abs()))
    }

    /// Goes to where another stands.
    pub(super) fn copy_from(&mut self, other: &Self) {
        self.state.parameters.copy_from_slice(&other.state.parameters);
        self.state.heads.copy_from_slice(&other.state.heads);
        self.points.copy_from_slice(&other.points);
        self.energy.copy_from_slice(&other.energy);
        self.continuity.copy_from_slice(&other.continuity);
        self.merit = other.merit;
    }

    /// Goes to the state a share of a step away from another.
    pub(super) fn step_from(&mut self, other: &Self, step: &State, share: f64, system: &System<'_>) {
        let go = |to: &mut [f64], from: &[f64], changes: &[f64]| {
            for ((to, from), change) in to.iter_mut().zip(from).zip(changes) {
                *to = from + share * change;
            }
        };
        go(
            &mut self.state.parameters,
            &other.state.parameters,
            &step.parameters,
        );
        go(&mut self.state.heads, &other.state.heads, &step.heads);
        self.weigh(&other.points, system);
    }

    /// Weighs the state against the equations; points near by make that faster.
    fn weigh(&mut self, near: &[Point], system: &System<'_>) {
        self.points.clear();
        self.energy.clear();
        self.continuity.fill(0.0);
        let mut merit = 0.0;
        let heads = &self.state.heads;
        for ((branch, parameter), near) in system.branches.iter().zip(&self.state.parameters).zip(near) {
            let point = branch.element.at(*parameter, near);
            let energy = point.drop - (heads[branch.from] - branch.end_head(heads).0);
            self.continuity[branch.from] += point.flow;
            self.continuity[branch.to] -= point.flow;
            merit += energy * energy;
            self.points.push(point);
            self.energy.push(energy);
        }
        let unbalanced = &self.continuity[..system.sought];
        let flows: f64 = unbalanced.iter().map(|q| q * q).sum();
        self.merit = merit + flows / (system.scale * system.scale);
    }
}

impl<'a> System<'a> {
    /// The equations of the live links between held nodes, and the elimination that goes with them.
    pub(super) fn new(network: &'a Network, held: &[bool]) -> (Self, Reduction) {
        let live = |link: &Link| !link.shut && held[link.from.index] && held[link.to.index];
        let links: Vec<usize> = (0..network.links.len())
            .filter(|&at| live(&network.links[at]))
            .collect();
        let scale = flow_scale(links.iter().map(|&at| &network.links[at]));
        let (places, sought, order) = numbered(network, &links, held);
        let reduction = Reduction::new(&order);
        let place = |node: usize| places[node].unwrap_or(0);
        let branch = |&at: &usize| {
            let link = &network.links[at];
            let (from, to) = (place(link.from.index), place(link.to.index));
            Branch {
                link: at,
                element: Element::new(link, network.nu, scale),
                from,
                to,
                slot: reduction.between(from, to),
                usual: match &link.kind {
                    Kind::Spill(_) => scale,
                    kind => usual_flow(kind),
                },
                against: match (&link.kind, link.outlet) {
                    (Kind::Spill(_), _) => Against::Nothing,
                    (_, Some(level)) => Against::Outlet(level),
                    (_, None) => Against::Water,
                },
            }
        };
        let branches: Vec<Branch<'a>> = links.iter().map(branch).collect();
        let system = Self {
            usual: least_at(&branches, sought),
            branches,
            places,
            sought,
            scale,
        };
        (system, reduction)
    }

    /// Where a search begins: usual flows, sought heads at the mean of the given ones, and basins at a level that spills
    /// them.
    pub(super) fn start(&self, network: &Network) -> Trial {
        let mut heads = vec![mean_level(network); self.places.iter().flatten().count()];
        for (node, place) in network.nodes.iter().zip(&self.places) {
            if let (Node::Fixed { head }, Some(place)) = (node, place) {
                heads[*place] = *head;
            }
        }
        let kind = |branch: &Branch<'_>| &network.links[branch.link].kind;
        let mut parameters = Vec::with_capacity(self.branches.len());
        for branch in &self.branches {
            let parameter = element::start(kind(branch), self.scale);
            if let (Kind::Spill(crest), true) = (kind(branch), branch.from < self.sought) {
                heads[branch.from] = crest.level + parameter;
            }
            parameters.push(parameter);
        }
        let mut trial = Trial {
            energy: vec![0.0; parameters.len()],
            continuity: vec![0.0; heads.len()],
            state: State { parameters, heads },
            points: Vec::with_capacity(self.branches.len()),
            merit: 0.0,
        };
        trial.weigh(&vec![Point::NONE; self.branches.len()], self);
        trial
    }
}

/// The place of each held node among the heads, how many heads are sought, and the order of their elimination.
fn numbered(network: &Network, links: &[usize], held: &[bool]) -> (Vec<Option<usize>>, usize, Order) {
    let mut sought = 0;
    let fixed = |at: usize| matches!(network.nodes[at], Node::Fixed { .. });
    let mut places = vec![None; held.len()];
    for at in (0..held.len()).filter(|&at| held[at] && !fixed(at)) {
        places[at] = Some(sought);
        sought += 1;
    }
    let pairs = links.iter().filter_map(|&at| {
        let link = &network.links[at];
        Some((places[link.from.index]?, places[link.to.index]?))
    });
    let order = Order::new(sought, pairs);
    let mut given = sought;
    for (at, place) in places.iter_mut().enumerate() {
        if fixed(at) {
            *place = Some(given);
            given += 1;
        } else if let Some(place) = place {
            *place = order.position[*place];
        }
    }
    (places, sought, order)
}

/// Of each sought head, the least usual flow of the branches that meet there, m³/s.
fn least_at(branches: &[Branch<'_>], sought: usize) -> Vec<f64> {
    let mut least = vec![f64::INFINITY; sought];
    for branch in branches {
        for at in [branch.from, branch.to].into_iter().filter(|&at| at < sought) {
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
    let (mut sum, mut count) = (0.0, 0_u32);
    for node in &network.nodes {
        if let Node::Fixed { head } = node {
            sum += head;
            count += 1;
        }
    }
    sum / f64::from(count.max(1))
}
