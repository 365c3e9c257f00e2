//! What a solve gives: heads and flows, or why there are none.

use super::{
    connectivity::{self, Touching},
    element::Point,
    graph::{Kind, Link, LinkId, Network, NetworkId, Node, NodeId},
    system::{Residual, System, Trial},
};

/// Heads at the nodes and flows in the links of a network at rest in its motion.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    network: NetworkId,
    heads: Vec<Option<f64>>,
    flows: Vec<f64>,
    states: Vec<LinkState>,
    /// How closely the equations are met.
    pub residual: Residual,
    /// Newton steps taken.
    pub iterations: usize,
}

/// How a link stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinkState {
    /// Water may run.
    Open,
    /// Closed by its flap or free outlet against flow back, or a crest that stands dry.
    Closed,
    /// A pump that runs without lifting water: what stands against it is above its shut-off head.
    DeadHeaded,
    /// Shut in the plan, or cut off from every level by what is shut.
    Shut,
}

/// Why a network has no solution.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoSolution {
    /// The search ended without meeting the equations.
    #[error(
        "not converged after {iterations} steps: heads off by {:.1e} m, flows by {:.1e} m³/s",
        residual.head, residual.flow
    )]
    DidNotConverge {
        /// The imbalance left, not finite where the search ran away.
        residual: Residual,
        /// Newton steps taken.
        iterations: usize,
    },
    /// No pump of the network lifts any water; told of the first.
    #[error("the pump gives at most {available:.3} m at no flow, and {needed:.3} m stand against it")]
    PumpCannotLift {
        /// Which pump.
        pump: LinkId,
        /// The head against it at rest, m.
        needed: f64,
        /// Its head at shut-off, m.
        available: f64,
    },
    /// A pump would run beyond the ends of its curve.
    #[error("each pump would run at {flow} m³/s, beyond the {from} to {to} m³/s of its curve")]
    BeyondCurve {
        /// Which pump.
        pump: LinkId,
        /// Flow of one pump by the curve continued, m³/s: which end, not how far.
        flow: f64,
        /// First flow of its curve, m³/s.
        from: f64,
        /// Last flow of its curve, m³/s.
        to: f64,
    },
    /// A pump or a spill from which or to which no open way leads.
    #[error("no open way for the water leads through this link from a level to a level")]
    NoWaterPath {
        /// Which pump or spill.
        link: LinkId,
    },
    /// The viscosity of the water is not above zero.
    #[error("the viscosity of the water must be above zero")]
    Water,
    /// A node with a value no water could meet.
    #[error("{fault}")]
    Node {
        /// Which node.
        node: NodeId,
        /// What is wrong.
        fault: &'static str,
    },
    /// A link with a value no water could meet.
    #[error("{fault}")]
    Link {
        /// Which link.
        link: LinkId,
        /// What is wrong.
        fault: &'static str,
    },
}

impl Solution {
    /// Head at a node of the network solved, m; none where shut valves cut it off from every level, and none at a node
    /// of another network.
    pub fn head(&self, node: NodeId) -> Option<f64> {
        let own = node.network == self.network;
        own.then(|| self.heads.get(node.index).copied().flatten())
            .flatten()
    }

    /// Flow in a link of the network solved, m³/s, positive from its first node to its second; none in a link of another
    /// network. Pumps side by side count together.
    pub fn flow(&self, link: LinkId) -> Option<f64> {
        let own = link.network == self.network;
        own.then(|| self.flows.get(link.index).copied()).flatten()
    }

    /// How a link of the network solved stands; none for a link of another network.
    pub fn state(&self, link: LinkId) -> Option<LinkState> {
        let own = link.network == self.network;
        own.then(|| self.states.get(link.index).copied()).flatten()
    }
}

/// A pump below this share of the usual flow is counted as standing.
const STANDING: f64 = 1e-9;
/// Rounding allowed at the ends of a pump curve, as a share of the last flow.
const AT_THE_END: f64 = 1e-9;

/// Makes a solution of what was found after a number of steps, unless it rests on pumps beyond their curves.
pub(super) fn judge(
    network: &Network,
    touching: &Touching,
    system: &System<'_>,
    found: &Trial,
    iterations: usize,
) -> Result<Solution, NoSolution> {
    let mut flows = vec![0.0; network.links.len()];
    let mut states = vec![LinkState::Shut; network.links.len()];
    for (branch, point) in system.branches.iter().zip(&found.points) {
        let state = state_of(network.links[branch.link].is_pump(), point, system.scale);
        states[branch.link] = state;
        if state == LinkState::Open {
            flows[branch.link] = point.flow;
        }
    }
    check_curves(network, &flows, &states)?;
    check_lift(network, touching, system, &found.points, &states)?;
    let heads = system.places.iter();
    let heads: Vec<_> = heads
        .map(|place| place.map(|place| found.state.heads[place]))
        .collect();
    if network.nodes.contains(&Node::Basin) {
        check_levels(network, touching, &heads, &flows, system.scale)?;
    }
    Ok(Solution {
        network: network.id,
        heads,
        flows,
        states,
        residual: found.residual(system),
        iterations,
    })
}

fn state_of(pump: bool, point: &Point, usual_flow: f64) -> LinkState {
    if pump && point.flow <= STANDING * usual_flow {
        LinkState::DeadHeaded
    } else if point.closed {
        LinkState::Closed
    } else {
        LinkState::Open
    }
}

/// Refuses pumps beyond the ends of their curves.
fn check_curves(network: &Network, flows: &[f64], states: &[LinkState]) -> Result<(), NoSolution> {
    for (index, link) in network.links.iter().enumerate() {
        let Kind::Pump { curve, count } = &link.kind else {
            continue;
        };
        let flow = flows[index] / f64::from(*count);
        let (from, to) = curve.ends();
        let slack = AT_THE_END * to;
        if states[index] != LinkState::Shut && !(from - slack..=to + slack).contains(&flow) {
            return Err(NoSolution::BeyondCurve {
                pump: network.link_id(index),
                flow,
                from,
                to,
            });
        }
    }
    Ok(())
}

/// Refuses a basin whose level any other would do for as well.
fn check_levels(
    network: &Network,
    touching: &Touching,
    heads: &[Option<f64>],
    flows: &[f64],
    usual_flow: f64,
) -> Result<(), NoSolution> {
    let running: Vec<bool> = flows
        .iter()
        .map(|flow| flow.abs() > STANDING * usual_flow)
        .collect();
    let falls = |link: &Link| {
        let water = heads[link.to.index].unwrap_or(f64::NEG_INFINITY);
        link.outlet.is_some_and(|level| level > water)
    };
    let free: Vec<bool> = network.links.iter().map(falls).collect();
    match connectivity::unsettled_basin(network, touching, &running, &free) {
        None => Ok(()),
        Some(node) => Err(NoSolution::Node {
            node,
            fault: "water only goes round through this basin, and nothing settles its level",
        }),
    }
}

/// Refuses a network none of whose pumps lifts water.
fn check_lift(
    network: &Network,
    touching: &Touching,
    system: &System<'_>,
    points: &[Point],
    states: &[LinkState],
) -> Result<(), NoSolution> {
    let pumps = || {
        let all = system.branches.iter().zip(points);
        all.filter(|(branch, _)| network.links[branch.link].is_pump())
    };
    let Some((first, _)) = pumps().next() else {
        return Ok(());
    };
    if pumps().any(|(branch, _)| states[branch.link] != LinkState::DeadHeaded) {
        return Ok(());
    }
    for (branch, point) in pumps() {
        let pump = network.link_id(branch.link);
        if connectivity::pump_has_way(network, touching, pump)
            && let Kind::Pump { curve, .. } = &network.links[pump.index].kind
        {
            return Err(NoSolution::PumpCannotLift {
                pump,
                needed: -point.drop,
                available: curve.highest_head(),
            });
        }
    }
    Err(NoSolution::NoWaterPath {
        link: network.link_id(first.link),
    })
}
