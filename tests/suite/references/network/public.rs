//! Small public water networks, as the package wntr carries them, with Darcy–Weisbach losses.
//!
//! Taken are those whose pipes, pumps and fixed levels this solver has; what their customers draw is a fixed flow at each node.
//! Left out: Net6, ky4 and ky10 for pumps of given power and valves that keep a pressure, which no water feature has; of
//! Net3 the two links that its controls keep closed at first.

use bywash::formulas::{
    network::{Link, Network, Node, NodeId, Outflow},
    pump::Curve,
};
use serde_json::Value;

use super::{case, num};

const NETWORKS: [&str; 4] = ["public_net1", "public_net2", "public_net3", "public_two_loops"];

/// Far below every head of these networks, m.
const DEEP: f64 = -1000.0;

/// A fixed flow out of a node, m³/s; below zero into it. Over an edge so deep that it passes the same whatever the head.
pub fn add_demand(network: &mut Network, node: NodeId, demand: f64) {
    if demand == 0.0 {
        return;
    }
    let size = demand.abs();
    let flow = move |head: f64| (size * (1.0 - f64::exp(-head)), size * f64::exp(-head));
    let outside = network.add_node(Node::Fixed { head: 0.0 });
    let (from, to) = if demand > 0.0 {
        (node, outside)
    } else {
        (outside, node)
    };
    network.add_link(Link::spill(from, to, Outflow::new(DEEP, flow)));
}

/// A pump's `H = H₀ − B·Q^C`, as a table so dense that the monotone cubics follow it.
pub fn power_curve(curve: &Value) -> Curve {
    const STEPS: u32 = 4000;
    let (shut_off, b, c) = (num(curve, "H0_m"), num(curve, "B"), num(curve, "C"));
    let most = num(curve, "most_m3_s");
    let points = (0..=STEPS).map(|step| most * f64::from(step) / f64::from(STEPS));
    let points: Vec<(f64, f64)> = points.map(|flow| (flow, shut_off - b * flow.powf(c))).collect();
    Curve::new(&points).unwrap()
}

/// How far flows, as a share of the greatest, and heads, m, are off.
fn off(name: &str, results: &str) -> (f64, f64) {
    let case = case(name);
    let solution = case.network.solve().unwrap();
    let want = &case.file["results"][results];
    let flows = want["link_flow_m3_s"].as_object().unwrap();
    let flows = flows.iter().map(|(id, flow)| {
        let flow = flow.as_f64().unwrap();
        (flow, (solution.flow(case.links[id]).unwrap() - flow).abs())
    });
    let (greatest, flow_off) = flows.fold((0.0_f64, 0.0_f64), |(greatest, worst), (flow, off)| {
        (greatest.max(flow.abs()), worst.max(off))
    });
    let heads = want["node_head_m"].as_object().unwrap().iter();
    let heads =
        heads.map(|(id, head)| (solution.head(case.nodes[id]).unwrap() - head.as_f64().unwrap()).abs());
    (flow_off / greatest, heads.fold(0.0, f64::max))
}

/// A solve by Newton on heads and flows together (Todini and Pilati), numpy 2.4.6, exact Colebrook–White.
#[test]
fn reference_public_networks_with_exact_colebrook() {
    for name in NETWORKS {
        let (flow, head) = off(name, "exact_colebrook");
        assert!(flow < 1e-7 && head < 1e-5, "{name}: flow {flow:e}, head {head:e}");
    }
}

/// EPANET 2.2 (wntr 1.5.0): its friction factor is explicit and its gravity 32.2 ft/s².
#[test]
fn reference_public_networks_against_epanet() {
    for name in NETWORKS {
        let (flow, head) = off(name, "epanet22");
        assert!(
            flow < 2.5e-3 && head < 0.09,
            "{name}: flow {flow:e}, head {head:e}"
        );
    }
}
