//! Networks against independent solutions, and the laws every solution keeps.

mod circuit_laws;
mod circuits;
mod held;
mod laws;
mod public;
mod refused;

use std::{collections::HashMap, fs, path::Path};

use bywash::formulas::{
    network::{Link, LinkId, LinkState, Network, Node, NodeId},
    pipe::Run,
    pump::Curve,
};
use serde_json::Value;

use super::pump::{parabola, straight_pieces};

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

struct Case {
    file: Value,
    network: Network,
    nodes: HashMap<String, NodeId>,
    links: HashMap<String, LinkId>,
}

fn case(name: &str) -> Case {
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
            // What is drawn off leaves as a spill, which only a basin has.
            _ if node["demand_m3_s"].as_f64().is_some_and(|demand| demand > 0.0) => Node::Basin,
            _ => Node::Junction,
        };
        let added = network.add_node(kind);
        nodes.insert(text(node, "id").to_owned(), added);
        if let Some(demand) = node["demand_m3_s"].as_f64() {
            public::add_demand(&mut network, added, demand);
        }
    }
    let mut links = HashMap::new();
    for link in file["links"].as_array().unwrap() {
        let (from, to) = (nodes[text(link, "from")], nodes[text(link, "to")]);
        let made = match text(link, "type") {
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
        };
        links.insert(text(link, "id").to_owned(), network.add_link(made));
    }
    Case {
        file,
        network,
        nodes,
        links,
    }
}

fn curve(curve: &Value) -> Curve {
    match text(curve, "form") {
        "quadratic" => parabola(num(curve, "H0_m"), num(curve, "a_s2_m5")),
        "power" => public::power_curve(curve),
        "table_linear" => {
            let points: Vec<(f64, f64)> = serde_json::from_value(curve["points_Q_m3_s_H_m"].clone()).unwrap();
            straight_pieces(&points)
        }
        other => panic!("curve form {other}"),
    }
}

fn num(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} in {value}"))
}

/// Compares all flows and heads with one set of results of the file.
fn compare(case: &Case, results: &str, flow_tolerance: f64, head_tolerance: f64) {
    let solution = case.network.solve().unwrap();
    let want = &case.file["results"][results];
    for (id, flow) in want["link_flow_m3_s"].as_object().unwrap() {
        let (got, want) = (solution.flow(case.links[id]).unwrap(), flow.as_f64().unwrap());
        assert!(
            (got - want).abs() <= flow_tolerance * want.abs(),
            "{id}: {got} against {want}"
        );
    }
    for (id, head) in want["node_head_m"].as_object().unwrap() {
        // A node between two closed links has no head there.
        let Some(want) = head.as_f64() else { continue };
        let got = solution.head(case.nodes[id]).unwrap();
        assert!((got - want).abs() <= head_tolerance, "{id}: {got} against {want}");
    }
}

/// Own solve of the reference's maker with fluids 1.3.1 Colebrook and g = 9.80665 m/s².
#[test]
fn reference_networks_with_exact_colebrook() {
    for name in CASES {
        compare(&case(name), "exact_colebrook", 1e-4, 1e-3);
    }
}

/// EPANET 2.2 (wntr 1.5.0): Swamee–Jain friction and g = 9.81456 m/s².
#[test]
fn reference_networks_against_epanet() {
    for name in CASES {
        compare(&case(name), "epanet22", 1e-2, 30e-3);
    }
}

/// The weaker of two pumps in parallel is held shut by its check valve.
#[test]
fn reference_closed_links() {
    for name in CASES {
        let case = case(name);
        let solution = case.network.solve().unwrap();
        let closed = case.file["results"]["closed_links"].as_array().unwrap();
        for (id, &link) in &case.links {
            let want = closed.iter().any(|c| c == id.as_str());
            assert_eq!(
                solution.state(link).unwrap() != LinkState::Open,
                want,
                "{name} {id}"
            );
        }
    }
}
