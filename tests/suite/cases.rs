//! Levels in every case, over whole plans.

use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    formulas::routing::{Ending, ShutReason},
    hydraulics::{BasinOutcome, Cases, LostBy, Outcome, case, cases},
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

fn followed(name: &str, changes: &[(&str, &str)]) -> (Opened, Cases) {
    let (_, opened) = opened(name, changes);
    let all = cases(&opened.plan, &[]);
    (opened, all)
}

fn outcome<'c>(all: &'c Cases, name: &str) -> &'c Outcome {
    let case = all.all().find(|case| case.name == name).unwrap();
    case.outcome.as_ref().unwrap()
}

fn basin<'o>(outcome: &'o Outcome, id: &str) -> &'o BasinOutcome {
    let place = Place::root().child("basins").child(id);
    outcome.basins.iter().find(|basin| basin.at == place).unwrap()
}

/// One truth for every number: what figures tell by algebra, following the water in time comes to.
#[test]
fn figures_and_cases_agree() {
    for name in [
        "courtyard-as-sent",
        "courtyard-retrofit",
        "mill-yard-metric",
        "two-ponds",
    ] {
        let (opened, all) = followed(name, &[]);
        let agree = |basin: &BasinOutcome, figure: &str, level: f64, within: f64| {
            let told = opened.ledger.quantity(&basin.at, figure).unwrap();
            let off = (told - level).abs();
            assert!(off <= within, "{name} {} {figure}: {told} and {level}", basin.at);
        };
        for basin in &outcome(&all, "running").basins {
            agree(basin, "running-level", basin.end, 1e-9);
        }
        // Settled to a tenth of a millimetre: a stream over rough stone runs out for a long time.
        for basin in &outcome(&all, "power-off").basins {
            agree(basin, "power-off-level", basin.end, 1e-4);
        }
        for basin in &outcome(&all, "start-up").basins {
            let lowest = opened.ledger.quantity(&basin.at, "start-up-level").unwrap();
            // While streams fill, the lowest basin may stand lower for a time than once all runs evenly.
            assert!(basin.lowest.level <= lowest + 2e-4, "{name} {}", basin.at);
        }
        for basin in &outcome(&all, "check-valve-leaks").basins {
            if let Some(told) = opened.ledger.quantity(&basin.at, "drain-back-level") {
                let spills = basin.over_rim > 0.0;
                let off = (told - basin.highest.level).abs();
                assert!(spills || off <= 1e-5, "{name} {}: {told} and {basin:?}", basin.at);
                assert!(!spills || told > basin.highest.level);
            }
        }
        for (case, figure) in [
            ("crest-half-blocked", "blocked-level"),
            ("storm", "storm-level"),
            ("make-up-stuck", "make-up-stuck-level"),
        ] {
            let case = all.all().find(|followed| followed.name == case).unwrap();
            let Ok(outcome) = &case.outcome else { continue };
            for basin in &outcome.basins {
                if opened.ledger.quantity(&basin.at, figure).is_some() {
                    agree(basin, figure, basin.highest.level, 1e-9);
                }
            }
        }
        for basin in &outcome(&all, "line-breaks").basins {
            if let Some(share) = opened.ledger.quantity(&basin.at, "left-when-line-breaks") {
                let still = opened.ledger.quantity(&basin.at, "still-volume").unwrap();
                assert!((basin.left / still - share).abs() < 1e-9, "{name} {}", basin.at);
            }
        }
    }
}

/// The careless plan: what its missing air inlet and its low rim come to, with the volumes.
#[test]
fn the_careless_plan_siphons_over_its_rim() {
    let (opened, all) = followed("courtyard-as-sent", &[]);
    let leaks = outcome(&all, "check-valve-leaks");
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
    assert_eq!(worst.name, "check-valve-leaks");
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
    let parts = vec![case("check-valve-leaks").unwrap(), case("storm").unwrap()];
    let all = cases(&opened.plan, &[parts]);
    let highest = |name: &str| basin(outcome(&all, name), "pond").highest.level;
    let both = all.asked[0].outcome.as_ref().unwrap();
    assert_eq!(all.asked[0].name, "check-valve-leaks+storm");
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

    fn gap(all: &Cases, name: &str) -> Gap {
        let case = all.all().find(|case| case.name == name).unwrap();
        case.outcome.clone().unwrap_err()
    }

    fn asks(all: &Cases, name: &str, place: &str) {
        match gap(all, name) {
            Gap::NotShown(places) => assert!(places.contains(&Place::from_pointer(place)), "{places:?}"),
            other => panic!("{name}: {other:?}"),
        }
    }

    fn patched(patch: &str) -> Result<(Opened, Cases), usize> {
        let (mut engine, loaded) = Engine::new();
        loaded.unwrap();
        let path = format!("{}/examples/courtyard-retrofit.jsonc", env!("CARGO_MANIFEST_DIR"));
        let source = engine.sources.add("plan", std::fs::read_to_string(path).unwrap());
        let patch = engine.sources.add("patch", patch);
        let patch = bywash::read::parse(&engine.sources, patch).unwrap();
        let opened = engine
            .open(source, vec![("patch".to_owned(), patch)])
            .map_err(|problems| problems.len())?;
        let all = cases(&opened.plan, &[]);
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
