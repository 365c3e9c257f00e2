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
mod newton;
mod solution;
mod system;
#[cfg(test)]
mod tests;

use std::{
    fmt,
    sync::{
        Arc,
        atomic::{AtomicU64, Ordering},
    },
};

pub use solution::{LinkState, NoSolution, Residual, Solution};

use connectivity::Touching;
use newton::Search;
use system::System;

use super::{
    pipe::{RELATIVE_ROUGHNESS_RANGE, Run},
    pump::Curve,
    weir::{self, Crest},
};

/// Names a node of one network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NodeId {
    network: NetworkId,
    index: usize,
}

/// Names a link of one network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LinkId {
    network: NetworkId,
    index: usize,
}

/// Tells networks apart, so that the names of one are refused by another; a copy of a network takes its names too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
struct NetworkId(u64);

impl NetworkId {
    fn new() -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Self(NEXT.fetch_add(1, Ordering::Relaxed))
    }
}

/// A place where links meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Node {
    /// Water at a given level.
    Fixed {
        /// The level, m.
        head: f64,
    },
    /// A joint of pipes; its head is sought.
    Junction,
    /// A basin at its steady running level, which is sought: what comes in leaves over its crests or through its
    /// pipes.
    Basin,
}

/// A crest over which a basin spills: its level and what it lets pass.
#[derive(Clone)]
pub struct Outflow {
    level: f64,
    discharge: Arc<Discharge>,
}

/// Flow in m³/s and its derivative in m²/s at a head over the crest in m.
type Discharge = dyn Fn(f64) -> (f64, f64) + Send + Sync;

impl Outflow {
    /// An outflow that begins at a level in m. `discharge` gives flow (m³/s) and its derivative by head (m²/s) at a
    /// head over that level of more than zero (m); the flow must rise with the head from zero.
    pub fn new(level: f64, discharge: impl Fn(f64) -> (f64, f64) + Send + Sync + 'static) -> Self {
        Self {
            level,
            discharge: Arc::new(discharge),
        }
    }

    /// A crest at a level in m, passing [`weir::discharge`].
    pub fn over(crest: Crest, level: f64) -> Self {
        Self::new(level, move |head| weir::discharge_and_slope(&crest, head))
    }

    /// A crest at a level in m under water that stands at a higher level below it, passing
    /// [`weir::submerged_discharge`]; it begins where the water above stands over the water below.
    pub fn submerged(crest: Crest, level: f64, below: f64) -> Self {
        let start = level.max(below);
        Self::new(start, move |head| {
            weir::submerged_discharge_and_slope(&crest, start + head - level, below - level)
        })
    }

    /// Whether it passes water at all.
    fn passes(&self) -> bool {
        positive((self.discharge)(1.0).0)
    }
}

impl fmt::Debug for Outflow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Outflow")
            .field("level", &self.level)
            .finish_non_exhaustive()
    }
}

/// What carries the water along a link.
#[derive(Clone, Debug)]
enum Kind {
    Pipe(Run),
    Pump { curve: Curve, count: u32 },
    Valve { diameter: f64, k: f64 },
    Spill(Outflow),
}

/// A way for water from one node to another; flow counts positive from the first to the second.
#[derive(Clone, Debug)]
pub struct Link {
    from: NodeId,
    to: NodeId,
    kind: Kind,
    one_way: bool,
    shut: bool,
    outlet: Option<f64>,
}

impl Link {
    /// A run of pipe, losing head by [`super::pipe::head_loss`].
    pub fn pipe(from: NodeId, to: NodeId, run: Run) -> Self {
        Self::of(from, to, Kind::Pipe(run))
    }

    /// A number of like pumps side by side. Water does not run back through them.
    pub fn pump(from: NodeId, to: NodeId, curve: Curve, count: u32) -> Self {
        Self {
            one_way: true,
            ..Self::of(from, to, Kind::Pump { curve, count })
        }
    }

    /// A throttling valve: it loses `K·v²/(2·g)` on the velocity in its diameter (m).
    pub fn valve(from: NodeId, to: NodeId, diameter: f64, k: f64) -> Self {
        Self::of(from, to, Kind::Valve { diameter, k })
    }

    /// A crest over which the basin `from` spills into `to`, whatever the level there.
    pub fn spill(from: NodeId, to: NodeId, crest: Outflow) -> Self {
        Self {
            one_way: true,
            ..Self::of(from, to, Kind::Spill(crest))
        }
    }

    /// The same link with a check valve: no flow back. The valve's own loss belongs in the link's K.
    #[must_use]
    pub fn check_valve(self) -> Self {
        Self {
            one_way: true,
            ..self
        }
    }

    /// The same link, shut.
    #[must_use]
    pub fn shut(self) -> Self {
        Self { shut: true, ..self }
    }

    /// The same link ending in an open outlet at a level in m above the water it falls into: it works against that
    /// level, or against the water where that stands higher; nothing flows back.
    #[must_use]
    pub fn discharging_at(self, level: f64) -> Self {
        Self {
            one_way: true,
            outlet: Some(level),
            ..self
        }
    }

    fn of(from: NodeId, to: NodeId, kind: Kind) -> Self {
        Self {
            from,
            to,
            kind,
            one_way: false,
            shut: false,
            outlet: None,
        }
    }

    fn is_pump(&self) -> bool {
        matches!(self.kind, Kind::Pump { .. })
    }

    fn is_spill(&self) -> bool {
        matches!(self.kind, Kind::Spill(_))
    }
}

/// Nodes and links, and the water in them.
#[derive(Clone, Debug)]
pub struct Network {
    id: NetworkId,
    nu: f64,
    nodes: Vec<Node>,
    links: Vec<Link>,
}

impl Network {
    /// A network without nodes, for water of a kinematic viscosity in m²/s.
    pub fn new(nu: f64) -> Self {
        Self {
            id: NetworkId::new(),
            nu,
            nodes: Vec::new(),
            links: Vec::new(),
        }
    }

    /// Adds a node.
    pub fn add_node(&mut self, node: Node) -> NodeId {
        self.nodes.push(node);
        self.node_id(self.nodes.len() - 1)
    }

    /// Adds a link between two nodes.
    pub fn add_link(&mut self, link: Link) -> LinkId {
        self.links.push(link);
        self.link_id(self.links.len() - 1)
    }

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

    fn node_id(&self, index: usize) -> NodeId {
        NodeId {
            network: self.id,
            index,
        }
    }

    fn link_id(&self, index: usize) -> LinkId {
        LinkId {
            network: self.id,
            index,
        }
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

fn positive(value: f64) -> bool {
    value.is_finite() && value > 0.0
}
