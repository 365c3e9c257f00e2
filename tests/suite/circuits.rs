//! Circuits of several pumps, meeting runs, gravity lines and drowned crests: laws they must keep, and what is told
//! where they cannot run.

mod crests;
mod jets;
mod losses;
mod make_up;
mod refused;
mod stone;
mod streams;

use bywash::{
    figures,
    formulas::{
        gravity_pipe::{self, Mouth},
        pipe, water, weir,
    },
    hydraulics,
    ledger::{Found, Gap, Ledger},
    plan::Plan,
    read::{Patched, Place, Problem, Sources, parse},
};

/// A pond, a bed above it, a pump and a fall; cases patch it.
const PLAN: &str = r#"{
  "format": "bywash plan 1",
  "water": { "coldest": "10 °C", "warmest": "20 °C", "make_up": "none" },
  "basins": {
    "pond": {
      "kind": "pond", "still": "-0.30 m", "rim": "0 m", "floor": "-1.50 m",
      "shape": { "form": "rectangle", "length": "5 m", "width": "4 m", "side_slope": "0:1" }
    },
    "pool": {
      "kind": "pool", "still": "0.60 m", "rim": "0.95 m", "floor": "-0.2 m",
      "shape": { "form": "rectangle", "length": "2 m", "width": "2 m", "side_slope": "0:1" }
    }
  },
  "pumps": {
    "main": { "basin": "pond", "mount": "submerged", "curve": [["0 m3/h", "4 m"], ["8 m3/h", "3 m"], ["16 m3/h", "0.5 m"]] }
  },
  "lines": {
    "feed": {
      "from": "main",
      "check_valve": "none",
      "runs": {
        "main": { "pipe": { "inside": "60 mm" }, "length": "12 m", "fittings": { "90 elbow": 3 }, "to": "pool", "discharge": { "level": "0.3 m", "form": "submerged" } }
      }
    }
  },
  "falls": {
    "lip": { "from": "pool", "to": "pond", "crest": "0.60 m", "width": "0.6 m", "edge": "thin lip" }
  }
}"#;

fn patched(patches: &[&str]) -> (Plan, Vec<Problem>) {
    let mut sources = Sources::default();
    let source = sources.add("plan", PLAN);
    let mut patched = Patched::new(parse(&sources, source).unwrap());
    for patch in patches {
        let source = sources.add("patch", *patch);
        patched.apply(parse(&sources, source).unwrap());
    }
    let plan = Plan::from_tree(&patched.root).unwrap();
    let problems = plan.problems(&patched.root);
    (plan, problems)
}

fn ledger(patches: &[&str]) -> Ledger {
    let (plan, problems) = patched(patches);
    assert!(problems.is_empty(), "{problems:?}");
    figures::compute(&plan)
}

fn quantity(ledger: &Ledger, at: &str, name: &str) -> f64 {
    let figure = ledger.get(&Place::from_pointer(at), name).unwrap();
    match &figure.answer {
        Ok(Found::Quantity(si)) => *si,
        other => panic!("{name} at {at}: {other:?}"),
    }
}

/// Why a pump is off its curve, and the place blamed.
fn off_curve(ledger: &Ledger, pump: &str) -> (String, String) {
    match &ledger
        .get(&Place::from_pointer(pump), "within-curve")
        .unwrap()
        .answer
    {
        Ok(Found::Verdict {
            holds: false,
            because,
            at,
        }) => (because.clone(), at.as_ref().unwrap().as_str().to_owned()),
        other => panic!("{other:?}"),
    }
}

fn close(a: f64, b: f64, share: f64) {
    assert!((a - b).abs() <= share * a.abs().max(b.abs()), "{a} and {b}");
}

const WEAK: &str = r#"{
  "pumps": {
    "main": { "check_valve": { "kind": "swing" } },
    "weak": { "basin": "pond", "mount": "submerged", "curve": [["0 m3/h", "1.0 m"], ["3 m3/h", "0.2 m"]], "check_valve": { "kind": "swing" } }
  },
  "lines": { "feed": { "from": ["main", "weak"] } }
}"#;
const OWN_VALVE: &str = r#"{ "pumps": { "main": { "check_valve": { "kind": "swing" } } } }"#;

#[test]
fn a_weak_pump_behind_its_own_check_valve_is_dead_headed_and_told() {
    let (both, alone) = (ledger(&[WEAK]), ledger(&[OWN_VALVE]));
    assert_eq!(quantity(&both, "/pumps/weak", "duty-flow"), 0.0);
    close(
        quantity(&both, "/pumps/main", "duty-flow"),
        quantity(&alone, "/pumps/main", "duty-flow"),
        1e-9,
    );
    let (because, at) = off_curve(&both, "/pumps/weak");
    assert!(
        because.contains("moves no water") && because.contains("check valve keeps"),
        "{because}"
    );
    assert_eq!(at, "/pumps/weak/curve");
    let bare = ledger(&[WEAK, r#"{ "pumps": { "weak": { "check_valve": "none" } } }"#]);
    assert!(
        off_curve(&bare, "/pumps/weak")
            .0
            .contains("water runs back through it")
    );
    assert!(
        quantity(&alone, "/pumps/main", "duty-flow") < quantity(&ledger(&[]), "/pumps/main", "duty-flow")
    );
}

#[test]
fn like_pumps_share_alike_and_move_less_than_twice_one() {
    let twin = r#"{
      "pumps": { "twin": { "basin": "pond", "mount": "submerged", "check_valve": { "kind": "swing" },
        "curve": [["0 m3/h", "4 m"], ["8 m3/h", "3 m"], ["16 m3/h", "0.5 m"]] } },
      "lines": { "feed": { "from": ["main", "twin"] } }
    }"#;
    let (both, alone) = (ledger(&[OWN_VALVE, twin]), ledger(&[OWN_VALVE]));
    let (one, other) = (
        quantity(&both, "/pumps/main", "duty-flow"),
        quantity(&both, "/pumps/twin", "duty-flow"),
    );
    let single = quantity(&alone, "/pumps/main", "duty-flow");
    close(one, other, 1e-9);
    assert!(one + other > 1.05 * single && one < single, "{one} {single}");
    close(
        quantity(&both, "/lines/feed/runs/main", "run-flow"),
        one + other,
        1e-9,
    );
    close(quantity(&both, "/falls/lip", "fall-flow"), one + other, 1e-9);
}

/// Two like pumps in series do as one with twice the head at each flow.
#[test]
fn pumps_in_series_add_their_heads() {
    let chained = r#"{
      "pumps": {
        "main": { "curve": [["0 m3/h", "2 m"], ["8 m3/h", "1.5 m"], ["16 m3/h", "0.25 m"]] },
        "booster": { "basin": "pond", "after": "main", "mount": "submerged",
          "curve": [["0 m3/h", "2 m"], ["8 m3/h", "1.5 m"], ["16 m3/h", "0.25 m"]] }
      },
      "lines": { "feed": { "from": "booster", "runs": { "main": { "pipe": { "pressure_rating": "1 bar" } } } } }
    }"#;
    let (two, one) = (ledger(&[chained]), ledger(&[]));
    let flow = quantity(&one, "/pumps/main", "duty-flow");
    close(quantity(&two, "/pumps/main", "duty-flow"), flow, 1e-8);
    close(quantity(&two, "/pumps/booster", "duty-flow"), flow, 1e-8);
    close(
        quantity(&two, "/basins/pond", "running-level"),
        quantity(&one, "/basins/pond", "running-level"),
        1e-9,
    );
    // 4 m of water shut off against 1 bar.
    close(
        quantity(&two, "/lines/feed/runs/main", "pressure-share"),
        4.0 * 9806.65 / 1e5,
        1e-9,
    );
}

const RING: &str = r#"{
  "lines": { "feed": { "runs": {
    "main": { "to": null, "discharge": null },
    "left": { "after": "main", "pipe": { "inside": "40 mm" }, "length": "6 m", "fittings": { "tee run": 1 } },
    "right": { "after": "main", "joins": "left", "pipe": { "inside": "50 mm" }, "length": "25 m", "fittings": { "tee branch": 1 } },
    "tail": { "after": "right", "pipe": { "inside": "60 mm" }, "length": "2 m", "fittings": {}, "to": "pool", "discharge": { "level": "0.3 m", "form": "submerged" } }
  } } }
}"#;

#[test]
fn two_ways_that_meet_again_lose_the_same_head_and_share_the_flow() {
    let ring = ledger(&[RING]);
    let run = |id: &str, name: &str| quantity(&ring, &format!("/lines/feed/runs/{id}"), name);
    close(run("left", "run-head-loss"), run("right", "run-head-loss"), 1e-8);
    close(
        run("left", "run-flow") + run("right", "run-flow"),
        run("main", "run-flow"),
        1e-9,
    );
    close(run("tail", "run-flow"), run("main", "run-flow"), 1e-9);
    assert!(run("left", "run-flow") > 1e-4 && run("right", "run-flow") > 1e-4);
}

/// The pump stands in a well beside the pond, fed through a skimmer and 4 in pipe.
const SKIMMED: &str = r#"{
  "basins": { "well": {
    "kind": "reservoir", "still": "-0.30 m", "rim": "0 m", "floor": "-1.40 m",
    "shape": { "form": "rectangle", "length": "1 m", "width": "0.8 m", "side_slope": "0:1" }
  } },
  "pumps": { "main": { "basin": "well" } },
  "drains": { "skimmer": {
    "from": "pond", "to": "well",
    "mouth": { "form": "skimmer", "level": "-0.36 m", "width": "0.3 m" },
    "run": { "pipe": { "inside": "102 mm" }, "length": "3 m", "fittings": { "90 elbow": 2 } }
  } }
}"#;

/// Levels, m.
fn running(ledger: &Ledger, basin: &str) -> f64 {
    quantity(ledger, &format!("/basins/{basin}"), "running-level")
}

#[test]
fn a_gravity_fed_pump_basin_stands_lower_by_the_drawdown_and_no_water_is_lost() {
    let skimmed = ledger(&[SKIMMED]);
    let flow = quantity(&skimmed, "/drains/skimmer", "drain-flow");
    close(flow, quantity(&skimmed, "/pumps/main", "duty-flow"), 1e-8);
    let (pond, well, pool) = (
        running(&skimmed, "pond"),
        running(&skimmed, "well"),
        running(&skimmed, "pool"),
    );
    assert!(well < pond - 0.005 && pond < -0.30, "{pond} {well}");
    close(
        quantity(&skimmed, "/drains/skimmer", "drawdown"),
        pond - well,
        1e-9,
    );
    let fittings = bywash::formulas::fittings::k("90 elbow", 0.102).unwrap();
    let drain = gravity_pipe::GravityPipe {
        mouth: Mouth::Lip { width: 0.3 },
        level: -0.36,
        pipe: pipe::Run::new(0.102, 3.0, 1.5e-6).with_k(2.0 * fittings + 1.5),
    };
    let nu = water::kinematic_viscosity(273.15 + 15.0);
    close(gravity_pipe::level_for_flow(&drain, flow, well, nu), pond, 1e-6);
    let change = 20.0 * (pond + 0.30) + 0.8 * (well + 0.30) + 4.0 * (pool - 0.60);
    assert!((change + IN_PIPES).abs() < 1e-6, "{change} m³ lost or made");
}

/// Water in the line, which no check valve keeps full at rest: π/4·(0.06 m)²·12 m.
const IN_PIPES: f64 = std::f64::consts::FRAC_PI_4 * 0.06 * 0.06 * 12.0;

/// A check valve that holds.
const HOLDS: &str = r#"{ "lines": { "feed": { "check_valve": { "kind": "swing" } } } }"#;

/// Communicating vessels by the water balance alone: once the pumps rest behind a valve that holds, pond and well come
/// to one level again with what the pool gives back, the still level they were filled to.
#[test]
fn joined_basins_come_to_one_level_after_power_off() {
    let (plan, _) = patched(&[SKIMMED, HOLDS]);
    let runs = hydraulics::run_scenarios(&plan, &hydraulics::Outcomes::default(), &[]);
    let off = runs.all().find(|run| run.name == "power-off").unwrap();
    for basin in &off.outcome.as_ref().unwrap().basins {
        let balance = if basin.at.to_string().ends_with("pool") {
            0.60
        } else {
            -0.30
        };
        assert!((basin.end - balance).abs() < 1e-6, "{} {}", basin.at, basin.end);
    }
}

#[test]
fn a_narrow_drain_pipe_governs_and_draws_the_well_down() {
    let narrow = r#"{ "drains": { "skimmer": { "run": { "pipe": { "inside": "70 mm" } } } } }"#;
    let verdict = |ledger: &Ledger| match &ledger
        .get(&Place::from_pointer("/drains/skimmer"), "lip-governs")
        .unwrap()
        .answer
    {
        Ok(Found::Verdict { holds, because, .. }) => (*holds, because.clone()),
        other => panic!("{other:?}"),
    };
    let (wide, tight) = (ledger(&[SKIMMED]), ledger(&[SKIMMED, narrow]));
    assert!(
        quantity(&tight, "/drains/skimmer", "drawdown")
            > 1.5 * quantity(&wide, "/drains/skimmer", "drawdown")
    );
    assert_eq!(verdict(&tight), (false, "the full pipe sets the flow".to_owned()));
    let lip = r#"{ "drains": { "skimmer": { "mouth": { "width": "0.15 m", "level": "-0.33 m" }, "run": { "pipe": { "inside": "150 mm" } } } } }"#;
    assert!(verdict(&ledger(&[SKIMMED, lip])).0);
    let drowned =
        r#"{ "drains": { "skimmer": { "mouth": { "form": "bottom drain", "level": "-1.4 m" } } } }"#;
    let bottom = ledger(&[SKIMMED, drowned]);
    assert!(running(&bottom, "well") < running(&bottom, "pond"));
    assert!(
        bottom
            .get(&Place::from_pointer("/drains/skimmer"), "lip-governs")
            .is_none()
    );
}

/// A second pool below the first whose narrow crest backs the water up over the crest above it.
const DROWNED: &str = r#"{
  "basins": { "lower": {
    "kind": "pool", "still": "0.58 m", "rim": "0.9 m", "floor": "-0.2 m",
    "shape": { "form": "rectangle", "length": "2 m", "width": "2 m", "side_slope": "0:1" }
  } },
  "falls": {
    "lip": { "to": "lower" },
    "out": { "from": "lower", "to": "pond", "crest": "0.58 m", "width": "0.25 m", "edge": "broad stone" }
  }
}"#;

#[test]
fn a_drowned_crest_passes_less_and_backs_the_water_up() {
    let drowned = ledger(&[DROWNED]);
    let flow = quantity(&drowned, "/falls/lip", "fall-flow");
    close(flow, quantity(&drowned, "/falls/out", "fall-flow"), 1e-8);
    let crest = weir::Crest::in_open_water(weir::Edge::ThinLip, 0.6);
    let (above, below) = (
        running(&drowned, "pool") - 0.60,
        running(&drowned, "lower") - 0.60,
    );
    assert!(below > 0.0, "the lower pool stands over the crest");
    close(weir::submerged_discharge(&crest, above, below), flow, 1e-6);
    close(quantity(&drowned, "/falls/lip", "crest-head"), above, 1e-9);
    assert!(
        above > weir::head_for_flow(&crest, flow),
        "more head than a free crest needs"
    );
}

#[test]
fn fouled_lines_carry_less_and_unfouled_ones_the_same() {
    let usual = ledger(&[]);
    let share = quantity(&usual, "/pumps/main", "fouled-flow-share");
    assert!((0.7..0.99).contains(&share), "{share}");
    let none = r#"{ "upkeep": { "fouling": { "loss_factor": 1, "roughness": "0 mm" } } }"#;
    close(
        quantity(&ledger(&[none]), "/pumps/main", "fouled-flow-share"),
        1.0,
        1e-12,
    );
    let worse = r#"{ "upkeep": { "fouling": { "loss_factor": 3, "roughness": "0.5 mm" } } }"#;
    assert!(quantity(&ledger(&[worse]), "/pumps/main", "fouled-flow-share") < share);
    assert!(usual.assumptions().iter().any(|text| text.contains("1.5 times")));
    assert!(
        !ledger(&[worse])
            .assumptions()
            .iter()
            .any(|text| text.contains("1.5 times"))
    );
}

/// Two basins, each pumped into the other, with no fall to even them out.
#[test]
fn basins_that_only_pumps_join_have_no_steady_level() {
    let crossed = r#"{
      "falls": null,
      "pumps": { "back": { "basin": "pool", "mount": "submerged", "curve": [["0 m3/h", "3 m"], ["20 m3/h", "0.1 m"]] } },
      "lines": { "back": { "from": "back", "check_valve": "none", "runs": {
        "back": { "pipe": { "inside": "50 mm" }, "length": "8 m", "fittings": {}, "to": "pond", "discharge": { "level": "1.2 m", "form": "free" } }
      } } }
    }"#;
    let crossed = ledger(&[crossed]);
    assert!(quantity(&crossed, "/pumps/main", "duty-flow") > 0.0);
    let level = crossed
        .get(&Place::from_pointer("/basins/pond"), "running-level")
        .unwrap();
    match &level.answer {
        Err(Gap::NotComputed(why)) => assert!(why.contains("loses more water"), "{why}"),
        other => panic!("{other:?}"),
    }
}

/// Every mouth, pipe, lip and crest of this grid settles, keeps its water and lets through what is pumped, or empties
/// the well and says so: a high lip wants more water in the pond than the well has to give.
#[test]
fn drains_and_drowned_crests_of_all_sizes_settle() {
    let forms = ["skimmer", "standpipe", "wall pipe", "bottom drain"];
    let (mut settled, mut emptied) = (0, 0);
    for form in forms {
        for bore in [90, 110, 160] {
            for lip in [-0.45, -0.34, -0.31] {
                for crest in [0.2, 0.35, 1.0] {
                    let patch = format!(
                        r#"{{ "drains": {{ "skimmer": {{ "mouth": {{ "form": "{form}", "level": "{lip} m" }},
                        "run": {{ "pipe": {{ "inside": "{bore} mm" }} }} }} }},
                        "falls": {{ "out": {{ "width": "{crest} m" }} }} }}"#
                    );
                    let found = ledger(&[SKIMMED, DROWNED, &patch]);
                    if found
                        .quantity(&Place::from_pointer("/pumps/main"), "duty-flow")
                        .is_none()
                    {
                        let (because, at) = off_curve(&found, "/pumps/main");
                        assert!(because.contains("\"well\" is pumped empty"), "{patch}: {because}");
                        assert_eq!(at, "/pumps/main/basin");
                        emptied += 1;
                        continue;
                    }
                    let level = |basin: &str| {
                        let at = Place::from_pointer(&format!("/basins/{basin}"));
                        found.quantity(&at, "running-level").unwrap_or_else(|| {
                            panic!("{patch}: {:?}", found.get(&at, "running-level").unwrap().answer)
                        })
                    };
                    let pumped = quantity(&found, "/pumps/main", "duty-flow");
                    close(quantity(&found, "/drains/skimmer", "drain-flow"), pumped, 1e-8);
                    close(quantity(&found, "/falls/lip", "fall-flow"), pumped, 1e-8);
                    close(quantity(&found, "/falls/out", "fall-flow"), pumped, 1e-8);
                    let change = 20.0 * (level("pond") + 0.30)
                        + 0.8 * (level("well") + 0.30)
                        + 4.0 * (level("pool") - 0.60)
                        + 4.0 * (level("lower") - 0.58);
                    assert!(
                        (change + IN_PIPES).abs() < 1e-6,
                        "{patch}: {change} m³ lost or made"
                    );
                    settled += 1;
                }
            }
        }
    }
    assert!(
        settled > 70 && emptied > 0,
        "{settled} settled, {emptied} emptied"
    );
}
