//! Generated circuits with loops: several pumps side by side and one behind another, each with or without a flap of its
//! own, throttles, flaps, shut valves, outlets free, under water and into other levels, spilling basins.

use bywash::formulas::{
    network::{Node, NodeId},
    pipe::Run,
    pump::Curve,
    weir::{Crest, Edge},
};
use proptest::{prelude::*, sample::Index};

use super::held::{Built, Kind, Piece};

/// A generated circuit.
#[derive(Clone, Debug)]
pub struct Circuit {
    pub nu: f64,
    pub sump: f64,
    pub stations: Vec<Station>,
    /// Crest level, width and edge of basins, each spilling into the next, the last into the sump.
    pub basins: Vec<(f64, f64, Edge)>,
    /// Ways to new joints, each from a joint already there.
    pub tree: Vec<(Index, Way)>,
    /// Further ways between joints, which close loops.
    pub chords: Vec<(Index, Index, Way)>,
    pub outlets: Vec<(Index, Run, End)>,
}

/// Pumps one behind another from the sump into a joint.
#[derive(Clone, Debug)]
pub struct Station {
    pub into: Index,
    pub stages: Vec<Stage>,
    pub riser: Run,
    pub flap: bool,
}

/// Like pumps side by side.
#[derive(Clone, Debug)]
pub struct Stage {
    pub shut_off: f64,
    pub last_flow: f64,
    pub bend: f64,
    pub count: u32,
}

/// A way between joints.
#[derive(Clone, Debug)]
pub enum Way {
    Pipe { run: Run, flap: bool, shut: bool },
    Throttle { diameter: f64, k: f64, flap: bool },
    Booster(Stage),
}

/// Where an outlet ends.
#[derive(Clone, Debug)]
pub enum End {
    Level(f64),
    FreeInto(f64, Index),
    Under(Index),
}

impl Stage {
    fn kind(&self) -> Kind {
        let points: Vec<(f64, f64)> = (0..=5)
            .map(|i| f64::from(i) / 5.0)
            .map(|t| {
                (
                    t * self.last_flow,
                    self.shut_off * (1.0 - 0.95 * t.powf(self.bend)),
                )
            })
            .collect();
        Kind::Pump {
            curve: Curve::new(&points).unwrap(),
            count: self.count,
        }
    }
}

impl Way {
    fn piece(&self, from: NodeId, to: NodeId) -> Piece {
        let (kind, shut) = match self {
            Self::Pipe { run, flap, shut } => (pipe(*run, *flap, None), *shut),
            Self::Throttle { diameter, k, flap } => {
                let valve = Kind::Valve {
                    diameter: *diameter,
                    k: *k,
                    one_way: *flap,
                };
                (valve, false)
            }
            Self::Booster(stage) => (stage.kind(), false),
        };
        Piece { from, to, kind, shut }
    }
}

fn pipe(run: Run, one_way: bool, outlet: Option<f64>) -> Kind {
    Kind::Pipe { run, one_way, outlet }
}

impl Circuit {
    /// Builds it with the links added in a rotated order: the ways of the tree, chords, outlets, crests, stations.
    pub fn build(&self, rotation: usize) -> Built {
        let mut built = Built::new(self.nu);
        let sump = built.node(Node::Fixed { head: self.sump });
        let basins: Vec<NodeId> = self.basins.iter().map(|_| built.node(Node::Basin)).collect();
        let mut pieces = Vec::new();
        let mut joints = vec![built.node(Node::Junction)];
        for (parent, way) in &self.tree {
            let joint = built.node(Node::Junction);
            pieces.push(way.piece(*parent.get(&joints), joint));
            joints.push(joint);
        }
        for (one, other, way) in &self.chords {
            let (from, to) = (*one.get(&joints), *other.get(&joints));
            if from != to {
                pieces.push(way.piece(from, to));
            }
        }
        for (joint, run, end) in &self.outlets {
            let (to, outlet) = match end {
                End::Level(head) => (built.node(Node::Fixed { head: *head }), None),
                End::FreeInto(level, basin) => (*basin.get(&basins), Some(*level)),
                End::Under(basin) => (*basin.get(&basins), None),
            };
            pieces.push(Piece::open(*joint.get(&joints), to, pipe(*run, false, outlet)));
        }
        for (i, &(level, width, edge)) in self.basins.iter().enumerate() {
            let below = basins.get(i + 1).copied().unwrap_or(sump);
            let spill = Kind::Spill(level, Crest::in_open_water(edge, width));
            pieces.push(Piece::open(basins[i], below, spill));
        }
        for station in &self.stations {
            let mut from = sump;
            for stage in &station.stages {
                let next = built.node(Node::Junction);
                pieces.push(Piece::open(from, next, stage.kind()));
                from = next;
            }
            let into = *station.into.get(&joints);
            pieces.push(Piece::open(from, into, pipe(station.riser, station.flap, None)));
        }
        built.join(pieces, rotation);
        built
    }

    /// Everything `size` times as long, high and wide, the water stiffer in step, so that Reynolds and Froude numbers
    /// stay: heads grow as the size, flows as its power 2.5. Exact for crests whose coefficient is a number.
    pub fn scaled(&self, size: f64) -> Self {
        let run = |run: &Run| Run {
            diameter: size * run.diameter,
            length: size * run.length,
            roughness: size * run.roughness,
            minor_k: run.minor_k,
            laminar_k: run.laminar_k,
        };
        let stage = |stage: &Stage| Stage {
            shut_off: size * stage.shut_off,
            last_flow: size.powf(2.5) * stage.last_flow,
            ..stage.clone()
        };
        let way = |way: &Way| match way {
            Way::Pipe { run: of, flap, shut } => Way::Pipe {
                run: run(of),
                flap: *flap,
                shut: *shut,
            },
            Way::Throttle { diameter, k, flap } => Way::Throttle {
                diameter: size * diameter,
                k: *k,
                flap: *flap,
            },
            Way::Booster(of) => Way::Booster(stage(of)),
        };
        let end = |end: &End| match end {
            End::Level(head) => End::Level(size * head),
            End::FreeInto(level, basin) => End::FreeInto(size * level, *basin),
            End::Under(basin) => End::Under(*basin),
        };
        let station = |station: &Station| Station {
            into: station.into,
            stages: station.stages.iter().map(stage).collect(),
            riser: run(&station.riser),
            flap: station.flap,
        };
        Self {
            nu: size.powf(1.5) * self.nu,
            sump: size * self.sump,
            stations: self.stations.iter().map(station).collect(),
            basins: self
                .basins
                .iter()
                .map(|&(level, width, edge)| (size * level, size * width, edge))
                .collect(),
            tree: self.tree.iter().map(|(from, by)| (*from, way(by))).collect(),
            chords: self
                .chords
                .iter()
                .map(|(from, to, by)| (*from, *to, way(by)))
                .collect(),
            outlets: self
                .outlets
                .iter()
                .map(|(from, by, to)| (*from, run(by), end(to)))
                .collect(),
        }
    }
}

fn run() -> impl Strategy<Value = Run> {
    (
        prop::sample::select(vec![0.0209, 0.0266, 0.0351, 0.0409, 0.0525, 0.0779]),
        0.3..40.0,
        prop::sample::select(vec![0.0, 1.5e-6, 4.6e-5, 1.5e-4]),
        0.0..15.0,
        prop_oneof![Just(0.0), 100.0..20_000.0],
    )
        .prop_map(|(diameter, length, roughness, minor_k, laminar_k)| Run {
            diameter,
            length,
            roughness,
            minor_k,
            laminar_k,
        })
}

fn stage() -> impl Strategy<Value = Stage> {
    (0.5..15.0, 2e-3..3e-2, 1.0..2.5, 1_u32..4).prop_map(|(shut_off, last_flow, bend, count)| Stage {
        shut_off,
        last_flow,
        bend,
        count,
    })
}

fn station() -> impl Strategy<Value = Station> {
    let stages = prop::collection::vec(stage(), 1..4);
    (any::<Index>(), stages, run(), prop::bool::weighted(0.7)).prop_map(|(into, stages, riser, flap)| {
        Station {
            into,
            stages,
            riser,
            flap,
        }
    })
}

fn way() -> impl Strategy<Value = Way> {
    let flap = || prop::bool::weighted(0.15);
    prop_oneof![
        12 => (run(), flap(), prop::bool::weighted(0.05))
            .prop_map(|(run, flap, shut)| Way::Pipe { run, flap, shut }),
        4 => (0.02..0.08, 0.1..200.0, flap()).prop_map(|(diameter, k, flap)| Way::Throttle { diameter, k, flap }),
        1 => stage().prop_map(Way::Booster),
    ]
}

fn end() -> impl Strategy<Value = End> {
    prop_oneof![
        2 => (-0.5..3.0).prop_map(End::Level),
        3 => (0.2..3.0, any::<Index>()).prop_map(|(level, basin)| End::FreeInto(level, basin)),
        2 => any::<Index>().prop_map(End::Under),
    ]
}

/// Circuits with crests of the edges given.
pub fn circuit(edges: &'static [Edge]) -> impl Strategy<Value = Circuit> {
    (
        (0.8e-6..1.7e-6, -0.5..0.5),
        prop::collection::vec(station(), 1..4),
        prop::collection::vec((0.3..2.5, 0.1..3.0, prop::sample::select(edges)), 1..4),
        prop::collection::vec((any::<Index>(), way()), 0..10),
        prop::collection::vec((any::<Index>(), any::<Index>(), way()), 0..6),
        prop::collection::vec((any::<Index>(), run(), end()), 1..10),
    )
        .prop_map(|((nu, sump), stations, basins, tree, chords, outlets)| Circuit {
            nu,
            sump,
            stations,
            basins,
            tree,
            chords,
            outlets,
        })
}
