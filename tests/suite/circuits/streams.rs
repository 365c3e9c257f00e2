//! Streams by lining, streams that end in a fall, and lines that end in a stream.

use bywash::{
    formulas::{channel::Section, channel_lining::grass_velocity, roughness::Lining},
    hydraulics::{Outcomes, run_scenarios},
};

use super::{close, ledger, patched, quantity};

/// A rill of smooth concrete with upright sides, 0.30 m wide, at 1 %.
const RILL: &str = r#"{
  "falls": { "lip": { "to": "rill" } },
  "streams": { "rill": { "ends_in": "pond", "head": "0.60 m", "end": "0.55 m", "reaches": {
    "only": { "length": "5 m", "drop": "50 mm", "bed_width": "0.30 m", "side_slope": "0:1", "lining": "smooth concrete", "liner_edge": "0.3 m" }
  } } }
}"#;

/// Manning by hand: b 0.30 m, y 0.05 m, S 0.01, n 0.013: A 0.0150 m², P 0.400 m, R 0.0375 m, R^(2/3) 0.11204,
/// Q = 0.0150 · 0.11204 · 0.1 / 0.013 = 0.012924 m³/s.
#[test]
fn reference_a_smooth_rill_by_hand() {
    let rill = Section {
        bed_width: 0.30,
        side_slope: 0.0,
        slope: 0.01,
    };
    close(rill.normal_depth(0.012_927, 0.013), 0.05, 1e-3);
}

/// Water held goes by the roughness of the lining. Chow (1959), table 5-6: trowelled concrete to 0.015,
/// against the 0.20 of a shallow stone stream: in a wide channel depth goes with n^0.6, (0.20 / 0.015)^0.6 = 4.73 times.
#[test]
fn a_rill_holds_water_by_its_lining() {
    let at = "/streams/rill/reaches/only";
    let smooth = ledger(&[RILL]);
    let flow = quantity(&smooth, "/streams/rill", "stream-flow");
    close(flow, quantity(&smooth, "/falls/lip", "fall-flow"), 1e-12);
    let rill = Section {
        bed_width: 0.30,
        side_slope: 0.0,
        slope: 0.01,
    };
    let n = Lining::SmoothConcrete.manning();
    let (least, most) = (n.least, n.most);
    close(
        quantity(&smooth, at, "reach-depth"),
        rill.normal_depth(flow, least),
        1e-9,
    );
    close(
        quantity(&smooth, at, "reach-water"),
        rill.area(rill.normal_depth(flow, most)) * 5.0,
        1e-9,
    );
    let unlined = r#"{ "streams": { "rill": { "reaches": { "only": { "lining": null } } } } }"#;
    let unknown = ledger(&[RILL, unlined]);
    let times = quantity(&unknown, at, "reach-water") / quantity(&smooth, at, "reach-water");
    assert!(times > 4.5, "{times}");
    let given = ledger(&[
        RILL,
        r#"{ "streams": { "rill": { "reaches": { "only": { "roughness": 0.013 } } } } }"#,
    ]);
    let depth = quantity(&given, at, "reach-depth");
    close(depth, quantity(&given, at, "reach-depth-rough"), 1e-12);
    close(
        rill.flow(depth, 0.013),
        quantity(&given, "/streams/rill", "stream-flow"),
        1e-9,
    );
}

/// Each lining in the order of its roughness: what it holds at the rough end.
#[test]
fn rougher_linings_hold_more() {
    let held = |lining: &str| {
        let patch = format!(
            r#"{{ "streams": {{ "rill": {{ "reaches": {{ "only": {{ "lining": "{lining}" }} }} }} }} }}"#
        );
        quantity(&ledger(&[RILL, &patch]), "/streams/rill", "stream-water")
    };
    let linings = ["smooth concrete", "dressed stone", "gravel", "grass"];
    let held: Vec<f64> = linings.iter().map(|lining| held(lining)).collect();
    assert!(held.windows(2).all(|pair| pair[0] < pair[1]), "{held:?}");
    let depth = |lining: &str| {
        let patch = format!(
            r#"{{ "streams": {{ "rill": {{ "reaches": {{ "only": {{ "lining": "{lining}" }} }} }} }} }}"#
        );
        quantity(
            &ledger(&[RILL, &patch]),
            "/streams/rill/reaches/only",
            "reach-depth",
        )
    };
    assert!(depth("gravel") < depth("cobbles") && depth("cobbles") < depth("boulders"));
}

/// SCS-TP-61, grass mixtures on easily eroded soil: 4 ft/s on slopes to 5 %, 3 ft/s on steeper ones.
#[test]
fn reference_grass_bears_a_published_velocity() {
    close(grass_velocity(0.05), 4.0 * 0.3048, 1e-12);
    close(grass_velocity(0.08), 3.0 * 0.3048, 1e-12);
    let at = "/streams/rill/reaches/only";
    let grass = ledger(&[
        RILL,
        r#"{ "streams": { "rill": { "reaches": { "only": { "lining": "grass" } } } } }"#,
    ]);
    let velocity = quantity(&grass, at, "reach-velocity");
    close(
        quantity(&grass, at, "lining-velocity-share"),
        velocity / (4.0 * 0.3048),
        1e-9,
    );
}

/// A stream that a fall feeds and a fall leaves, 0.20 m below the first crest and 0.60 m above the pond.
const CASCADE: &str = r#"{
  "lines": { "feed": { "check_valve": { "kind": "swing" } } },
  "falls": {
    "lip": { "to": "run", "stated_drop": "200 mm", "splash_margin": "0.3 m" },
    "step": { "from": "run", "to": "pond", "crest": "0.30 m", "width": "0.5 m", "edge": "thin lip", "stated_drop": "600 mm", "splash_margin": "0.3 m" }
  },
  "streams": { "run": { "head": "0.40 m", "end": "0.30 m", "reaches": {
    "only": { "length": "5 m", "drop": "100 mm", "bed_width": "0.5 m", "side_slope": "1:1", "stone": "60 mm", "loose": true, "liner_edge": "0.3 m" }
  } } }
}"#;

/// Drops by hand: 0.60 − 0.40 = 0.20 m into the stream, 0.30 − (−0.30) = 0.60 m into the pond; 0.40 − 0.30 − 0.10 = 0.
#[test]
fn drops_are_between_what_meets() {
    let all = ledger(&[CASCADE]);
    close(quantity(&all, "/falls/lip", "drop"), 0.20, 1e-12);
    close(quantity(&all, "/falls/step", "drop"), 0.60, 1e-12);
    close(quantity(&all, "/falls/lip", "splash-share"), 1.5, 1e-9);
    close(quantity(&all, "/falls/step", "splash-share"), 0.5, 1e-9);
    assert!(quantity(&all, "/falls/lip", "stated-drop-apart") < 1e-12);
    assert!(quantity(&all, "/falls/step", "stated-drop-apart") < 1e-12);
    assert!(quantity(&all, "/streams/run", "drops-left").abs() < 1e-12);
    let depth = quantity(&all, "/streams/run/reaches/only", "reach-depth");
    close(
        quantity(&all, "/falls/lip", "crest-above-receiver"),
        0.20 - depth,
        1e-9,
    );
}

/// What comes into the stream goes over the fall that leaves it, and the water in it is missing from the pond: the pond
/// of 5 m by 4 m falls by what stands up on the pool of 2 m by 2 m and in the stream, over 20 m².
#[test]
fn a_fall_leaves_a_stream() {
    let all = ledger(&[CASCADE]);
    let flow = quantity(&all, "/falls/lip", "fall-flow");
    close(quantity(&all, "/falls/step", "fall-flow"), flow, 1e-12);
    close(quantity(&all, "/pumps/main", "duty-flow"), flow, 1e-6);
    let pool = 4.0 * (quantity(&all, "/basins/pool", "running-level") - 0.60);
    let fallen = -0.30 - quantity(&all, "/basins/pond", "running-level");
    let stream = quantity(&all, "/streams/run", "stream-water");
    assert!(stream > 0.05, "{stream}");
    close(20.0 * fallen, pool + stream, 1e-6);
    let (plan, _) = patched(&[CASCADE]);
    let all_cases = run_scenarios(&plan, &Outcomes::default(), &[]);
    for (case, figure) in [("running", "running-level"), ("power-off", "power-off-level")] {
        let followed = all_cases
            .single
            .iter()
            .find(|followed| followed.name == case)
            .unwrap();
        for basin in &followed.outcome.as_ref().unwrap().basins {
            let told = all.quantity(&basin.at, figure).unwrap();
            assert!(
                (told - basin.end).abs() < 1e-4,
                "{case} {}: {told} and {}",
                basin.at,
                basin.end
            );
        }
    }
}

/// Drops by hand. With the end at 0.55 m: 0.60 − 0.55 − 0.05 = 0, whatever step leads down to the pond. Without it: the still
/// water of the pond, 0.60 − (−0.30) − 0.05 = 0.85 m left, and with drops of 1.1 m 0.2 m too much.
#[test]
fn a_last_step_into_the_pond_is_no_error_where_the_end_is_shown() {
    let at = "/streams/rill";
    let shown = ledger(&[RILL]);
    assert!(quantity(&shown, at, "drops-left").abs() < 1e-12);
    assert!(quantity(&shown, at, "drops-beyond").abs() < 1e-12);
    let without = r#"{ "streams": { "rill": { "end": null } } }"#;
    close(quantity(&ledger(&[RILL, without]), at, "drops-left"), 0.85, 1e-9);
    let too_much =
        r#"{ "streams": { "rill": { "end": null, "reaches": { "only": { "drop": "1.1 m" } } } } }"#;
    close(
        quantity(&ledger(&[RILL, too_much]), at, "drops-beyond"),
        0.2,
        1e-9,
    );
}

#[test]
fn streams_that_cannot_run_are_refused() {
    for (patch, words) in [
        (
            r#"{ "streams": { "run": { "head": "0.7 m" } } }"#,
            "lies above the crest that feeds it",
        ),
        (
            r#"{ "streams": { "run": { "end": "0.5 m" } } }"#,
            "lies above its head",
        ),
        (
            r#"{ "streams": { "run": { "ends_in": "pond" } } }"#,
            "ends in a basin and in a fall",
        ),
        (r#"{ "falls": { "step": { "from": "pool" } } }"#, "ends nowhere"),
        (
            r#"{ "falls": { "other": { "from": "run", "to": "pond", "crest": "0.3 m" } } }"#,
            "two falls leave the stream",
        ),
        (
            r#"{ "falls": { "step": { "to": "pool" } } }"#,
            "lead back to where they start",
        ),
        (
            r#"{ "falls": { "step": { "to": "run" } } }"#,
            "ends where it starts",
        ),
    ] {
        let (_, problems) = patched(&[CASCADE, patch]);
        assert!(
            problems.iter().any(|problem| problem.message.contains(words)),
            "{words}: {problems:?}"
        );
    }
}

/// A second line that ends at the head of the stream, at 0.45 m.
const INTO_STREAM: &str = r#"{
  "pumps": { "second": { "basin": "pond", "mount": "submerged", "curve": [["0 m3/h", "3 m"], ["6 m3/h", "2 m"], ["12 m3/h", "0.3 m"]] } },
  "lines": { "second": { "from": "second", "check_valve": { "kind": "swing" }, "runs": {
    "only": { "pipe": { "inside": "50 mm" }, "length": "8 m", "fittings": { "90 elbow": 1 }, "to": "run", "discharge": { "level": "0.45 m", "form": "free" } } } } }
}"#;

#[test]
fn a_line_ends_in_a_stream() {
    let all = ledger(&[CASCADE, INTO_STREAM]);
    let (fall, line) = (
        quantity(&all, "/falls/lip", "fall-flow"),
        quantity(&all, "/lines/second/runs/only", "run-flow"),
    );
    assert!(line > 1e-4, "{line}");
    close(quantity(&all, "/streams/run", "stream-flow"), fall + line, 1e-9);
    close(quantity(&all, "/falls/step", "fall-flow"), fall + line, 1e-9);
    // The pump lifts from the running level of the pond to the mouth of the line, and through its losses.
    let lift = 0.45 - quantity(&all, "/basins/pond", "running-level");
    let losses = quantity(&all, "/lines/second/runs/only", "run-head-loss");
    close(quantity(&all, "/pumps/second", "duty-head"), lift + losses, 1e-6);
    let pool = 4.0 * (quantity(&all, "/basins/pool", "running-level") - 0.60);
    let fallen = -0.30 - quantity(&all, "/basins/pond", "running-level");
    close(
        20.0 * fallen,
        pool + quantity(&all, "/streams/run", "stream-water"),
        1e-6,
    );
    let (plan, _) = patched(&[CASCADE, INTO_STREAM]);
    let all_cases = run_scenarios(&plan, &Outcomes::default(), &[]);
    let running = all_cases
        .single
        .iter()
        .find(|case| case.name == "running")
        .unwrap();
    for basin in &running.outcome.as_ref().unwrap().basins {
        let told = all.quantity(&basin.at, "running-level").unwrap();
        assert!(
            (told - basin.end).abs() < 1e-6,
            "{}: {told} and {}",
            basin.at,
            basin.end
        );
    }
}
