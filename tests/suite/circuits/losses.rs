//! The method of fitting losses a plan names: what it changes, and that it is told.

use bywash::{
    formulas::{
        fittings::methods::{Method, Size},
        pipe, water,
    },
    ledger::{Ledger, Origin},
    read::Place,
};

use super::{SKIMMED, close, ledger, quantity};

/// A run of 2 in pipe of the tables, with fittings that both methods hold and that neither does.
const RUN: &str = r#"{ "lines": { "feed": { "runs": { "main": {
  "pipe": { "inside": null, "size": "2 in", "class": "sch 40", "material": "PVC" },
  "fittings": { "90 elbow": 6, "gate valve": 1, "union": 2 }
} } } } }"#;
const MAIN: &str = "/lines/feed/runs/main";

fn named(method: &str) -> String {
    format!(r#"{{ "project": {{ "fitting_losses": "{method}" }} }}"#)
}

fn assumptions(ledger: &Ledger, at: &str, figure: &str, symbol: &str) -> Vec<String> {
    let figure = ledger.get(&Place::from_pointer(at), figure).unwrap();
    let of_symbol = figure.inputs.iter().filter(|input| input.symbol == symbol);
    of_symbol
        .filter_map(|input| match &input.origin {
            Origin::Assumed(why) => Some(why.clone()),
            _ => None,
        })
        .collect()
}

#[test]
fn a_named_method_moves_the_flow_a_little_and_is_told_with_what_it_lacks() {
    let table = ledger(&[RUN]);
    let flow = |ledger: &Ledger| quantity(ledger, "/pumps/main", "duty-flow");
    let crane = ledger(&[RUN, &named("Crane")]);
    assert_eq!(flow(&table), flow(&crane));
    for (name, method, words) in [
        ("Hooper 2-K", Method::TwoK, "Hooper’s 2-K"),
        ("Darby 3-K", Method::ThreeK, "Darby’s 3-K"),
    ] {
        let other = ledger(&[RUN, &named(name)]);
        let change = (flow(&other) / flow(&table) - 1.0).abs();
        assert!((1e-4..0.05).contains(&change), "{name}: {change}");

        let k = assumptions(&other, MAIN, "run-head-loss", "K");
        assert!(k[0].contains(words), "{k:?}");
        assert!(assumptions(&table, MAIN, "run-head-loss", "K")[0].contains("Crane"));
        let lacked = assumptions(&other, "/pumps/main", "duty-flow", "K_table");
        assert!(
            lacked.len() == 1 && lacked[0].starts_with("union: "),
            "{lacked:?}"
        );
        assert!(
            lacked[0].contains(words) && lacked[0].contains("handbook"),
            "{lacked:?}"
        );

        // The loss of the run by hand: elbows and valve by the method, unions and exit beside.
        let size = Size {
            inside_diameter: pipe_bore(),
            nominal: 2.0,
        };
        let re = quantity(&other, MAIN, "run-reynolds");
        let k = |fitting: &str| method.loss(fitting, &size).unwrap().k(re);
        let minor_k = 6.0 * k("90 elbow") + k("gate valve") + 2.0 * 0.08 + 1.0;
        let run = pipe::Run {
            diameter: pipe_bore(),
            length: 12.0,
            roughness: 1.5e-6,
            minor_k,
            laminar_k: 0.0,
        };
        let nu = water::kinematic_viscosity(273.15 + 15.0);
        let loss = pipe::head_loss(quantity(&other, MAIN, "run-flow"), &run, nu);
        close(quantity(&other, MAIN, "run-head-loss"), loss, 1e-9);
    }
}

/// 2 in schedule 40 PVC, m.
fn pipe_bore() -> f64 {
    bywash::formulas::pipe_table::inside_diameter(2.0, "sch 40")
        .unwrap()
        .inside_diameter
}

#[test]
fn darby_takes_the_inside_diameter_for_the_nominal_size_of_pipe_that_is_in_no_table_and_says_so() {
    let darby = ledger(&[&named("Darby 3-K")]);
    let told = assumptions(&darby, "/pumps/main", "duty-flow", "D_n");
    assert!(told.len() == 1 && told[0].contains("nominal size"), "{told:?}");
    let hooper = ledger(&[&named("Hooper 2-K")]);
    assert!(assumptions(&hooper, "/pumps/main", "duty-flow", "D_n").is_empty());
}

#[test]
fn the_method_reaches_suction_the_check_valves_of_pumps_and_drains() {
    let no_fittings = r#"{ "lines": { "feed": { "runs": { "main": { "fittings": {} } } } } }"#;
    let suction = r#"{ "pumps": { "main": {
      "mount": "dry",
      "suction": { "pipe": { "inside": "70 mm" }, "length": "2 m", "fittings": { "90 elbow": 2 } }
    } } }"#;
    let valve = r#"{ "pumps": { "main": { "check_valve": { "kind": "swing" } } } }"#;
    for part in [suction, valve] {
        let [crane, hooper] = ["Crane", "Hooper 2-K"].map(|method| {
            let ledger = ledger(&[no_fittings, part, &named(method)]);
            quantity(&ledger, "/pumps/main", "duty-flow")
        });
        assert!(
            (crane - hooper).abs() > 1e-5 * crane,
            "{crane} and {hooper}: {part}"
        );
    }
    let narrow = r#"{ "drains": { "skimmer": { "run": { "pipe": { "inside": "70 mm" } } } } }"#;
    let [crane, hooper] = ["Crane", "Hooper 2-K"].map(|method| {
        let ledger = ledger(&[SKIMMED, narrow, no_fittings, &named(method)]);
        quantity(&ledger, "/drains/skimmer", "drawdown")
    });
    assert!((crane - hooper).abs() > 1e-4 * crane, "{crane} and {hooper}");
}
