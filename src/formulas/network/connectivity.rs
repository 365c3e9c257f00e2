//! Which nodes and pumps water can reach.

use super::graph::{Link, LinkId, Network, Node, NodeId};

/// Whether each node is joined to a fixed level: by open links in either direction, or by spilling towards one.
/// Where it is not, heads have nothing to stand on.
pub(super) fn held(network: &Network, touching: &Touching) -> Vec<bool> {
    let fixed = |node: &Node| matches!(node, Node::Fixed { .. });
    let mut held: Vec<bool> = network.nodes.iter().map(fixed).collect();
    spread(network, touching, &mut held, |link, held| {
        if held[link.to.index] {
            Some(link.from)
        } else if held[link.from.index] && !link.is_spill() {
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
        let (from, to) = (held[link.from.index], held[link.to.index]);
        (link.is_pump() && !(from && to)) || (link.is_spill() && from && !to)
    };
    let first = network.links.iter().position(|link| !link.shut && moves(link));
    first.map(|index| network.link_id(index))
}

/// The first basin that water runs through although nothing settles its level: what leaves it only comes back to it.
/// `running` tells of each link whether water runs in it, `free` whether it falls from an open outlet.
pub(super) fn unsettled_basin(
    network: &Network,
    touching: &Touching,
    running: &[bool],
    free: &[bool],
) -> Option<NodeId> {
    let fixed = |node: &Node| matches!(node, Node::Fixed { .. });
    let mut settled: Vec<bool> = network.nodes.iter().map(fixed).collect();
    touching.spread(&mut settled, |at, settled| {
        let link = &network.links[at];
        if link.one_way && !running[at] {
            None
        } else if settled[link.to.index] {
            Some(link.from)
        } else if settled[link.from.index] && !link.is_spill() && !free[at] {
            Some(link.to)
        } else {
            None
        }
    });
    let mut links = network.links.iter().zip(running).filter(|(_, running)| **running);
    links.find_map(|(link, _)| {
        let basin = |node: &NodeId| network.nodes[node.index] == Node::Basin && !settled[node.index];
        [link.from, link.to].into_iter().find(basin)
    })
}

/// Whether water can get to a pump from a level and from it on to a level, shut valves and flaps heeded.
pub(super) fn pump_has_way(network: &Network, touching: &Touching, pump: LinkId) -> bool {
    let link = &network.links[pump.index];
    let mut ahead = only(network, link.to);
    spread(network, touching, &mut ahead, |link, on| {
        if on[link.from.index] {
            Some(link.to)
        } else if on[link.to.index] && !link.one_way {
            Some(link.from)
        } else {
            None
        }
    });
    let mut behind = only(network, link.from);
    spread(network, touching, &mut behind, |link, on| {
        if on[link.to.index] {
            Some(link.from)
        } else if on[link.from.index] && !link.one_way {
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
    (0..network.nodes.len()).map(|n| n == node.index).collect()
}

/// Grows a set of nodes along open links until nothing is added; `step` names the node a link adds.
fn spread(
    network: &Network,
    touching: &Touching,
    reached: &mut [bool],
    step: impl Fn(&Link, &[bool]) -> Option<NodeId>,
) {
    touching.spread(reached, |at, reached| step(&network.links[at], reached));
}

/// The open links that touch each node.
pub(super) struct Touching {
    /// Where the links of each node begin, and where the last one's end.
    starts: Vec<usize>,
    links: Vec<usize>,
}

impl Touching {
    pub(super) fn of(network: &Network) -> Self {
        let open = || network.links.iter().enumerate().filter(|(_, link)| !link.shut);
        let mut starts = vec![0; network.nodes.len() + 1];
        for (_, link) in open() {
            starts[link.from.index] += 1;
            starts[link.to.index] += 1;
        }
        let mut ends = 0;
        for start in &mut starts {
            ends += *start;
            *start = ends;
        }
        // Each start is where its node's links end until they are all told.
        let mut links = vec![0; ends];
        for (at, link) in open() {
            for node in [link.from.index, link.to.index] {
                starts[node] -= 1;
                links[starts[node]] = at;
            }
        }
        Self { starts, links }
    }

    fn of_node(&self, node: usize) -> &[usize] {
        &self.links[self.starts[node]..self.starts[node + 1]]
    }

    /// Grows a set of nodes along links, told by their index, until nothing is added.
    fn spread(&self, reached: &mut [bool], step: impl Fn(usize, &[bool]) -> Option<NodeId>) {
        let mut fresh: Vec<usize> = (0..reached.len()).filter(|&n| reached[n]).collect();
        while let Some(node) = fresh.pop() {
            for &link in self.of_node(node) {
                if let Some(added) = step(link, reached)
                    && !reached[added.index]
                {
                    reached[added.index] = true;
                    fresh.push(added.index);
                }
            }
        }
    }
}
