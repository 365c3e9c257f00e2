//! A circuit as a network of nodes and links.

use indexmap::IndexMap;

use super::parts::{DrainPart, FallPart, Parts, PumpPart, RunPart, end_of};
use crate::{
    formulas::{
        gravity_pipe::{self, Mouth},
        groups::Groups,
        network::{Link, LinkId, Network, Node, NodeId, Outflow},
    },
    hydraulics::components::{fouling::Condition, overflow::OverflowPart},
    plan::Shown,
    read::Place,
};

/// The network of a circuit, and which of its links and nodes stand for what.
pub(super) struct Built {
    pub network: Network,
    pub links: Links,
    pub basins: IndexMap<String, NodeId>,
}

/// The links of the network, in the order of the parts they stand for.
#[derive(Default)]
pub(super) struct Links {
    pub pumps: Vec<LinkId>,
    pub runs: Vec<LinkId>,
    pub falls: Vec<LinkId>,
    pub drains: Vec<LinkId>,
    /// Of those outlets that the water reaches.
    pub outlets: Vec<Option<LinkId>>,
}

/// The network of a circuit: the sinks stand at given levels, and crests and lips are drowned by the levels in
/// `below`; of the rims and overflows, those count that are `reached`.
pub(super) fn build(
    parts: &Parts<'_>,
    nu: f64,
    condition: &Condition,
    sinks: &IndexMap<String, f64>,
    below: &IndexMap<String, f64>,
    reached: &[bool],
) -> Built {
    let mut network = Network::new(nu);
    let nodes = parts.basins.keys().map(|id| {
        let node = sinks
            .get(id)
            .map_or(Node::Basin, |head| Node::Fixed { head: *head });
        (id.clone(), network.add_node(node))
    });
    let basins = nodes.collect();
    let mut building = Building {
        parts,
        condition,
        nu,
        plenums: IndexMap::new(),
        built: Built {
            network,
            links: Links::default(),
            basins,
        },
    };
    building.beds();
    building.lines();
    for part in &parts.falls {
        building.fall(part, below[&part.to]);
    }
    for part in &parts.drains {
        building.drain(part, below[part.to], nu);
    }
    building.outlets(sinks, reached);
    building.built
}

struct Building<'a> {
    parts: &'a Parts<'a>,
    condition: &'a Condition,
    nu: f64,
    /// Where the water under the stone of a bed stands.
    plenums: IndexMap<&'a str, NodeId>,
    built: Built,
}

impl Building<'_> {
    /// The stone of each bed that a line feeds from below, as a way from under it to its surface.
    fn beds(&mut self) {
        for part in &self.parts.beds {
            let Some(stone) = &part.stone else { continue };
            let surface = self.built.basins[part.id];
            let network = &mut self.built.network;
            let plenum = network.add_node(Node::Junction);
            network.add_link(Link::pipe(plenum, surface, self.condition.of_stone(stone)));
            self.plenums.insert(part.id, plenum);
        }
    }

    /// Where a run that ends in a basin lets its water out.
    fn mouth(&self, part: &RunPart<'_>, to: &str) -> NodeId {
        let plenum = self.plenums.get(to).filter(|_| part.rises_in(to));
        plenum.copied().unwrap_or_else(|| self.built.basins[to])
    }

    fn basin(&self, id: Option<&String>) -> NodeId {
        self.built.basins[id.map_or("", String::as_str)]
    }

    fn lines(&mut self) {
        let starts = line_starts(self.parts, &mut self.built.network);
        for (at, part) in self.parts.pumps.iter().enumerate() {
            let before = part.pump.after.value();
            let before = before.and_then(|id| self.parts.pump_ids.get(id));
            let from = before.map(|before| starts[*before]);
            let from = from.unwrap_or_else(|| self.basin(part.pump.basin.value()));
            self.pump(part, from, starts[at]);
        }
        let mut ends: IndexMap<(&Place, &str), NodeId> = IndexMap::new();
        for part in self.parts.runs.iter().filter(|part| part.end() == part.id) {
            let end = match part.to {
                Some(to) => self.mouth(part, to),
                None => self.built.network.add_node(Node::Junction),
            };
            ends.insert((&part.line.place, part.id), end);
        }
        for part in &self.parts.runs {
            let end = ends.get(&(&part.line.place, part.end())).copied();
            let from = match part.run.after.value() {
                Some(run) => ends.get(&(&part.line.place, end_of(part.line, run))).copied(),
                None => self.parts.feeding(part.line).first().map(|pump| starts[*pump]),
            };
            self.run(part, from, end);
        }
    }

    fn pump(&mut self, part: &PumpPart<'_>, mut from: NodeId, start: NodeId) {
        let network = &mut self.built.network;
        if let Some(suction) = &part.suction {
            let mouth = from;
            from = network.add_node(Node::Junction);
            network.add_link(Link::pipe(mouth, from, self.condition.of_run(suction.item)));
        }
        let mut to = start;
        if let Some(valve) = &part.valve {
            to = network.add_node(Node::Junction);
            network.add_link(Link::pipe(to, start, self.condition.of_run(valve.item)).check_valve());
        }
        let count = part.pump.count.value().copied().unwrap_or(1);
        let link = network.add_link(Link::pump(from, to, part.curve.item.clone(), count));
        self.built.links.pumps.push(link);
    }

    fn run(&mut self, part: &RunPart<'_>, from: Option<NodeId>, end: Option<NodeId>) {
        let network = &mut self.built.network;
        // A run without an end in the plan ends in a joint of its own, which the network tells as no way.
        let mut joint = |node: Option<NodeId>| node.unwrap_or_else(|| network.add_node(Node::Junction));
        let (from, end) = (joint(from), joint(end));
        let mut link = Link::pipe(from, end, self.condition.of_run(part.pipe.item));
        if part.run.after.value().is_none() && matches!(part.line.check_valve, Shown::Is(_)) {
            link = link.check_valve();
        }
        if let Some(level) = part.outlet {
            link = link.discharging_at(level);
        }
        if part.shut() {
            link = link.shut();
        }
        self.built.links.runs.push(network.add_link(link));
    }

    fn fall(&mut self, part: &FallPart<'_>, below: f64) {
        let from = self.basin(part.fall.from.value());
        let crest = part.crest.item;
        let outflow = if part.drowned_by(below) {
            Outflow::submerged(crest, part.level, below)
        } else {
            Outflow::over(crest, part.level)
        };
        let link = Link::spill(from, self.built.basins[&part.to], outflow);
        self.built.links.falls.push(self.built.network.add_link(link));
    }

    /// Where water leaves for good; the level of a sink is given, whatever it loses.
    fn outlets(&mut self, sinks: &IndexMap<String, f64>, reached: &[bool]) {
        let floors = self.parts.basins.values().map(|(_, basin)| basin.storage.floor());
        let ground = floors.fold(0.0, f64::min) - 1.0;
        let mut node = None;
        for (part, reached) in self.parts.outlets.iter().zip(reached) {
            let counts = *reached && !sinks.contains_key(&part.basin);
            let link = counts.then(|| {
                let network = &mut self.built.network;
                let ground = *node.get_or_insert_with(|| network.add_node(Node::Fixed { head: ground }));
                let outflow = match part.part {
                    OverflowPart::Lip { crest, level } => Outflow::over(crest, level),
                    OverflowPart::Pipe { pipe, outlet } => lip(pipe, outlet, self.nu),
                };
                network.add_link(Link::spill(self.built.basins[&part.basin], ground, outflow))
            });
            self.built.links.outlets.push(link);
        }
    }

    fn drain(&mut self, part: &DrainPart<'_>, below: f64, nu: f64) {
        let (from, to) = (self.built.basins[part.from], self.built.basins[part.to]);
        let drain = gravity_pipe::GravityPipe {
            pipe: self.condition.of_run(part.piece.item.pipe),
            ..part.piece.item
        };
        let mut link = match (drain.mouth, part.outlet) {
            (Mouth::Submerged, Some(level)) => Link::pipe(from, to, drain.pipe).discharging_at(level),
            (Mouth::Submerged, None) => Link::pipe(from, to, drain.pipe),
            _ => Link::spill(from, to, lip(drain, part.against(below), nu)),
        };
        if part.shut() {
            link = link.shut();
        }
        self.built.links.drains.push(self.built.network.add_link(link));
    }
}

/// The lip of a drain with all that is behind it, against a level.
fn lip(drain: gravity_pipe::GravityPipe, against: f64, nu: f64) -> Outflow {
    let start = drain.level.max(against);
    Outflow::new(start, move |head| {
        let flow = |head: f64| gravity_pipe::discharge(&drain, start + head, against, nu).0;
        let step = 1e-4 * head;
        let slope = (flow(head + step) - flow(head - step)) / (2.0 * step);
        (flow(head), slope)
    })
}

/// The joint at which each pump's lines start; pumps that feed one line together share it, and so on from line to
/// line.
fn line_starts(parts: &Parts<'_>, network: &mut Network) -> Vec<NodeId> {
    let count = parts.pumps.len();
    let mut groups = Groups::new(count);
    for pumps in parts.feeding.values() {
        for pair in pumps.windows(2) {
            groups.join(pair[0], pair[1]);
        }
    }
    let mut joints: Vec<Option<NodeId>> = vec![None; count];
    (0..count)
        .map(|pump| {
            let first = groups.first(pump);
            *joints[first].get_or_insert_with(|| network.add_node(Node::Junction))
        })
        .collect()
}
