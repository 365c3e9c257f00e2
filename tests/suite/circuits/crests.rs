//! Crests that are notches, and laws of flow used outside the range they were measured in.

use super::{DROWNED, close, ledger, quantity, running};
use bywash::{
    formulas::weir::{self, Crest, Edge, Notch},
    ledger::{Gap, Ledger},
    read::Place,
};

/// The fall as a V-notch of 90 degrees.
const NOTCH: &str = r#"{ "basins": { "pond": { "overflow": "none" }, "pool": { "overflow": "none" } }, "falls": { "lip": { "edge": "V-notch", "notch_sides": "1:1", "width": null } } }"#;

fn has_input(ledger: &Ledger, symbol: &str) -> bool {
    let figure = ledger
        .get(&Place::from_pointer("/falls/lip"), "crest-head")
        .unwrap();
    figure.inputs.iter().any(|input| input.symbol == symbol)
}

#[test]
fn a_notch_passes_its_flow_by_its_own_law_alone() {
    let notched = ledger(&[NOTCH]);
    let flow = quantity(&notched, "/falls/lip", "fall-flow");
    let head = quantity(&notched, "/falls/lip", "crest-head");
    let notch = Notch { angle: 90.0 };
    assert!(head > Notch::LEAST_HEAD && !has_input(&notched, "h_notch") && !has_input(&notched, "θ"));
    close(notch.discharge(head), flow, 1e-9);
    close(running(&notched, "pool"), 0.60 + head, 1e-9);
    close(
        quantity(&notched, "/falls/lip", "crest-water-width"),
        2.0 * head,
        1e-9,
    );
    let most = quantity(&notched, "/falls/lip", "crest-capacity");
    close(notch.discharge(0.35 - 0.0508), most, 1e-9);
    let at = Place::from_pointer("/falls/lip");
    for name in ["flow-per-width", "brink-depth", "throw"] {
        let figure = notched.get(&at, name).unwrap();
        assert!(matches!(figure.answer, Err(Gap::DoesNotApply(_))), "{figure:?}");
    }
    // Half of it blocked, water over the point stands higher by 2^(1/2.5), once the pond has given what that takes.
    let blocked = quantity(&notched, "/basins/pool", "blocked-level");
    let half = Crest::in_open_water(Edge::VNotch(notch), 0.0).narrowed(0.5);
    let rise = weir::head_for_flow(&half, flow) / head;
    assert!((1.25..1.36).contains(&rise), "{rise}");
    assert!((blocked - 0.60 - head * rise).abs() < 0.01, "{blocked}");
}

#[test]
fn a_notch_outside_what_was_measured_says_so() {
    let wide = r#"{ "falls": { "lip": { "notch_sides": "3:1" } } }"#;
    let narrow = r#"{ "falls": { "lip": { "notch_sides": "0.1:1" } } }"#;
    assert!(has_input(&ledger(&[NOTCH, wide]), "θ"));
    assert!(has_input(&ledger(&[NOTCH, narrow]), "θ"));
    let trickle = r#"{ "pumps": { "main": { "curve": [["0 m3/h", "4 m"], ["1 m3/h", "3 m"], ["2 m3/h", "0.5 m"]] } } }"#;
    let shallow = ledger(&[NOTCH, trickle]);
    assert!(has_input(&shallow, "h_notch") && !has_input(&shallow, "θ"));
    let without_sides = r#"{ "falls": { "lip": { "notch_sides": null } } }"#;
    let asked = ledger(&[NOTCH, without_sides]);
    let figure = asked
        .get(&Place::from_pointer("/falls/lip"), "crest-head")
        .unwrap();
    assert!(matches!(figure.answer, Err(Gap::NotShown(_))), "{figure:?}");
}

#[test]
fn a_crest_drowned_beyond_what_was_measured_says_so() {
    let submergence = |ledger: &Ledger| {
        let figure = ledger
            .get(&Place::from_pointer("/falls/lip"), "crest-head")
            .unwrap();
        let drowned = figure.inputs.iter().find(|input| input.symbol == "s");
        drowned.and_then(|input| input.value).map(|(share, _)| share)
    };
    assert_eq!(submergence(&ledger(&[])), None, "free");
    assert_eq!(submergence(&ledger(&[DROWNED])), None, "drowned within the range");
    let narrow = r#"{ "falls": { "out": { "width": "0.15 m" } } }"#;
    let deep = ledger(&[DROWNED, narrow]);
    let (above, below) = (running(&deep, "pool") - 0.60, running(&deep, "lower") - 0.60);
    assert!(below / above > *weir::SUBMERGENCE.end());
    close(submergence(&deep).unwrap(), below / above, 1e-9);
    let words = deep.assumptions().join("; ");
    assert!(words.contains("0.9 of the water above over the crest"), "{words}");
}

/// A stream whose stone stands far out of its water.
const STREAM: &str = r#"{
  "falls": { "lip": { "to": "run" } },
  "streams": { "run": { "ends_in": "pond", "reaches": {
    "upper": { "length": "5 m", "drop": "0.4 m", "bed_width": "0.5 m", "side_slope": "1:1", "stone": "100 mm", "loose": true, "liner_edge": "0.3 m" }
  } } }
}"#;

#[test]
fn water_in_flight_outside_what_resistance_was_measured_for_says_so() {
    let extrapolated = |ledger: &Ledger| {
        let figure = ledger
            .get(&Place::from_pointer("/basins/pond"), "running-level")
            .unwrap();
        figure.inputs.iter().any(|input| input.symbol == "x_stone")
    };
    let within = ledger(&[STREAM]);
    assert!(!extrapolated(&within));
    let boulders =
        r#"{ "streams": { "run": { "reaches": { "upper": { "stone": "1 m", "bed_width": "3 m" } } } } }"#;
    let beyond = ledger(&[STREAM, boulders]);
    assert!(extrapolated(&beyond));
    let depth = beyond
        .get(&Place::from_pointer("/streams/run/reaches/upper"), "reach-depth")
        .unwrap();
    assert!(matches!(depth.answer, Err(Gap::NotComputed(_))), "{depth:?}");
}

/// Q = C·b·h^1.5 by hand, b 0.6 m: C 1.65 for a rounded edge, 1.47 dressed, 1.43 natural, 1.38 rough (2.5 ft^½/s of a
/// Colorado mine-reclamation file). Against the ideal 1.705 the head is (1.705 / 1.43)^(2/3) = 1.124 times on natural and
/// (1.705 / 1.38)^(2/3) = 1.151 times on rough stone.
#[test]
fn a_stone_crest_passes_its_flow_by_its_edge() {
    for (edge, coefficient, times) in [
        ("rounded stone", 1.65, 1.022),
        ("dressed stone", 1.47, 1.104),
        ("natural stone", 1.43, 1.124),
        ("broad stone", 1.43, 1.124),
        ("rough stone", 1.38, 1.151),
    ] {
        let patch = format!(r#"{{ "falls": {{ "lip": {{ "edge": "{edge}" }} }} }}"#);
        let all = ledger(&[&patch]);
        let flow = quantity(&all, "/falls/lip", "fall-flow");
        let head = quantity(&all, "/falls/lip", "crest-head");
        close(flow, coefficient * 0.6 * head.powf(1.5), 1e-3);
        close(head, times * (flow / (1.705 * 0.6)).powf(2.0 / 3.0), 1e-3);
        let figure = all.get(&Place::from_pointer("/falls/lip"), "crest-head").unwrap();
        let of = |symbol: &str| {
            let input = figure.inputs.iter().find(|input| input.symbol == symbol);
            input.and_then(|input| input.value).unwrap().0
        };
        assert!(of("h_least") < head && head < of("h_most"), "{edge}");
    }
}
