//! Networks without an answer say so, and where: no flow or level is made up.

use bywash::formulas::{
    network::{Link, LinkState, Network, NoSolution, Node, NodeId, Outflow},
    pipe::Run,
    pump::Curve,
    weir::{Crest, Edge},
};

const LINE: Run = Run::new(0.0525, 10.0, 1.5e-6).with_k(3.0);

fn curve() -> Curve {
    Curve::new(&[(0.0, 5.0), (2e-3, 4.0), (4e-3, 2.0), (6e-3, 0.2)]).unwrap()
}

fn level(network: &mut Network, head: f64) -> NodeId {
    network.add_node(Node::Fixed { head })
}

#[test]
fn an_outlet_that_nothing_joins_to_the_pump_names_the_pump() {
    let mut network = Network::new(1e-6);
    let (sump, top) = (level(&mut network, 0.0), level(&mut network, 1.0));
    let [joint, far] = [(); 2].map(|()| network.add_node(Node::Junction));
    let pump = network.add_link(Link::pump(sump, joint, curve(), 1));
    network.add_link(Link::pipe(far, top, LINE));
    assert_eq!(network.solve(), Err(NoSolution::NoWaterPath { link: pump }));
}

#[test]
fn an_outlet_of_several_that_is_cut_off_carries_nothing_and_has_no_head() {
    let mut network = Network::new(1e-6);
    let (sump, top) = (level(&mut network, 0.0), level(&mut network, 1.0));
    let [joint, cut_off, loose] = [(); 3].map(|()| network.add_node(Node::Junction));
    let pump = network.add_link(Link::pump(sump, joint, curve(), 1));
    let open = network.add_link(Link::pipe(joint, top, LINE));
    let valve = network.add_link(Link::valve(joint, cut_off, 0.05, 1.0).shut());
    let beyond = network.add_link(Link::pipe(cut_off, loose, LINE));
    let solution = network.solve().unwrap();
    assert!(
        solution.flow(open).unwrap() > 1e-3
            && (solution.flow(open).unwrap() - solution.flow(pump).unwrap()).abs() < 1e-12
    );
    for link in [valve, beyond] {
        assert_eq!(
            (solution.state(link).unwrap(), solution.flow(link).unwrap()),
            (LinkState::Shut, 0.0)
        );
    }
    assert_eq!((solution.head(cut_off), solution.head(loose)), (None, None));
}

#[test]
fn two_levels_joined_without_resistance_name_the_link() {
    let mut network = Network::new(1e-6);
    let (low, high) = (level(&mut network, 0.0), level(&mut network, 1.0));
    let bare = Run {
        length: 0.0,
        minor_k: 0.0,
        laminar_k: 0.0,
        ..LINE
    };
    network.add_link(Link::pipe(low, high, LINE));
    let link = network.add_link(Link::pipe(low, high, bare));
    assert!(matches!(network.solve(), Err(NoSolution::Link { link: named, .. }) if named == link));

    let mut network = Network::new(1e-6);
    let (low, high) = (level(&mut network, 0.0), level(&mut network, 1.0));
    let link = network.add_link(Link::valve(low, high, 0.05, 0.0));
    assert!(matches!(network.solve(), Err(NoSolution::Link { link: named, .. }) if named == link));
}

#[test]
fn a_valve_shut_on_the_only_way_names_the_pump_that_stands_before_it() {
    let mut network = Network::new(1e-6);
    let (sump, top) = (level(&mut network, 0.0), level(&mut network, 1.0));
    let [joint, beyond] = [(); 2].map(|()| network.add_node(Node::Junction));
    let pump = network.add_link(Link::pump(sump, joint, curve(), 1));
    network.add_link(Link::valve(joint, beyond, 0.05, 1.0).shut());
    network.add_link(Link::pipe(beyond, top, LINE));
    assert_eq!(network.solve(), Err(NoSolution::NoWaterPath { link: pump }));
}

#[test]
fn a_flap_that_faces_the_pump_on_the_only_way_names_it_too() {
    let mut network = Network::new(1e-6);
    let (sump, top) = (level(&mut network, 0.0), level(&mut network, 1.0));
    let joint = network.add_node(Node::Junction);
    let pump = network.add_link(Link::pump(sump, joint, curve(), 1));
    network.add_link(Link::pipe(top, joint, LINE).check_valve());
    assert_eq!(network.solve(), Err(NoSolution::NoWaterPath { link: pump }));
}

/// A pump that takes from a basin and gives it back: any level under the crest would do.
#[test]
fn a_basin_that_water_only_goes_round_through_is_named() {
    let mut network = Network::new(1e-6);
    let sump = level(&mut network, 0.0);
    let pond = network.add_node(Node::Basin);
    let joint = network.add_node(Node::Junction);
    network.add_link(Link::pump(pond, joint, curve(), 1));
    network.add_link(Link::pipe(joint, pond, LINE).discharging_at(1.0));
    let crest = Crest::in_open_water(Edge::BroadStone, 1.0);
    network.add_link(Link::spill(pond, sump, Outflow::over(crest, 0.5)));
    let answer = network.solve();
    assert!(
        matches!(answer, Err(NoSolution::Node { node, .. }) if node == pond),
        "{answer:?}"
    );
}

#[test]
fn a_pump_that_cannot_reach_and_a_curve_too_short_name_the_pump() {
    let lift = |top: f64| {
        let mut network = Network::new(1e-6);
        let (sump, top) = (level(&mut network, 0.0), level(&mut network, top));
        let joint = network.add_node(Node::Junction);
        let pump = network.add_link(Link::pump(sump, joint, curve(), 1));
        network.add_link(Link::pipe(joint, top, LINE));
        (pump, network.solve())
    };
    let (pump, answer) = lift(6.0);
    assert!(matches!(answer, Err(NoSolution::PumpCannotLift { pump: named, .. }) if named == pump));
    let (pump, answer) = lift(-4.0);
    assert!(matches!(answer, Err(NoSolution::BeyondCurve { pump: named, .. }) if named == pump));
}
