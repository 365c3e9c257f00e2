//! Laws that every solution keeps, over generated trees: a pump, branching pipes, outlets, spilling basins.

use bywash::formulas::{
    network::{Link, Network, NoSolution, Node, NodeId, Outflow},
    pipe::Run,
    pump::Curve,
    weir::{Crest, Edge},
};
use proptest::{prelude::*, sample::Index, test_runner::RngSeed};

use super::held::{Built, Kind, Piece, says_why};

/// A generated feature; building it gives a network and what was put in.
#[derive(Clone, Debug)]
struct Feature {
    nu: f64,
    sump: f64,
    shut_off: f64,
    curve_flow: f64,
    curve_bend: f64,
    pumps: u32,
    pump_flap: bool,
    /// Crest level and width of basins, each spilling into the next, the last into the sump.
    basins: Vec<(f64, f64, Edge)>,
    branches: Vec<Branch>,
}

/// A pipe from a joint already there.
#[derive(Clone, Debug)]
struct Branch {
    parent: Index,
    run: Run,
    flap: bool,
    shut: bool,
    end: End,
}

#[derive(Clone, Debug)]
enum End {
    Joint,
    Level(f64),
    FreeInto(f64, Index),
    Under(Index),
}

impl Feature {
    fn curve(&self) -> Curve {
        let points: Vec<(f64, f64)> = (0..=5)
            .map(|i| f64::from(i) / 5.0)
            .map(|t| {
                (
                    t * self.curve_flow,
                    self.shut_off * (1.0 - 0.95 * t.powf(self.curve_bend)),
                )
            })
            .collect();
        Curve::new(&points).unwrap()
    }

    /// Builds it with the links added in a rotated order: pump, riser, crests, branches.
    fn build(&self, rotation: usize) -> Built {
        let mut built = Built::new(self.nu);
        let sump = built.node(Node::Fixed { head: self.sump });
        let joint = built.node(Node::Junction);
        let manifold = built.node(Node::Junction);
        let basins: Vec<NodeId> = self.basins.iter().map(|_| built.node(Node::Basin)).collect();
        let pump = Kind::Pump {
            curve: self.curve(),
            count: self.pumps,
        };
        let riser = Kind::Pipe {
            run: RISER,
            one_way: self.pump_flap,
            outlet: None,
        };
        let mut pieces = vec![
            Piece::open(sump, joint, pump),
            Piece::open(joint, manifold, riser),
        ];
        for (i, &(level, width, edge)) in self.basins.iter().enumerate() {
            let below = basins.get(i + 1).copied().unwrap_or(sump);
            let spill = Kind::Spill(level, Crest::in_open_water(edge, width));
            pieces.push(Piece::open(basins[i], below, spill));
        }
        let mut joints = vec![manifold];
        for branch in &self.branches {
            let from = *branch.parent.get(&joints);
            let (to, outlet) = match &branch.end {
                End::Joint => {
                    let to = built.node(Node::Junction);
                    joints.push(to);
                    (to, None)
                }
                End::Level(head) => (built.node(Node::Fixed { head: *head }), None),
                End::FreeInto(level, basin) => (*basin.get(&basins), Some(*level)),
                End::Under(basin) => (*basin.get(&basins), None),
            };
            pieces.push(Piece {
                from,
                to,
                kind: Kind::Pipe {
                    run: branch.run,
                    one_way: branch.flap,
                    outlet,
                },
                shut: branch.shut,
            });
        }
        built.join(pieces, rotation);
        built
    }
}

/// The pipe a pump delivers into.
const RISER: Run = Run::new(0.0525, 2.0, 1.5e-6).with_k(2.0);

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

fn branch() -> impl Strategy<Value = Branch> {
    let end = prop_oneof![
        3 => Just(End::Joint),
        2 => (-0.5..3.0).prop_map(End::Level),
        2 => (0.2..3.0, any::<Index>()).prop_map(|(level, basin)| End::FreeInto(level, basin)),
        1 => any::<Index>().prop_map(End::Under),
    ];
    let rarely = prop::bool::weighted(0.1);
    (any::<Index>(), run(), rarely, prop::bool::weighted(0.05), end).prop_map(
        |(parent, run, flap, shut, end)| Branch {
            parent,
            run,
            flap,
            shut,
            end,
        },
    )
}

fn feature(branches: std::ops::Range<usize>) -> impl Strategy<Value = Feature> {
    let edge = prop::sample::select(vec![Edge::ThinLip, Edge::BroadStone, Edge::RoughStone]);
    (
        (0.8e-6..1.7e-6, -0.5..0.5, 0.5..15.0, 2e-3..3e-2, 1.0..2.5),
        (1_u32..3, any::<bool>()),
        prop::collection::vec((0.3..2.5, 0.1..3.0, edge), 1..4),
        prop::collection::vec(branch(), branches),
    )
        .prop_map(
            |((nu, sump, shut_off, curve_flow, curve_bend), (pumps, pump_flap), basins, branches)| Feature {
                nu,
                sump,
                shut_off,
                curve_flow,
                curve_bend,
                pumps,
                pump_flap,
                basins,
                branches,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn trees_solve_or_say_why(feature in feature(1..14)) {
        let built = feature.build(0);
        let answer = built.network.solve();
        if let Ok(solution) = &answer {
            built.assert_laws(solution);
        }
        prop_assert!(says_why(&answer), "{answer:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn large_trees_solve_or_say_why(feature in feature(150..220)) {
        let built = feature.build(0);
        let answer = built.network.solve();
        if let Ok(solution) = &answer {
            built.assert_laws(solution);
        }
        prop_assert!(says_why(&answer), "{answer:?}");
    }
}
proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn order_of_links_does_not_matter(feature in feature(1..14), rotation in 1_usize..30) {
        let (one, other) = (feature.build(0), feature.build(rotation));
        match (one.network.solve(), other.network.solve()) {
            (Ok(a), Ok(b)) => {
                let (flow, rotated) = (a.flow(one.pump()).unwrap(), b.flow(other.pump()).unwrap());
                prop_assert!((flow - rotated).abs() <= 1e-7 * flow, "{flow} and {rotated}");
            }
            (Err(a), Err(b)) => prop_assert_eq!(std::mem::discriminant(&a), std::mem::discriminant(&b)),
            (a, b) => prop_assert!(false, "{a:?} and {b:?}"),
        }
    }

    #[test]
    fn more_loss_never_raises_a_pipes_flow(
        feature in feature(1..14),
        which in any::<Index>(),
        more_k in 0.1..20.0,
    ) {
        let mut tighter = feature.clone();
        let changed = which.index(feature.branches.len());
        tighter.branches[changed].run.minor_k += more_k;
        flow_does_not_rise(&feature, &tighter, changed)?;
    }

    #[test]
    fn a_wider_pipe_never_lowers_its_flow(
        feature in feature(1..14),
        which in any::<Index>(),
        narrower in 0.5..0.95,
    ) {
        let mut tighter = feature.clone();
        let changed = which.index(feature.branches.len());
        tighter.branches[changed].run.diameter *= narrower;
        flow_does_not_rise(&feature, &tighter, changed)?;
    }
}

/// Any number at all, odd sizes among them.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![any::<f64>(), 1e-9..1e9, 1e-3..1e1]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn no_numbers_make_it_fail_or_give_no_number(
        numbers in prop::collection::vec(any_number(), 12),
        mut points in prop::collection::vec((0.0..1e6_f64, any_number()), 2..5),
        count in any::<u32>(),
    ) {
        points.sort_by(|a: &(f64, f64), b| a.0.total_cmp(&b.0));
        let mut heads: Vec<f64> = points.iter().map(|p| p.1).collect();
        heads.sort_by(|a, b| b.total_cmp(a));
        for (point, head) in points.iter_mut().zip(heads) {
            point.1 = head;
        }
        let Ok(curve) = Curve::new(&points) else { return Ok(()) };
        let run = Run::new(numbers[0], numbers[1], numbers[2].min(numbers[0] / 100.0)).with_k(numbers[3]);
        let mut network = Network::new(numbers[4]);
        let sump = network.add_node(Node::Fixed { head: numbers[5] });
        let joint = network.add_node(Node::Junction);
        let pond = network.add_node(Node::Basin);
        let top = network.add_node(Node::Fixed { head: numbers[6] });
        let links = [
            Link::pump(sump, joint, curve, count),
            Link::pipe(joint, pond, run),
            Link::valve(joint, top, numbers[7], numbers[8]).check_valve(),
            Link::pipe(joint, pond, run).discharging_at(numbers[9]),
            Link::spill(pond, sump, Outflow::over(Crest::in_open_water(Edge::ThinLip, numbers[10]), numbers[11])),
        ]
        .map(|link| network.add_link(link));
        match network.solve() {
            Ok(solution) => {
                prop_assert!(links.iter().all(|&link| solution.flow(link).unwrap().is_finite()));
                let nodes = [sump, joint, pond, top];
                prop_assert!(nodes.iter().all(|&node| solution.head(node).is_none_or(f64::is_finite)));
            }
            Err(NoSolution::DidNotConverge { residual, .. }) => {
                prop_assert!(!residual.head.is_nan() && !residual.flow.is_nan());
            }
            Err(_) => {}
        }
    }
}

/// Holds that the size of the flow in a branch is no larger in the tighter of two features.
fn flow_does_not_rise(wide: &Feature, tight: &Feature, branch: usize) -> Result<(), TestCaseError> {
    let flow = |feature: &Feature| {
        let built = feature.build(0);
        // The pump, the riser and the crests come first.
        let link = built.links[2 + feature.basins.len() + branch].0;
        built
            .network
            .solve()
            .ok()
            .map(|solution| solution.flow(link).unwrap().abs())
    };
    if let (Some(before), Some(after)) = (flow(wide), flow(tight)) {
        let slack = 1e-8 * wide.curve_flow;
        prop_assert!(after <= before + slack, "{before} became {after}");
    }
    Ok(())
}
