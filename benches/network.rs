//! How long one solve of a network takes, building left out: the public cases, which `benches/reference_engine.py` times
//! in the reference engine, and trees of growing size. Run with `cargo bench --no-default-features --bench network`.
#![allow(clippy::panic, clippy::unwrap_used)]

use std::{collections::HashMap, fs, path::Path};

use bywash::formulas::{
    network::{Link, Network, Node, NodeId, Solution},
    pipe::Run,
    pump::Curve,
};
use serde_json::Value;

const CASES: [&str; 8] = [
    "01_tee",
    "02_tee",
    "03_parallel",
    "04_parallel",
    "05_throttled",
    "06_throttled",
    "07_three_outlets",
    "08_three_outlets",
];

fn main() {
    divan::main();
}

/// The cases of `tests/references/network`, checked and numbered again for each solve.
#[divan::bench(args = CASES, min_time = 0.2)]
fn public_case(bencher: divan::Bencher<'_, '_>, name: &str) {
    let network = case(name);
    bencher.bench_local(|| solved(&network));
}

/// The same, prepared once; the search begins afresh each time.
#[divan::bench(args = CASES, min_time = 0.2)]
fn public_case_prepared(bencher: divan::Bencher<'_, '_>, name: &str) {
    let network = case(name);
    let mut prepared = network.prepare().unwrap_or_else(|why| panic!("{why}"));
    bencher.bench_local(|| prepared.solve().unwrap_or_else(|why| panic!("{why}")));
}

/// A pump into a main with an outlet at each joint.
#[divan::bench(args = [25, 50, 100, 200, 400, 800, 1600])]
fn main_with_outlets(bencher: divan::Bencher<'_, '_>, outlets: u32) {
    let network = tree(outlets, |joint| joint);
    bencher.bench_local(|| solved(&network));
}

/// A pump into a line that forks at every joint.
#[divan::bench(args = [25, 50, 100, 200, 400, 800, 1600])]
fn forking_line(bencher: divan::Bencher<'_, '_>, outlets: u32) {
    let network = tree(outlets, |joint| joint / 2);
    bencher.bench_local(|| solved(&network));
}

fn solved(network: &Network) -> Solution {
    network.solve().unwrap_or_else(|why| panic!("{why}"))
}

/// A pump into as many joints as outlets, each joint fed by the one that `parent` names among those before it, mains
/// sized for what they carry.
fn tree(outlets: u32, parent: impl Fn(usize) -> usize) -> Network {
    let each = 2e-4;
    let all = each * f64::from(outlets);
    let mut network = Network::new(1e-6);
    let sump = network.add_node(Node::Fixed { head: 0.0 });
    let mut joints = vec![network.add_node(Node::Junction)];
    let curve = Curve::new(&[(0.0, 9.0), (all, 7.0), (2.0 * all, 1.0)]).unwrap();
    network.add_link(Link::pump(sump, joints[0], curve, 1));
    let mut beyond = vec![1_u32; outlets as usize + 1];
    for joint in (1..beyond.len()).rev() {
        beyond[parent(joint - 1)] += beyond[joint];
    }
    for at in 1..=outlets as usize {
        let joint = network.add_node(Node::Junction);
        let main = pipe(each * f64::from(beyond[at]), 2.0);
        network.add_link(Link::pipe(joints[parent(at - 1)], joint, main));
        let level = 1.0 + 0.01 * f64::from(at as u32 % 7);
        let pond = network.add_node(Node::Fixed { head: level });
        network.add_link(Link::pipe(joint, pond, pipe(each, 3.0)).discharging_at(level + 0.1));
        joints.push(joint);
    }
    network
}

/// A pipe of a length in m in which a flow in m³/s runs at about 1 m/s.
fn pipe(flow: f64, length: f64) -> Run {
    Run {
        diameter: (4.0 * flow / std::f64::consts::PI).sqrt(),
        length,
        roughness: 1.5e-6,
        minor_k: 1.0,
        laminar_k: 0.0,
    }
}

fn case(name: &str) -> Network {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/references/network")
        .join(name)
        .with_extension("json");
    let file: Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    let mut network = Network::new(num(&file["conventions"], "kinematic_viscosity_m2_s"));
    let mut nodes = HashMap::new();
    for node in file["nodes"].as_array().unwrap() {
        let kind = match text(node, "type") {
            "reservoir" => Node::Fixed {
                head: num(node, "head_m"),
            },
            _ => Node::Junction,
        };
        nodes.insert(text(node, "id").to_owned(), network.add_node(kind));
    }
    for link in file["links"].as_array().unwrap() {
        let ends = (nodes[text(link, "from")], nodes[text(link, "to")]);
        network.add_link(self::link(link, ends));
    }
    network
}

fn link(link: &Value, (from, to): (NodeId, NodeId)) -> Link {
    match text(link, "type") {
        "pump" => Link::pump(from, to, curve(&link["curve"]), 1),
        "tcv" => Link::valve(from, to, num(link, "diameter_m"), num(link, "K")),
        _ => {
            let run = Run {
                diameter: num(link, "diameter_m"),
                length: num(link, "length_m"),
                roughness: num(link, "roughness_m"),
                minor_k: num(link, "K_minor"),
                laminar_k: 0.0,
            };
            let pipe = Link::pipe(from, to, run);
            if link["check_valve"] == true {
                pipe.check_valve()
            } else {
                pipe
            }
        }
    }
}

/// The curve as a plan would tell it: the points of the table, or twenty of the parabola.
fn curve(curve: &Value) -> Curve {
    let points: Vec<(f64, f64)> = match text(curve, "form") {
        "quadratic" => {
            let (shut_off, a) = (num(curve, "H0_m"), num(curve, "a_s2_m5"));
            let flows = (0..=20).map(|i| (shut_off / a).sqrt() * f64::from(i) / 20.0);
            flows.map(|flow| (flow, shut_off - a * flow * flow)).collect()
        }
        _ => serde_json::from_value(curve["points_Q_m3_s_H_m"].clone()).unwrap(),
    };
    Curve::new(&points).unwrap()
}

fn num(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} in {value}"))
}
