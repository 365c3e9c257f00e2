//! Steady flow in a network: levels, pumps, pipes, valves, outlets and spilling basins solved together.
//!
//! Build a [`Network`] from nodes and links, then [`Network::solve`] it. Every link ties its flow to the head it
//! takes; at every node that is no fixed level the water that comes in goes out again. A basin at its running level is
//! such a node too: its level is where the crests let out what comes in.
//!
//! ```
//! use bywash::formulas::{network::{Link, Network, Node}, pipe::Run, pump::Curve};
//!
//! let mut network = Network::new(1.0e-6);
//! let sump = network.add_node(Node::Fixed { head: 0.0 });
//! let valve_box = network.add_node(Node::Junction);
//! let fall = network.add_node(Node::Fixed { head: 1.5 });
//! let curve = Curve::new(&[(0.0, 6.0), (2e-3, 4.5), (4e-3, 1.0)]).unwrap();
//! let run = Run::new(0.0525, 12.0, 1.5e-6).with_k(4.0);
//! let pump = network.add_link(Link::pump(sump, valve_box, curve, 1));
//! network.add_link(Link::pipe(valve_box, fall, run).check_valve());
//! let solution = network.solve().unwrap();
//! assert!((3.0e-3..3.5e-3).contains(&solution.flow(pump).unwrap()));
//! ```

mod connectivity;
mod element;
mod graph;
mod newton;
mod solution;
mod system;
#[cfg(test)]
mod tests;

pub use graph::{Link, LinkId, Network, Node, NodeId, Outflow};
pub use solution::{LinkState, NoSolution, Solution};
pub use system::Residual;

use connectivity::Touching;
use graph::{Kind, positive};
use newton::Search;
use system::System;

use super::pipe::{RELATIVE_ROUGHNESS_RANGE, Run};

impl Network {
    /// Heads at all nodes and flows in all links, or why there are none.
    ///
    /// Flows balance at every node to 1e-9 of the largest flow and heads along every link to 1e-9 m. A pump that
    /// cannot lift is left standing with no flow as long as another pump runs. A basin that water only goes round through
    /// is refused: it has no level of its own. Whole-network Newton with flows
    /// eliminated (the global gradient method, Todini & Pilati 1988), damped by a line search.
    pub fn solve(&self) -> Result<Solution, NoSolution> {
        self.prepare()?.solve()
    }

    /// Everything about a solve that comes before the search, for callers who solve again and again.
    pub fn prepare(&self) -> Result<Prepared<'_>, NoSolution> {
        self.check()?;
        let touching = Touching::of(self);
        let held = connectivity::held(self, &touching);
        if let Some(link) = connectivity::unheld_flow(self, &held) {
            return Err(NoSolution::NoWaterPath { link });
        }
        let (system, reduction) = System::new(self, &held);
        Ok(Prepared {
            network: self,
            touching,
            search: Search::new(system.start(self), reduction),
            system,
        })
    }

    /// Refuses values no water could meet.
    fn check(&self) -> Result<(), NoSolution> {
        if !positive(self.nu) {
            return Err(NoSolution::Water);
        }
        for (index, node) in self.nodes.iter().enumerate() {
            if let Node::Fixed { head } = node
                && !head.is_finite()
            {
                return Err(NoSolution::Node {
                    node: self.node_id(index),
                    fault: "its level is not a finite number",
                });
            }
        }
        for (index, link) in self.links.iter().enumerate() {
            if let Some(fault) = self.fault(link) {
                return Err(NoSolution::Link {
                    link: self.link_id(index),
                    fault,
                });
            }
        }
        Ok(())
    }

    /// What is wrong with a link.
    fn fault(&self, link: &Link) -> Option<&'static str> {
        let foreign = |node: NodeId| node.network != self.id || node.index >= self.nodes.len();
        if foreign(link.from) || foreign(link.to) {
            return Some("it ends at a node of another network");
        }
        if link.from == link.to {
            return Some("it ends where it begins");
        }
        if link.outlet.is_some_and(|level| !level.is_finite()) {
            return Some("its outlet level is not a finite number");
        }
        match &link.kind {
            Kind::Pipe(run) => pipe_fault(run),
            Kind::Pump { count: 0, .. } => Some("it has no pump"),
            Kind::Valve { diameter, k } if positive(*diameter) && positive(*k) => None,
            Kind::Valve { .. } => Some("its diameter and K must be above zero"),
            Kind::Spill(crest) if !crest.level.is_finite() => Some("its crest level is not a finite number"),
            Kind::Spill(_) if self.nodes[link.from.index] == Node::Junction => {
                Some("a joint of pipes has no crest to spill over")
            }
            Kind::Spill(crest) if !crest.passes() => Some("it passes no water"),
            Kind::Pump { .. } | Kind::Spill(_) => None,
        }
    }
}

/// A network checked, numbered and with space set aside for its solution.
pub struct Prepared<'a> {
    network: &'a Network,
    touching: Touching,
    system: System<'a>,
    search: Search,
}

impl Prepared<'_> {
    /// What [`Network::solve`] gives, searched from the start each time.
    pub fn solve(&mut self) -> Result<Solution, NoSolution> {
        let iterations = self.search.run(&self.system)?;
        solution::judge(
            self.network,
            &self.touching,
            &self.system,
            &self.search.here,
            iterations,
        )
    }
}

fn pipe_fault(run: &Run) -> Option<&'static str> {
    let sound = |value: f64| value.is_finite() && value >= 0.0;
    if !positive(run.diameter) {
        Some("its diameter must be above zero")
    } else if !([run.length, run.minor_k, run.laminar_k].into_iter().all(sound)
        && run.length + run.minor_k + run.laminar_k > 0.0)
    {
        Some("it needs a length or a K above zero, and neither below zero")
    } else if !(sound(run.roughness) && run.relative_roughness() <= RELATIVE_ROUGHNESS_RANGE.1) {
        Some("its roughness is outside the range of the Colebrook–White equation")
    } else {
        None
    }
}
