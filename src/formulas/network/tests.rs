#![allow(clippy::unwrap_used)]

use super::{
    super::{
        pump::Curve,
        weir::{self, Crest, Edge},
    },
    *,
};

const NU: f64 = 1e-6;
const LINE: Run = Run::new(0.0525, 10.0, 1.5e-6).with_k(3.0);

fn curve() -> Curve {
    Curve::new(&[(0.0, 5.0), (2e-3, 4.0), (4e-3, 2.0), (6e-3, 0.2)]).unwrap()
}

/// A sump at zero, a pump, a joint; what follows is the test's.
struct Lift {
    network: Network,
    sump: NodeId,
    pump: LinkId,
    joint: NodeId,
}

fn lift() -> Lift {
    let mut network = Network::new(NU);
    let sump = network.add_node(Node::Fixed { head: 0.0 });
    let joint = network.add_node(Node::Junction);
    let pump = network.add_link(Link::pump(sump, joint, curve(), 1));
    Lift {
        network,
        sump,
        pump,
        joint,
    }
}

fn crest(level: f64, width: f64) -> Outflow {
    Outflow::over(Crest::in_open_water(Edge::BroadStone, width), level)
}

#[test]
fn a_basin_stands_where_its_crests_pass_the_flow() {
    let mut l = lift();
    let pond = l.network.add_node(Node::Basin);
    l.network.add_link(Link::pipe(l.joint, pond, LINE));
    let low = l.network.add_link(Link::spill(pond, l.sump, crest(1.0, 0.3)));
    let high = l.network.add_link(Link::spill(pond, l.sump, crest(1.01, 2.0)));
    let dry = l.network.add_link(Link::spill(pond, l.sump, crest(1.5, 5.0)));
    let solution = l.network.solve().unwrap();
    let level = solution.head(pond).unwrap();
    assert!((1.01..1.1).contains(&level));
    let passed = weir::BROAD * 0.3 * (level - 1.0).powf(1.5);
    assert!((solution.flow(low).unwrap() - passed).abs() < 1e-12);
    let spilt = solution.flow(low).unwrap() + solution.flow(high).unwrap();
    assert!((spilt - solution.flow(l.pump).unwrap()).abs() < 1e-12);
    assert_eq!(
        (solution.state(dry).unwrap(), solution.flow(dry).unwrap()),
        (LinkState::Closed, 0.0)
    );
}

#[test]
fn a_free_outlet_works_against_its_own_level_or_the_water_above_it() {
    let level_of = |outlet: f64| {
        let mut l = lift();
        let pond = l.network.add_node(Node::Fixed { head: 1.0 });
        l.network
            .add_link(Link::pipe(l.joint, pond, LINE).discharging_at(outlet));
        l.network.solve().unwrap().flow(l.pump).unwrap()
    };
    assert!(level_of(2.0) < level_of(1.0));
    assert_eq!(level_of(0.5), level_of(1.0));
}

#[test]
fn like_pumps_side_by_side_share_the_flow() {
    let mut one = lift();
    let top = one.network.add_node(Node::Fixed { head: 3.0 });
    let valve = Link::valve(one.joint, top, 0.05, 5.0);
    one.network.add_link(valve);
    let both = one.network.add_link(Link::pump(one.sump, one.joint, curve(), 1));
    let solution = one.network.solve().unwrap();
    let (a, b) = (solution.flow(one.pump).unwrap(), solution.flow(both).unwrap());
    assert!((a - b).abs() < 1e-12);

    let mut pair = Network::new(NU);
    let sump = pair.add_node(Node::Fixed { head: 0.0 });
    let joint = pair.add_node(Node::Junction);
    let top = pair.add_node(Node::Fixed { head: 3.0 });
    let pumps = pair.add_link(Link::pump(sump, joint, curve(), 2));
    pair.add_link(Link::valve(joint, top, 0.05, 5.0));
    assert!((pair.solve().unwrap().flow(pumps).unwrap() - a - b).abs() < 1e-12);
}

#[test]
fn a_pump_held_down_by_a_stronger_one_stands_at_shut_off() {
    let mut l = lift();
    let main = l.network.add_node(Node::Junction);
    let top = l.network.add_node(Node::Fixed { head: 3.9 });
    l.network.add_link(Link::pipe(l.joint, main, LINE).check_valve());
    l.network.add_link(Link::pipe(main, top, LINE));
    let weak_joint = l.network.add_node(Node::Junction);
    let weak_curve = Curve::new(&[(0.0, 2.0), (2e-3, 0.5)]).unwrap();
    let weak = l.network.add_link(Link::pump(l.sump, weak_joint, weak_curve, 1));
    let flap = l
        .network
        .add_link(Link::pipe(weak_joint, main, LINE).check_valve());
    let solution = l.network.solve().unwrap();
    assert!(solution.flow(l.pump).unwrap() > 0.0);
    assert_eq!(
        (solution.flow(weak).unwrap(), solution.flow(flap).unwrap()),
        (0.0, 0.0)
    );
    assert_eq!(solution.state(weak).unwrap(), LinkState::DeadHeaded);
    assert_eq!(solution.state(flap).unwrap(), LinkState::Closed);
    assert!((solution.head(weak_joint).unwrap() - 2.0).abs() < 1e-3);
}

#[test]
fn shut_parts_carry_nothing_and_have_no_head() {
    let mut l = lift();
    let top = l.network.add_node(Node::Fixed { head: 1.0 });
    l.network.add_link(Link::pipe(l.joint, top, LINE));
    let cut_off = l.network.add_node(Node::Junction);
    let near = l.network.add_link(Link::pipe(l.joint, cut_off, LINE).shut());
    let far = l.network.add_link(Link::valve(cut_off, top, 0.05, 1.0).shut());
    let solution = l.network.solve().unwrap();
    assert_eq!(solution.head(cut_off), None);
    assert_eq!(
        (solution.flow(near).unwrap(), solution.flow(far).unwrap()),
        (0.0, 0.0)
    );
    assert_eq!(solution.state(near).unwrap(), LinkState::Shut);
}

#[test]
fn no_lift_no_curve_and_no_path_are_told_apart() {
    let mut l = lift();
    let top = l.network.add_node(Node::Fixed { head: 5.5 });
    let line = l.network.add_link(Link::pipe(l.joint, top, LINE));
    let answer = l.network.solve();
    let Err(NoSolution::PumpCannotLift {
        pump,
        needed,
        available,
    }) = answer
    else {
        unreachable!("{answer:?}")
    };
    assert_eq!((pump, available), (l.pump, 5.0));
    assert!((needed - 5.5).abs() < 1e-6);

    let mut low = l.network.clone();
    low.nodes[top.index] = Node::Fixed { head: -3.0 };
    assert!(matches!(low.solve(), Err(NoSolution::BeyondCurve { flow, to, .. }) if flow > to));

    let mut shut = l.network.clone();
    shut.links[line.index].shut = true;
    assert_eq!(shut.solve(), Err(NoSolution::NoWaterPath { link: l.pump }));
}

#[test]
fn a_curve_that_starts_above_no_flow_has_no_value_at_shut_off() {
    let mut network = Network::new(NU);
    let sump = network.add_node(Node::Fixed { head: 0.0 });
    let top = network.add_node(Node::Fixed { head: 9.0 });
    let curve = Curve::new(&[(1e-3, 5.0), (3e-3, 1.0)]).unwrap();
    let pump = network.add_link(Link::pump(sump, top, curve, 1));
    assert!(matches!(network.solve(), Err(NoSolution::BeyondCurve { pump: named, .. }) if named == pump));
}

#[test]
fn basins_that_only_feed_each_other_have_no_level() {
    let mut network = Network::new(NU);
    let upper = network.add_node(Node::Basin);
    let lower = network.add_node(Node::Basin);
    let pump = network.add_link(Link::pump(lower, upper, curve(), 1));
    network.add_link(Link::spill(upper, lower, crest(1.0, 1.0)));
    assert_eq!(network.solve(), Err(NoSolution::NoWaterPath { link: pump }));
}

#[test]
fn a_basin_without_inflow_is_dry_and_one_drawn_down_finds_its_level() {
    let mut l = lift();
    let top = l.network.add_node(Node::Fixed { head: 1.0 });
    l.network.add_link(Link::pipe(l.joint, top, LINE));
    let pond = l.network.add_node(Node::Basin);
    let over = l.network.add_link(Link::spill(pond, l.sump, crest(2.0, 1.0)));
    l.network.add_link(Link::pipe(pond, top, LINE));
    let solution = l.network.solve().unwrap();
    assert_eq!(
        (solution.state(over).unwrap(), solution.flow(over).unwrap()),
        (LinkState::Closed, 0.0)
    );
    assert!((solution.head(pond).unwrap() - 1.0).abs() < 1e-9);
}

#[test]
fn values_no_water_could_meet_are_refused() {
    assert_eq!(Network::new(0.0).solve(), Err(NoSolution::Water));
    assert_eq!(Network::new(f64::NAN).solve(), Err(NoSolution::Water));
    assert!(Network::new(NU).solve().is_ok());

    let refused = |make: &dyn Fn(NodeId, NodeId) -> Link| {
        let mut network = Network::new(NU);
        let a = network.add_node(Node::Fixed { head: 0.0 });
        let b = network.add_node(Node::Junction);
        let link = network.add_link(make(a, b));
        match network.solve() {
            Err(NoSolution::Link { link: named, .. }) => named == link,
            _ => false,
        }
    };
    assert!(refused(&|a, b| Link::pipe(
        a,
        b,
        Run {
            diameter: 0.0,
            ..LINE
        }
    )));
    assert!(refused(&|a, b| Link::pipe(
        a,
        b,
        Run {
            length: f64::NAN,
            ..LINE
        }
    )));
    assert!(refused(&|a, b| Link::pipe(
        a,
        b,
        Run {
            roughness: 0.03,
            ..LINE
        }
    )));
    assert!(refused(&|a, b| {
        let frictionless = Run {
            length: 0.0,
            minor_k: 0.0,
            laminar_k: 0.0,
            ..LINE
        };
        Link::pipe(a, b, frictionless)
    }));
    assert!(refused(&|a, b| Link::valve(a, b, 0.05, -1.0)));
    assert!(refused(&|a, b| Link::pump(a, b, curve(), 0)));
    assert!(refused(&|a, _| Link::pipe(a, a, LINE)));
    assert!(refused(&|a, _| Link::pipe(
        a,
        Network::new(NU).add_node(Node::Junction),
        LINE
    )));
    assert!(refused(
        &|a, b| Link::pipe(a, b, LINE).discharging_at(f64::INFINITY)
    ));
    assert!(refused(&|a, b| Link::spill(b, a, crest(0.0, 1.0))));
    assert!(refused(&|a, b| Link::spill(a, b, crest(0.0, 0.0))));

    let mut network = Network::new(NU);
    let node = network.add_node(Node::Fixed { head: f64::NAN });
    assert!(matches!(network.solve(), Err(NoSolution::Node { node: named, .. }) if named == node));
}

#[test]
fn a_basin_that_nothing_lets_out_does_not_settle() {
    // Water falls freely into a basin whose only way out is a flap that faces in.
    let mut l = lift();
    let pond = l.network.add_node(Node::Basin);
    l.network
        .add_link(Link::pipe(l.joint, pond, LINE).discharging_at(1.0));
    let solved = l.network.solve();
    // It fills until the pump lifts no more, and says so.
    assert!(
        matches!(solved, Err(NoSolution::PumpCannotLift { .. })),
        "{solved:?}"
    );
}
