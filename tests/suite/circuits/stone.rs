//! The stone of a bed in the circuit: water fed in below rises against it, and it is told where it is left out.

use bywash::{
    formulas::pump::Curve,
    ledger::{Input, Ledger, Origin},
    read::Place,
};

use super::{close, ledger, quantity};

/// The pool as a bed of fine stone.
const BED: &str = r#"{ "basins": { "pool": {
  "kind": "bed", "open_surface": "3.5 m2",
  "layers": {
    "coarse": { "fill": "stone", "thickness": "0.3 m", "smallest": "20 mm", "largest": "40 mm", "shape": "round" },
    "fine": { "fill": "stone", "thickness": "0.4 m", "smallest": "2 mm", "largest": "3 mm", "shape": "angular", "porosity": "35 %" }
  }
} } }"#;

/// What the operating flow rests on under a symbol.
fn inputs_named(ledger: &Ledger, figure: &str, symbol: &str) -> Vec<Input> {
    let figure = ledger.get(&Place::from_pointer("/pumps/main"), figure).unwrap();
    let inputs = figure.inputs.iter().filter(|input| input.symbol == symbol);
    inputs.cloned().collect()
}

fn flow(ledger: &Ledger) -> f64 {
    quantity(ledger, "/pumps/main", "duty-flow")
}

/// Head of the plan's pump, m, against all that it lifts and loses.
#[test]
fn the_pump_lifts_against_the_head_the_bed_loses() {
    let curve = [(0.0, 4.0), (8.0, 3.0), (16.0, 0.5)].map(|(flow, head)| (flow / 3600.0, head));
    let bed = ledger(&[BED]);
    let lost = quantity(&bed, "/basins/pool", "bed-head-loss");
    assert!((0.005..0.5).contains(&lost), "{lost} m");
    let level = |basin: &str| quantity(&bed, &format!("/basins/{basin}"), "running-level");
    let asked =
        level("pool") - level("pond") + quantity(&bed, "/lines/feed/runs/main", "run-head-loss") + lost;
    close(Curve::new(&curve).unwrap().head(flow(&bed)).unwrap(), asked, 1e-7);
    assert!(matches!(
        inputs_named(&bed, "duty-flow", "h_stone").as_slice(),
        [Input { origin: Origin::Plan(place), .. }] if place.as_str() == "/basins/pool/layers"
    ));
}

#[test]
fn fouled_stone_costs_the_pump_more_and_that_is_told() {
    let clean_walls = r#"{ "upkeep": { "fouling": { "loss_factor": 1, "roughness": "0.0001 mm" } } }"#;
    let bed = ledger(&[BED, clean_walls]);
    let fouled = quantity(&bed, "/pumps/main", "fouled-flow");
    assert!(fouled < flow(&bed) * (1.0 - 1e-3), "{fouled} of {}", flow(&bed));
    assert_eq!(inputs_named(&bed, "fouled-flow", "n/n_clean").len(), 1);
    let pool = ledger(&[clean_walls]);
    close(quantity(&pool, "/pumps/main", "fouled-flow"), flow(&pool), 1e-9);
}

#[test]
fn stone_that_is_not_fed_from_below_or_not_shown_costs_nothing_and_the_last_is_told() {
    let open_pool = flow(&ledger(&[]));
    let free = r#"{ "lines": { "feed": { "runs": { "main": { "discharge": { "form": "free", "level": "0.7 m" } } } } } }"#;
    let (free_bed, free_pool) = (ledger(&[BED, free]), ledger(&[free]));
    assert_eq!(flow(&free_bed), flow(&free_pool));
    assert!(inputs_named(&free_bed, "duty-flow", "h_stone").is_empty());
    let unshown = ledger(&[
        BED,
        r#"{ "basins": { "pool": { "layers": { "fine": { "shape": null } } } } }"#,
    ]);
    assert_eq!(flow(&unshown), open_pool);
    assert!(matches!(
        inputs_named(&unshown, "duty-flow", "h_stone").as_slice(),
        [Input { origin: Origin::Assumed(why), .. }] if why.contains("left out of the circuit")
    ));
}

/// A bare jet meets the stone at the velocity in its pipe; a header lets the water cross the modules from one side.
#[test]
fn the_inflow_is_held_against_the_stone_as_a_jet_or_as_it_crosses_the_modules() {
    let bed = |distribution: &str| {
        let patch = format!(
            r#"{{ "basins": {{ "pool": {{
              "kind": "bed", "open_surface": "3.5 m2",
              "inlet": {{ "level": "0 m", "distribution": {distribution} }},
              "layers": {{
                "modules": {{ "fill": "modules", "thickness": "0.3 m", "void_ratio": "90 %", "area": "2.25 m2" }},
                "stone": {{ "fill": "stone", "thickness": "0.4 m", "smallest": "20 mm", "largest": "40 mm", "shape": "round" }}
              }}
            }} }} }}"#
        );
        ledger(&[&patch])
    };
    let (jet, header) = (bed(r#""none""#), bed(r#""slotted header""#));
    let of = |ledger: &Ledger, velocity: f64| {
        let lost = quantity(ledger, "/basins/pool", "bed-head-loss");
        let wanted = velocity.powi(2) / (2.0 * 9.806_65) / lost;
        close(
            quantity(ledger, "/basins/pool", "inflow-head-ratio"),
            wanted,
            1e-9,
        );
        wanted
    };
    let bare = of(&jet, quantity(&jet, "/lines/feed/runs/main", "run-velocity"));
    let spread = of(&header, flow(&header) / (1.5 * 0.3 * 0.9));
    assert!(bare > 100.0 * spread, "{bare} and {spread}");
}

/// From gravel to boulders: the stone may cost next to nothing and the circuit still settles.
#[test]
fn stone_of_any_size_leaves_the_circuit_solved() {
    let open_pool = flow(&ledger(&[]));
    let mut last = 0.0;
    for size in ["0.5 mm", "3 mm", "20 mm", "100 mm", "1 m"] {
        let layer = format!(
            r#"{{ "basins": {{ "pool": {{ "layers": {{ "fine": {{ "smallest": "{size}", "largest": "{size}" }} }} }} }} }}"#
        );
        let found = flow(&ledger(&[BED, &layer]));
        assert!(found > last && found < open_pool, "{size}: {found}");
        last = found;
    }
    close(last, open_pool, 1e-4);
}
