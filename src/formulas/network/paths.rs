//! Which nodes and pumps water can reach.

use super::{Link, LinkId, Network, Node, NodeId};

/// Whether each node is joined to a fixed level: by open links in either direction, or by spilling towards one.
/// Where it is not, heads have nothing to stand on.
pub(super) fn held(network: &Network) -> Vec<bool> {
    let fixed = |node: &Node| matches!(node, Node::Fixed { .. });
    let mut held: Vec<bool> = network.nodes.iter().map(fixed).collect();
    spread(network, &mut held, |link, held| {
        if held[link.to.0] {
            Some(link.from)
        } else if held[link.from.0] && !link.is_spill() {
            Some(link.to)
        } else {
            None
        }
    });
    held
}

/// The first link that moves water where no level holds it: a pump with a loose end, or a spill out of a held basin
/// into a loose one.
pub(super) fn unheld_flow(network: &Network, held: &[bool]) -> Option<LinkId> {
    let moves = |link: &Link| {
        let (from, to) = (held[link.from.0], held[link.to.0]);
        (link.is_pump() && !(from && to)) || (link.is_spill() && from && !to)
    };
    let first = network.links.iter().position(|link| !link.shut && moves(link));
    first.map(LinkId)
}

/// The first basin that water runs through although nothing settles its level: what leaves it only comes back to it.
/// `running` tells of each link whether water runs in it, `free` whether it falls from an open outlet.
pub(super) fn unsettled_basin(network: &Network, running: &[bool], free: &[bool]) -> Option<NodeId> {
    let fixed = |node: &Node| matches!(node, Node::Fixed { .. });
    let mut settled: Vec<bool> = network.nodes.iter().map(fixed).collect();
    spread_by(network, &mut settled, |at, settled| {
        let link = &network.links[at];
        if link.one_way && !running[at] {
            None
        } else if settled[link.to.0] {
            Some(link.from)
        } else if settled[link.from.0] && !link.is_spill() && !free[at] {
            Some(link.to)
        } else {
            None
        }
    });
    let mut links = network.links.iter().zip(running).filter(|(_, running)| **running);
    links.find_map(|(link, _)| {
        let basin = |node: &NodeId| network.nodes[node.0] == Node::Basin && !settled[node.0];
        [link.from, link.to].into_iter().find(basin)
    })
}

/// Whether water can get to a pump from a level and from it on to a level, shut valves and flaps heeded.
pub(super) fn pump_has_way(network: &Network, pump: LinkId) -> bool {
    let link = &network.links[pump.0];
    let mut ahead = only(network, link.to);
    spread(network, &mut ahead, |link, on| {
        if on[link.from.0] {
            Some(link.to)
        } else if on[link.to.0] && !link.one_way {
            Some(link.from)
        } else {
            None
        }
    });
    let mut behind = only(network, link.from);
    spread(network, &mut behind, |link, on| {
        if on[link.to.0] {
            Some(link.from)
        } else if on[link.from.0] && !link.one_way {
            Some(link.to)
        } else {
            None
        }
    });
    let level = |reached: &[bool]| {
        let mut nodes = network.nodes.iter().zip(reached);
        nodes.any(|(node, &reached)| reached && *node != Node::Junction)
    };
    !link.shut && level(&ahead) && level(&behind)
}

fn only(network: &Network, node: NodeId) -> Vec<bool> {
    (0..network.nodes.len()).map(|n| n == node.0).collect()
}

/// Grows a set of nodes along open links until nothing is added; `step` names the node a link adds.
fn spread(network: &Network, reached: &mut [bool], step: impl Fn(&Link, &[bool]) -> Option<NodeId>) {
    spread_by(network, reached, |at, reached| step(&network.links[at], reached));
}

/// [`spread`] with links told by their index.
fn spread_by(network: &Network, reached: &mut [bool], step: impl Fn(usize, &[bool]) -> Option<NodeId>) {
    let mut touching = vec![Vec::new(); network.nodes.len()];
    for (at, link) in network.links.iter().enumerate().filter(|(_, link)| !link.shut) {
        touching[link.from.0].push(at);
        touching[link.to.0].push(at);
    }
    let mut fresh: Vec<usize> = (0..reached.len()).filter(|&n| reached[n]).collect();
    while let Some(node) = fresh.pop() {
        for &link in &touching[node] {
            if let Some(added) = step(link, reached)
                && !reached[added.0]
            {
                reached[added.0] = true;
                fresh.push(added.0);
            }
        }
    }
}
