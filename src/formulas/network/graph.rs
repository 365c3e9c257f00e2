//! What a network is made of: nodes, the links between them, and the names of both.

use std::{
    fmt,
    sync::{
        Arc,
        atomic::{AtomicU64, Ordering},
    },
};

use super::super::{
    pipe::Run,
    pump::Curve,
    weir::{self, Crest},
};

/// Names a node of one network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NodeId {
    pub(super) network: NetworkId,
    pub(super) index: usize,
}

/// Names a link of one network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LinkId {
    pub(super) network: NetworkId,
    pub(super) index: usize,
}

/// Tells networks apart, so that the names of one are refused by another; a copy of a network takes its names too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct NetworkId(u64);

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
    pub(super) level: f64,
    pub(super) discharge: Arc<Discharge>,
}

/// Flow in m³/s and its derivative in m²/s at a head over the crest in m.
pub(super) type Discharge = dyn Fn(f64) -> (f64, f64) + Send + Sync;

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
    pub(super) fn passes(&self) -> bool {
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
pub(super) enum Kind {
    Pipe(Run),
    Pump { curve: Curve, count: u32 },
    Valve { diameter: f64, k: f64 },
    Spill(Outflow),
}

/// A way for water from one node to another; flow counts positive from the first to the second.
#[derive(Clone, Debug)]
pub struct Link {
    pub(super) from: NodeId,
    pub(super) to: NodeId,
    pub(super) kind: Kind,
    pub(super) one_way: bool,
    pub(super) shut: bool,
    pub(super) outlet: Option<f64>,
}

impl Link {
    /// A run of pipe, losing head by [`crate::formulas::pipe::head_loss`].
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

    pub(super) fn is_pump(&self) -> bool {
        matches!(self.kind, Kind::Pump { .. })
    }

    pub(super) fn is_spill(&self) -> bool {
        matches!(self.kind, Kind::Spill(_))
    }
}

/// Nodes and links, and the water in them.
#[derive(Clone, Debug)]
pub struct Network {
    pub(super) id: NetworkId,
    pub(super) nu: f64,
    pub(super) nodes: Vec<Node>,
    pub(super) links: Vec<Link>,
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

    pub(super) fn node_id(&self, index: usize) -> NodeId {
        NodeId {
            network: self.id,
            index,
        }
    }

    pub(super) fn link_id(&self, index: usize) -> LinkId {
        LinkId {
            network: self.id,
            index,
        }
    }
}

/// Whether a value is finite and above zero.
pub(super) fn positive(value: f64) -> bool {
    value.is_finite() && value > 0.0
}
