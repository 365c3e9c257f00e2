//! Levels in every case, over whole plans.

use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    figures::SCENARIO_FIGURES,
    formulas::routing::{Ending, ShutReason},
    hydraulics::{BasinOutcome, LostBy, Outcome, ScenarioRuns, run_scenarios, scenario},
    read::Place,
    review::Review,
};

use super::changed;

const EXAMPLES: [&str; 6] = [
    "courtyard-as-sent",
    "courtyard-retrofit",
    "mill-yard-metric",
    "minimal",
    "starter",
    "two-ponds",
];

fn opened(name: &str, changes: &[(&str, &str)]) -> (Engine, Opened) {
    let written: Vec<String> = changes
        .iter()
        .map(|(place, value)| format!("{place}={value}"))
        .collect();
    let written: Vec<&str> = written.iter().map(String::as_str).collect();
    changed::example(name, &written)
}

fn followed(name: &str, changes: &[(&str, &str)]) -> (Opened, ScenarioRuns) {
    let (_, opened) = opened(name, changes);
    let all = run_scenarios(&opened.plan, &opened.outcomes, &[]);
    (opened, all)
}

fn outcome<'c>(all: &'c ScenarioRuns, name: &str) -> &'c Outcome {
    let case = all.all().find(|case| case.name == name).unwrap();
    case.outcome.as_ref().unwrap()
}

fn basin<'o>(outcome: &'o Outcome, id: &str) -> &'o BasinOutcome {
    let place = Place::root().child("basins").child(id);
    outcome.basins.iter().find(|basin| basin.at == place).unwrap()
}

/// The figures of a scenario and its row in the table are one number; running, the routed water stays where the steady
/// solution has it.
#[test]
fn figures_are_read_from_the_scenarios() {
    for name in [
        "courtyard-as-sent",
        "courtyard-retrofit",
        "mill-yard-metric",
        "two-ponds",
    ] {
        let (opened, all) = followed(name, &[]);
        for basin in &outcome(&all, "running").basins {
            let steady = opened.ledger.quantity(&basin.at, "running-level").unwrap();
            assert!((steady - basin.end).abs() <= 1e-9, "{name} {}", basin.at);
        }
        for figures in &SCENARIO_FIGURES {
            let run = all.all().find(|run| run.name == figures.scenario).unwrap();
            let Ok(outcome) = &run.outcome else { continue };
            for basin in &outcome.basins {
                let Some(level) = opened.ledger.quantity(&basin.at, figures.level.name) else {
                    continue;
                };
                let row = [basin.lowest.level, basin.highest.level, basin.end];
                let steady = figures.level.name == "running-level";
                assert!(
                    steady || row.contains(&level),
                    "{name} {} {level}",
                    figures.scenario
                );
            }
        }
    }
}

/// The water balance by algebra, where nothing but the circuit moves water: after power-off every litre that stood above
/// a crest, in a stream or in an empty line is back in the lowest basin, which then stands as it was filled.
#[test]
fn after_power_off_the_lowest_basin_stands_as_the_balance_says() {
    for (name, lowest) in [("courtyard-retrofit", "pond"), ("mill-yard-metric", "pond")] {
        let (_, all) = followed(name, &[("/water/make_up", "none")]);
        let off = basin(outcome(&all, "power-off"), lowest);
        let still = basin(outcome(&all, "still"), lowest).end;
        assert!((off.end - still).abs() < 1e-6, "{name}: {} and {still}", off.end);
    }
}

/// The careless plan: what its missing air inlet and its low rim come to, with the volumes.
#[test]
fn the_careless_plan_siphons_over_its_rim() {
    let (opened, all) = followed("courtyard-as-sent", &[]);
    // Its overflow takes what comes; once a leaf is on it, the rim does.
    assert_eq!(basin(outcome(&all, "check-valve-leaks"), "pond").over_rim, 0.0);
    let leaks = outcome(&all, "check-valve-leaks+overflow-blocked");
    let (pond, bed) = (basin(leaks, "pond"), basin(leaks, "bed"));
    assert_eq!(leaks.siphons.len(), 1);
    assert_eq!(leaks.siphons[0].stop, Some(ShutReason::LevelsMet));
    assert!(pond.over_rim > 0.2 && pond.rim_reached.is_some());
    // What left over the rim is what the bed lost beyond what the pond could take.
    let before = |at: &Place, figure| opened.ledger.quantity(at, figure).unwrap();
    let (pond_at, bed_at) = (&pond.at, &bed.at);
    assert!(bed.lowest.level < before(bed_at, "running-level") - 0.4);
    assert!(pond.highest.level > before(pond_at, "power-off-level"));
    assert!(pond.freeboard.unwrap() < 0.0);
    assert_eq!(leaks.lost.len(), 1);
    assert_eq!(leaks.lost[0].by, LostBy::Rim);
    // Its freeboard is gone with the edge settled in the storm, and all but gone with crests blocked.
    assert!(basin(outcome(&all, "edge-settled+storm"), "pond").over_rim > 0.5);
    assert!(basin(outcome(&all, "edge-settled"), "bed").freeboard.unwrap() < 0.005);
    let worst = bywash::hydraulics::worst(&all.single).unwrap();
    assert_eq!(worst.name, "storm+overflow-blocked");
}

fn short(review: &Review) -> Vec<String> {
    let mut rules: Vec<String> = review
        .findings
        .iter()
        .map(|finding| finding.rule.clone())
        .collect();
    rules.sort();
    rules
}

/// Taking the air inlet out of the sound plan raises what a missing air inlet means, and nothing else.
#[test]
fn without_its_air_inlet_the_sound_plan_falls_short_of_just_that() {
    let reviewed = |changes: &[(&str, &str)]| {
        let (engine, opened) = opened("courtyard-retrofit", changes);
        short(&engine.review(&opened, ReviewOptions::default()))
    };
    assert!(reviewed(&[]).is_empty());
    let none = [("/lines/feed/air_inlet", "none")];
    assert_eq!(reviewed(&none), ["line-air-inlet"]);
    // With as little freeboard as the slice above the inlet needs, the siphon floods the pond: one fault, two findings.
    let low = ("/basins/pond/rim", "-10.5 in");
    let with_inlet = reviewed(&[low]);
    let mut without = reviewed(&[low, none[0]]);
    without.retain(|rule| !with_inlet.contains(rule));
    assert_eq!(without, ["basin-freeboard-check-leaks", "line-air-inlet"]);
    let (_, all) = followed("courtyard-retrofit", &[low, none[0]]);
    assert!(basin(outcome(&all, "check-valve-leaks"), "pond").over_rim > 0.1);
    assert_eq!(basin(outcome(&all, "power-off"), "pond").over_rim, 0.0);
}

/// Every shipped plan: each case settles, or says what it lacks; nothing is lost that is not told; no level lies below a
/// floor.
#[test]
fn every_case_of_every_example_ends_honestly() {
    for name in EXAMPLES {
        let (opened, all) = followed(name, &[]);
        for case in all.all() {
            let Ok(outcome) = &case.outcome else { continue };
            assert_eq!(outcome.ending, Ending::Settled, "{name} {}", case.name);
            let over: f64 = outcome.over_rims();
            let told: f64 = outcome
                .lost
                .iter()
                .filter(|lost| lost.by == LostBy::Rim)
                .map(|lost| lost.volume)
                .sum();
            assert!((over - told).abs() < 1e-12);
            for basin in &outcome.basins {
                assert!(basin.lowest.level <= basin.highest.level && basin.left_depth >= 0.0);
                assert!(basin.over_rim == 0.0 || basin.freeboard.unwrap() <= 0.0);
            }
        }
        assert_eq!(
            all.missing.len()
                + all.single.first().map_or(0, |case| {
                    case.outcome.as_ref().map_or(0, |outcome| outcome.basins.len())
                }),
            opened.plan.basins.len(),
            "{name}"
        );
    }
}

/// A combination supposes what its parts do: the storm on top of a siphon is worse than either where overflows are out.
#[test]
fn combinations_join_what_their_parts_suppose() {
    let changes = [
        ("/basins/pond/overflow", "none"),
        ("/lines/feed/air_inlet", "none"),
    ];
    let (_, opened) = opened("courtyard-retrofit", &changes);
    let parts = vec![scenario("check-valve-leaks").unwrap(), scenario("storm").unwrap()];
    let all = run_scenarios(&opened.plan, &opened.outcomes, &[parts]);
    let highest = |name: &str| basin(outcome(&all, name), "pond").highest.level;
    let both = all.named[0].outcome.as_ref().unwrap();
    assert_eq!(all.named[0].name, "check-valve-leaks+storm");
    let both = basin(both, "pond").highest.level;
    assert!(both > highest("storm") && both > highest("check-valve-leaks"));
}

/// With the pump's level low and its intake high, it draws air at start-up and counts as stopped: no chatter.
#[test]
fn a_pump_that_draws_air_at_start_up_stays_off() {
    let changes = [
        ("/pumps/main/intake", "-12.1 in"),
        ("/pumps/main/low_level_cut_off", "none"),
        ("/water/make_up", "none"),
    ];
    let (_, all) = followed("courtyard-retrofit", &changes);
    let start = outcome(&all, "start-up");
    assert_eq!(start.ending, Ending::Settled);
    assert_eq!(start.stopped.len(), 1);
    assert_eq!(start.stopped[0].why, ShutReason::Intake);
    assert!(start.stopped[0].time > 0.0);
    let low = outcome(&all, "start-up-low");
    assert_eq!(low.stopped[0].time, 0.0);
}

mod bad {
    use super::*;
    use bywash::ledger::Gap;

    fn gap(all: &ScenarioRuns, name: &str) -> Gap {
        let case = all.all().find(|case| case.name == name).unwrap();
        case.outcome.clone().unwrap_err()
    }

    fn asks(all: &ScenarioRuns, name: &str, place: &str) {
        match gap(all, name) {
            Gap::NotShown(places) => assert!(places.contains(&Place::from_pointer(place)), "{places:?}"),
            other => panic!("{name}: {other:?}"),
        }
    }

    fn patched(patch: &str) -> Result<(Opened, ScenarioRuns), usize> {
        let (mut engine, loaded) = Engine::new();
        loaded.unwrap();
        let path = format!("{}/examples/courtyard-retrofit.jsonc", env!("CARGO_MANIFEST_DIR"));
        let source = engine.sources.add("plan", std::fs::read_to_string(path).unwrap());
        let patch = engine.sources.add("patch", patch);
        let patch = bywash::read::parse(&engine.sources, patch).unwrap();
        let opened = engine
            .open(source, vec![("patch".to_owned(), patch)])
            .map_err(|problems| problems.len())?;
        let all = run_scenarios(&opened.plan, &opened.outcomes, &[]);
        Ok((opened, all))
    }

    /// A basin without an area is a question, in every case that needs it, and no case is made up.
    #[test]
    fn a_basin_without_area_is_asked_for() {
        let (opened, all) = patched(r#"{ "basins": { "pond": { "shape": null } } }"#).unwrap();
        assert!(!all.missing.is_empty());
        asks(&all, "storm", "/basins/pond/shape");
        let pond = Place::from_pointer("/basins/pond");
        assert!(opened.ledger.quantity(&pond, "freeboard-storm").is_none());
    }

    #[test]
    fn what_a_case_needs_and_the_plan_leaves_out_is_asked_for() {
        for (patch, case, place) in [
            (r#"{ "site": { "catchment": null } }"#, "storm", "/site/catchment"),
            (
                r#"{ "site": { "design_storm": null } }"#,
                "storm",
                "/site/design_storm",
            ),
            (
                r#"{ "basins": { "pond": { "overflow": null } } }"#,
                "storm",
                "/basins/pond/overflow",
            ),
            (
                r#"{ "basins": { "pond": { "overflow": { "width": null } } } }"#,
                "make-up-stuck",
                "/basins/pond/overflow/width",
            ),
            (
                r#"{ "water": { "make_up": { "flow": null } } }"#,
                "make-up-stuck",
                "/water/make_up/flow",
            ),
            (
                r#"{ "water": { "make_up": null } }"#,
                "make-up-stuck",
                "/water/make_up",
            ),
        ] {
            let (_, all) = patched(patch).unwrap();
            asks(&all, case, place);
            assert!(outcome(&all, "power-off").basins.len() == 2, "{patch}");
        }
    }

    #[test]
    fn no_make_up_is_no_case() {
        let (_, all) = patched(r#"{ "water": { "make_up": "none" } }"#).unwrap();
        assert!(matches!(gap(&all, "make-up-stuck"), Gap::DoesNotApply(_)));
    }

    /// An air inlet above the running level lets nothing siphon; below the mouth it never meets air before the mouth.
    #[test]
    fn an_air_inlet_out_of_place_is_followed_as_it_stands() {
        let (_, all) = patched(r#"{ "lines": { "feed": { "air_inlet": { "level": "+14 in" } } } }"#).unwrap();
        let leaks = outcome(&all, "check-valve-leaks");
        assert_eq!(leaks.siphons[0].volume, 0.0);
        assert_eq!(leaks.siphons[0].stop, Some(ShutReason::AirInlet));
        let (_, all) = patched(
            r#"{ "lines": { "feed": { "air_inlet": { "level": "-24 in" },
                "runs": { "riser": { "discharge": { "level": "+2 in" } } } } } }"#,
        )
        .unwrap();
        let leaks = outcome(&all, "check-valve-leaks");
        assert_eq!(leaks.siphons[0].stop, Some(ShutReason::Mouth));
    }

    /// Contours that overlap are refused by a reason, not followed.
    #[test]
    fn overlapping_contours_are_no_basin() {
        let patch = r#"{ "basins": { "pond": { "shape": null, "contours": [
            { "level": "-5 ft", "area": "60 ft2" }, { "level": "-2 ft", "area": "120 ft2" },
            { "level": "-3 ft", "area": "150 ft2" }, { "level": "-6 in", "area": "176 ft2" } ] } } }"#;
        // Either the plan is refused with its place, or every case says why it is not followed.
        match patched(patch) {
            Err(problems) => assert!(problems > 0),
            Ok((_, all)) => assert!(all.single.iter().all(|case| case.outcome.is_err())),
        }
    }

    #[test]
    fn no_pond_to_drain_to_is_a_question() {
        let patch = r#"{ "pumps": { "main": { "basin": null } } }"#;
        if let Ok((_, all)) = patched(patch) {
            for name in ["running", "check-valve-leaks", "storm"] {
                let case = all.all().find(|case| case.name == name).unwrap();
                let siphons = case.outcome.as_ref().map_or(0, |outcome| outcome.siphons.len());
                assert_eq!(siphons, 0, "{name}");
            }
            assert!(!all.missing.is_empty() || outcome(&all, "running").siphons.is_empty());
        }
    }
}
