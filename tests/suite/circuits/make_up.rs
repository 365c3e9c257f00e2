//! Automatic make-up while the pumps run.

use bywash::{ledger::Gap, read::Place};

use super::{HOLDS, SKIMMED, close, ledger, quantity, running};

/// Make-up that keeps the pond keeps the well below it by the drawdown, and is too much once the pumps stop.
#[test]
fn make_up_in_the_pond_holds_the_well_it_drains_to() {
    let kept = r#"{ "water": { "make_up": { "basin": "pond", "automatic": true, "level": "-0.30 m" } } }"#;
    let (kept, own) = (ledger(&[SKIMMED, HOLDS, kept]), ledger(&[SKIMMED, HOLDS]));
    let pond = running(&kept, "pond");
    assert!((pond + 0.30).abs() < 1e-8, "{pond}");
    assert!(running(&kept, "well") > running(&own, "well"));
    // Where the lip holds the pond up, the well has to fill until it backs up into the pond.
    let held = r#"{
      "drains": { "skimmer": { "mouth": { "level": "-0.34 m" } } },
      "water": { "make_up": { "basin": "pond", "automatic": true, "level": "-0.29 m" } }
    }"#;
    let held = ledger(&[SKIMMED, held]);
    assert!(
        (running(&held, "pond") + 0.29).abs() < 1e-8,
        "{}",
        running(&held, "pond")
    );
    let rest = quantity(&kept, "/basins/pond", "power-off-level");
    assert!(rest > -0.299, "{rest}");
    // The pond takes what the pool gives back and passes it on: its highest level lies a hair over that of both at rest.
    let well = quantity(&kept, "/basins/well", "power-off-level");
    assert!(rest >= well - 1e-9 && rest - well < 0.01, "{rest} {well}");
}

/// A pond that runs over while its drain starves the well: the float below the well's water stays open, and what it gives is
/// no more than what the valve passes.
const STARVED: &str = r#"{
  "basins": { "pond": { "overflow": { "level": "-0.25 m", "width": "0.20 m" } } },
  "drains": { "skimmer": {
    "mouth": { "form": "bottom drain", "level": "-1.40 m" },
    "run": { "pipe": { "inside": "65 mm" } }
  } },
  "water": { "make_up": { "basin": "well", "automatic": true, "level": "-0.30 m", "flow": "0.36 m3/h" } }
}"#;

/// The valve gives 0.36 m³/h, 1.000e-4 m³/s, all of which leaves over the sharp lip of 0.20 m of the pond, so that the drain
/// passes so much less than the pump. Kindsvater and Carter, as in `by_hand.rs`: below 30 mm the head counts 31/30 times,
/// (31/30)·h = (1e-4/0.352212)^⅔ = 0.0043200, h = 0.0041807 m over the lip at −0.25 m.
#[test]
fn make_up_gives_no_more_than_its_valve_passes() {
    let starved = ledger(&[SKIMMED, HOLDS, STARVED]);
    let pond = running(&starved, "pond");
    assert!((pond - (-0.25 + 0.004_180_7)).abs() < 1e-6, "{pond}");
    let pumped = quantity(&starved, "/pumps/main", "duty-flow");
    let drained = quantity(&starved, "/drains/skimmer", "drain-flow");
    assert!((pumped - drained - 1e-4).abs() < 2e-8, "{pumped} {drained}");
    assert!(running(&starved, "well") < -0.30, "the float stays open");
}

/// A valve that passes more than enough keeps its level, whatever runs off.
#[test]
fn make_up_that_keeps_up_keeps_its_level() {
    let more = r#"{ "water": { "make_up": { "flow": "36 m3/h" } } }"#;
    let kept = ledger(&[SKIMMED, HOLDS, STARVED, more]);
    close(running(&kept, "well"), -0.30, 1e-7);
}

/// Where water runs off for good and the valve’s flow is not shown, the basins run as without it, and what they come to from
/// there is a question; where none runs off, the flow matters to nothing.
#[test]
fn what_the_valve_gives_is_missing_only_where_water_runs_off() {
    let unknown = r#"{ "water": { "make_up": { "flow": null } } }"#;
    let none = r#"{ "water": { "make_up": "none" } }"#;
    let starved = ledger(&[SKIMMED, HOLDS, STARVED, unknown]);
    let without = ledger(&[SKIMMED, HOLDS, STARVED, none]);
    close(running(&starved, "well"), running(&without, "well"), 1e-12);
    let rest = starved.get(&Place::from_pointer("/basins/well"), "power-off-level");
    match &rest.unwrap().answer {
        Err(Gap::NotShown(places)) => assert_eq!(places[0].as_str(), "/water/make_up/flow"),
        other => panic!("{other:?}"),
    }
    let wide = r#"{ "drains": { "skimmer": { "run": { "pipe": { "inside": "102 mm" } } } } }"#;
    let fed = ledger(&[SKIMMED, HOLDS, STARVED, unknown, wide]);
    close(running(&fed, "well"), -0.30, 1e-7);
}
