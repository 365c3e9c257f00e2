//! Lines back into the basin of their own pump: jets, hoses and returns.

use bywash::{
    hydraulics::{Outcomes, run_scenarios},
    ledger::Found,
    read::Place,
};

use super::{close, ledger, patched, quantity};

/// A second pump that plays a jet 0.2 m over the benchmark, back into its own pond.
const JET: &str = r#"{
  "pumps": { "jet": { "basin": "pond", "mount": "submerged", "curve": [["0 m3/h", "3 m"], ["2 m3/h", "2 m"], ["4 m3/h", "0.3 m"]] } },
  "lines": { "jet": { "from": "jet", "check_valve": { "kind": "swing" }, "runs": {
    "only": { "pipe": { "inside": "25 mm" }, "length": "3 m", "fittings": { "90 elbow": 1 }, "to": "pond", "discharge": { "level": "0.2 m", "form": "free" } } } } }
}"#;
/// The jet alone: no pool, no fall, no other pump.
const ALONE: &str =
    r#"{ "basins": { "pool": null }, "pumps": { "main": null }, "lines": { "feed": null }, "falls": null }"#;
/// The jet in the pool that spills.
const IN_POOL: &str = r#"{
  "pumps": { "jet": { "basin": "pool" } },
  "lines": { "jet": { "runs": { "only": { "to": "pool", "discharge": { "level": "0.9 m" } } } } }
}"#;
/// The pond's own line ends in the pond: nothing but its jet runs in the pool, which could spill.
const POOL_ALONE: &str = r#"{ "lines": { "feed": { "runs": { "main": { "to": "pond" } } } } }"#;

/// The pump lifts from the level of its pond to the mouth, and through the losses of its line: by hand from the figures,
/// head = (0.2 + 0.3) + h. The pond keeps its level: what is drawn comes back.
fn holds(all: &bywash::ledger::Ledger) {
    let lift = 0.2 - quantity(all, "/basins/pond", "running-level");
    let losses = quantity(all, "/lines/jet/runs/only", "run-head-loss");
    close(quantity(all, "/pumps/jet", "duty-head"), lift + losses, 1e-6);
    let flow = quantity(all, "/pumps/jet", "duty-flow");
    close(quantity(all, "/lines/jet/runs/only", "run-flow"), flow, 1e-9);
    // v = Q / (π·D²/4) of a bore of 25 mm: 4.909e-4 m².
    close(
        quantity(all, "/lines/jet/runs/only", "run-velocity"),
        flow / 4.9087e-4,
        1e-4,
    );
}

#[test]
fn a_jet_in_its_own_pond_runs_alone() {
    let all = ledger(&[JET, ALONE]);
    holds(&all);
    assert!((quantity(&all, "/basins/pond", "running-level") + 0.30).abs() < 1e-9);
    let (plan, _) = patched(&[JET, ALONE]);
    for followed in &run_scenarios(&plan, &Outcomes::default(), &[]).single {
        if ["running", "power-off", "start-up"].contains(&followed.name.as_str()) {
            let outcome = followed.outcome.as_ref().unwrap();
            assert!((outcome.basins[0].end + 0.30).abs() < 1e-6, "{}", followed.name);
        }
    }
}

#[test]
fn a_jet_beside_a_fall_changes_no_level() {
    let (with, without) = (ledger(&[JET]), ledger(&[]));
    holds(&with);
    for at in ["/basins/pond", "/basins/pool"] {
        close(
            quantity(&with, at, "running-level"),
            quantity(&without, at, "running-level"),
            1e-9,
        );
    }
}

#[test]
fn a_jet_in_a_basin_that_spills_leaves_its_fall_alone() {
    let (with, without) = (ledger(&[JET, IN_POOL]), ledger(&[]));
    close(
        quantity(&with, "/falls/lip", "fall-flow"),
        quantity(&without, "/falls/lip", "fall-flow"),
        1e-6,
    );
    assert!(quantity(&with, "/pumps/jet", "duty-flow") > 1e-5);
    let alone = ledger(&[JET, IN_POOL, POOL_ALONE]);
    assert!(quantity(&alone, "/falls/lip", "fall-flow").abs() < 1e-9);
    assert!((quantity(&alone, "/basins/pool", "running-level") - 0.60).abs() < 1e-9);
    let flow = alone
        .quantity(&Place::from_pointer("/pumps/jet"), "duty-flow")
        .unwrap();
    assert!(flow > 1e-5, "{flow}");
    let lift = 0.9 - 0.60;
    let losses = quantity(&alone, "/lines/jet/runs/only", "run-head-loss");
    close(quantity(&alone, "/pumps/jet", "duty-head"), lift + losses, 1e-6);
}

/// A line that ends in the pond its pump draws from, where the pool was meant: the pool stands without flow, and the end
/// of that line is where to look.
#[test]
fn a_line_to_the_wrong_basin_shows_at_the_basin_that_goes_without() {
    let passes = |all: &bywash::ledger::Ledger| {
        let figure = all
            .get(&Place::from_pointer("/basins/pool"), "water-passes")
            .unwrap();
        figure.answer.clone()
    };
    assert!(matches!(
        passes(&ledger(&[])),
        Ok(Found::Verdict { holds: true, .. })
    ));
    match passes(&ledger(&[POOL_ALONE])) {
        Ok(Found::Verdict { holds, at, because }) => {
            assert!(!holds && because.contains("brings it water"), "{because}");
            assert_eq!(at, Some(Place::from_pointer("/lines/feed/runs/main/to")));
        }
        other => panic!("{other:?}"),
    }
}
