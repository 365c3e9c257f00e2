//! The small figures of rules that keep people from harm.

use bywash::ledger::Found;

use super::{answer, hold, reach::falls_short};

/// An inch, m.
const INCH: f64 = 0.0254;

#[test]
fn a_word_that_no_barrier_is_required_needs_authority_name_and_date() {
    const AUTHORITY: &str = "/site/barrier_not_required/authority=county building department";
    const NAME: &str = "/site/barrier_not_required/name=R. Ilves";
    const DATE: &str = "/site/barrier_not_required/date=2026-03-18";
    const NONE: &str = "/site/barrier=none";
    const LEFT_OUT: &str = "/site/barrier=null";
    let of = "barrier-or-waiver";
    hold(&[
        (&[NONE], "", of, "no /site/barrier"),
        (&[NONE, AUTHORITY, NAME, DATE], "", of, "yes"),
        (&[LEFT_OUT, AUTHORITY, NAME, DATE], "", of, "yes"),
        (
            &[NONE, NAME],
            "",
            of,
            "asks /site/barrier_not_required/authority /site/barrier_not_required/date",
        ),
        (
            &[NONE, AUTHORITY, DATE],
            "",
            of,
            "asks /site/barrier_not_required/name",
        ),
        (
            &[LEFT_OUT, AUTHORITY, NAME],
            "",
            of,
            "asks /site/barrier_not_required/date",
        ),
        (
            &[NONE, AUTHORITY, "/site/barrier_not_required/name=none", DATE],
            "",
            of,
            "no /site/barrier_not_required/name",
        ),
        // A barrier stands, whatever is recorded.
        (&[AUTHORITY], "", of, "yes"),
    ]);
}

#[test]
fn a_circuit_is_near_the_water_where_what_it_feeds_or_its_receptacle_is() {
    const FAR: &str = "/electrical/circuits/pump/distance=25 ft";
    let (at, of) = ("/electrical/circuits/pump", "near-water");
    hold(&[
        (&[FAR], at, of, "yes"),
        (
            &[FAR, "/electrical/circuits/pump/receptacle=21 ft"],
            at,
            of,
            "no /electrical/circuits/pump/distance",
        ),
        (
            &[FAR, "/electrical/circuits/pump/receptacle=none"],
            at,
            of,
            "no /electrical/circuits/pump/distance",
        ),
        (
            &[FAR, "/electrical/circuits/pump/receptacle=null"],
            at,
            of,
            "asks /electrical/circuits/pump/receptacle",
        ),
        (
            &[
                "/electrical/circuits/pump/distance=20 ft",
                "/electrical/circuits/pump/receptacle=none",
            ],
            at,
            of,
            "yes",
        ),
    ]);
}

#[test]
fn open_water_is_what_stands_over_the_stone_and_only_deep_water_settles_it_early() {
    const SHALLOW: &str = "/basins/pond/floor=-32 in";
    const STONE_IN_THE_POND: &str = "/basins/pond/layers/gravel={\"fill\":\"stone\",\"thickness\":\"30 in\"}";
    let (of, anywhere) = ("open-water-depth", "deepest-water-anywhere");
    hold(&[
        (&[], "/basins/pond", of, "1.2192"),
        // The bed's stone reaches 1 in under its still level.
        (&[], "/basins/bed", of, "0.0254"),
        (
            &["/basins/bed/layers/finishing/thickness=1 in"],
            "/basins/bed",
            of,
            "0.1524",
        ),
        // Modules alone can be lifted out.
        (
            &[
                "/basins/bed/layers/large=null",
                "/basins/bed/layers/medium=null",
                "/basins/bed/layers/finishing=null",
            ],
            "/basins/bed",
            of,
            "0.9144",
        ),
        (
            &["/basins/bed/layers/finishing/area=10 ft2"],
            "/basins/bed",
            of,
            "0.1778",
        ),
        (
            &["/basins/bed/layers=null"],
            "/basins/bed",
            of,
            "asks /basins/bed/layers",
        ),
        (
            &["/basins/bed/layers/large/fill=null"],
            "/basins/bed",
            of,
            "asks /basins/bed/layers/large/fill",
        ),
        (&[STONE_IN_THE_POND], "/basins/pond", of, "0.4572"),
        (&[SHALLOW], "", anywhere, "0.5080"),
        (&["/basins/bed/floor=null"], "", anywhere, "1.2192"),
        (
            &[SHALLOW, "/basins/bed/floor=null"],
            "",
            anywhere,
            "asks /basins/bed/floor",
        ),
    ]);
}

/// Water of a basin higher up runs past the gear; only the basin beside it counts, in any case up to its rim.
#[test]
fn gear_stands_over_the_highest_water_of_the_basin_beside_it_in_any_case_up_to_its_rim() {
    const RESERVOIR: &str = "/basins/tank={\"still\":\"+24 in\"}";
    const BESIDE_THE_BED: &str = "/electrical/circuits/pump/basin=bed";
    let (at, of) = ("/electrical/circuits/pump", "gear-above-water");
    let plan = |changes: &[&str], figure: &str, basin: &str| match answer(changes, basin, figure) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("{figure} at {basin}: {other:?}"),
    };
    let gear = 30.0 * INCH;
    // The pump draws from the pond; named, the bed counts, which stands higher.
    let pond = plan(&[], "storm-level", "/basins/pond");
    assert!((plan(&[], of, at) - (gear - pond)).abs() < 1e-9);
    let storm = plan(&[], "storm-level", "/basins/bed");
    assert!(storm > plan(&[], "running-level", "/basins/bed"));
    assert!((plan(&[BESIDE_THE_BED], of, at) - (gear - storm)).abs() < 1e-9);
    // A valve that sticks in a basin without a way out fills it to the rim and no higher.
    let stuck = &[
        BESIDE_THE_BED,
        "/water/make_up/basin=bed",
        "/water/make_up/flow=60000 gph",
        "/falls/spillway/width=12 in",
    ];
    let rim = 17.0 * INCH;
    assert!(plan(stuck, "make-up-stuck-level", "/basins/bed") > rim);
    assert!((plan(stuck, of, at) - (gear - rim)).abs() < 1e-9);
    // A level that is short of it decides; else every level of that basin is due.
    hold(&[
        (
            &[BESIDE_THE_BED, "/basins/bed/still=null"],
            at,
            of,
            "asks /basins/bed/still",
        ),
        (
            &[RESERVOIR, "/electrical/circuits/pump/basin=tank"],
            at,
            of,
            "0.1524",
        ),
        // A circuit that feeds no pump is asked which basin it stands beside.
        (
            &[
                "/electrical/circuits/lamps={\"serves\":\"lamps\",\"gear_level\":\"+10 in\"}",
                "/electrical/circuits/pump/serves=main",
            ],
            "/electrical/circuits/lamps",
            of,
            "asks /electrical/circuits/lamps/basin",
        ),
    ]);
}

/// A cascade: the outlet stands by the lowest pond, 6 ft under the highest.
#[test]
fn gear_at_the_foot_of_a_cascade_is_not_held_to_the_water_at_its_head() {
    const HIGH: &str =
        "/basins/top={\"kind\":\"pond\",\"still\":\"+6 ft\",\"rim\":\"+6 ft 6 in\",\"floor\":\"+5 ft\"}";
    let low = "/electrical/circuits/pump/gear_level=+2 in";
    assert!(falls_short(super::SOUND_PLAN, &[HIGH, low], "circuit-gear-above-water").is_empty());
    let lower = "/electrical/circuits/pump/gear_level=-4 in";
    assert_eq!(
        falls_short(super::SOUND_PLAN, &[HIGH, lower], "circuit-gear-above-water"),
        ["/electrical/circuits/pump"]
    );
}

/// Only low voltage that an isolated supply gives needs no ground-fault device (NFPA 70, 680.51(A), in a copy).
#[test]
fn low_voltage_is_safe_only_from_an_isolated_supply() {
    const BARE: &str = "/electrical/circuits/pump/ground_fault=false";
    const LOW: &str = "/electrical/circuits/pump/voltage=12 V";
    let (at, of) = ("/electrical/circuits/pump", "ground-fault-protected");
    let isolated = |how: &str| format!("/electrical/circuits/pump/isolated={how}");
    hold(&[
        (&[], at, of, "yes"),
        (&[BARE], at, of, "no /electrical/circuits/pump/ground_fault"),
        (&[BARE, LOW], at, of, "asks /electrical/circuits/pump/isolated"),
        (&[BARE, LOW, &isolated("true")], at, of, "yes"),
        (
            &[BARE, LOW, &isolated("false")],
            at,
            of,
            "no /electrical/circuits/pump/ground_fault",
        ),
        (
            &[BARE, "/electrical/circuits/pump/voltage=24 V", &isolated("true")],
            at,
            of,
            "asks /electrical/circuits/pump/direct_current",
        ),
        (
            &[
                BARE,
                "/electrical/circuits/pump/voltage=24 V",
                "/electrical/circuits/pump/direct_current=true",
                &isolated("true"),
            ],
            at,
            of,
            "yes",
        ),
        (
            &[
                BARE,
                "/electrical/circuits/pump/voltage=24 V",
                "/electrical/circuits/pump/direct_current=false",
                &isolated("true"),
            ],
            at,
            of,
            "no /electrical/circuits/pump/ground_fault",
        ),
        (
            &[
                "/electrical/circuits/pump/ground_fault=null",
                "/electrical/circuits/pump/voltage=null",
            ],
            at,
            of,
            "asks /electrical/circuits/pump/ground_fault",
        ),
    ]);
}

/// Table 300.5 of NFPA 70 as a building department and a summary of the code print it: direct burial 24 in, plastic
/// conduit 18 in, metal conduit 6 in, 120 V and 20 A behind a ground-fault device 12 in, 30 V or less 6 in.
#[test]
fn reference_cover_of_cables_follows_the_published_table() {
    const BARE: &str = "/electrical/circuits/pump/ground_fault=false";
    let (at, of) = ("/electrical/circuits/pump", "cable-cover-needed");
    let laid = |how: &str| format!("/electrical/circuits/pump/buried/laid={how}");
    let volts = |volts: &str| format!("/electrical/circuits/pump/voltage={volts}");
    hold(&[
        (&[&laid("direct burial"), BARE], at, of, "0.6096"),
        (&[&laid("plastic conduit"), BARE], at, of, "0.4572"),
        (&[&laid("metal conduit"), BARE], at, of, "0.1524"),
        (&[&laid("direct burial")], at, of, "0.3048"),
        (&[&laid("direct burial"), &volts("240 V")], at, of, "0.6096"),
        (&[&laid("direct burial"), &volts("12 V")], at, of, "0.1524"),
        (
            &["/electrical/circuits/pump/buried=none"],
            at,
            of,
            "does not apply",
        ),
    ]);
}

#[test]
fn water_held_up_by_walls_needs_a_name_and_an_earth_bank_does_not() {
    const HIGH: &str = "/basins/bed/impounded=30 in";
    const NO_WALL: &str = "/walls/bed-face=null";
    let (at, of) = ("/basins/bed", "raised-sides-designed");
    hold(&[
        (&[], at, of, "does not apply"),
        (&[HIGH], at, of, "asks /basins/bed/engineer"),
        (
            &[HIGH, "/basins/bed/engineer=none"],
            at,
            of,
            "no /basins/bed/engineer",
        ),
        (&[HIGH, "/walls/bed-face/engineer=sheet S-2"], at, of, "yes"),
        (
            &[
                HIGH,
                NO_WALL,
                "/basins/bed/frame=none",
                "/basins/bed/shape/side_slope=3:1",
            ],
            at,
            of,
            "does not apply",
        ),
        // Sides that stand up are no bank.
        (
            &[
                HIGH,
                NO_WALL,
                "/basins/bed/frame=none",
                "/basins/bed/shape/side_slope=0:1",
            ],
            at,
            of,
            "asks /basins/bed/engineer",
        ),
        (&[HIGH, NO_WALL], at, of, "asks /basins/bed/frame"),
        (
            &[
                HIGH,
                NO_WALL,
                "/basins/bed/frame=stock tank",
                "/basins/bed/engineer=maker's tank",
            ],
            at,
            of,
            "yes",
        ),
        (
            &["/basins/bed/impounded=null"],
            at,
            of,
            "asks /basins/bed/impounded",
        ),
        (&["/basins/bed/impounded=null", NO_WALL], at, of, "does not apply"),
    ]);
}

#[test]
fn an_atmospheric_breaker_never_stands_under_an_automatic_valve() {
    let rule = "make-up-avb-pressure";
    let device = |device: &str| format!("/water/make_up/backflow={device}");
    for bad in ["atmospheric vacuum breaker", "hose-bib vacuum breaker"] {
        assert_eq!(
            falls_short(super::SOUND_PLAN, &[&device(bad)], rule),
            [""],
            "{bad}"
        );
        let by_hand = [device(bad), "/water/make_up/automatic=false".to_owned()];
        let by_hand: Vec<&str> = by_hand.iter().map(String::as_str).collect();
        assert!(falls_short(super::SOUND_PLAN, &by_hand, rule).is_empty(), "{bad}");
    }
    for good in ["air gap", "pressure vacuum breaker", "reduced-pressure device"] {
        assert!(
            falls_short(super::SOUND_PLAN, &[&device(good)], rule).is_empty(),
            "{good}"
        );
    }
}

#[test]
fn a_mains_pump_in_bathing_water_is_stopped_and_a_dry_one_is_not() {
    const BATHED: &str = "/basins/pond/bathing=true";
    const LOW: &str = "/electrical/circuits/pump/voltage=12 V";
    let (at, of) = ("/basins/pond", "bathing-pump-safe");
    hold(&[
        (&[], at, of, "does not apply"),
        (&[BATHED], at, of, "no /electrical/circuits/pump/voltage"),
        (&[BATHED, LOW], at, of, "asks /electrical/circuits/pump/isolated"),
        (
            &[BATHED, LOW, "/electrical/circuits/pump/isolated=true"],
            at,
            of,
            "yes",
        ),
        (&[BATHED, "/pumps/main/mount=dry"], at, of, "does not apply"),
        (&[BATHED, "/electrical=null"], at, of, "asks /electrical"),
    ]);
}

#[test]
fn a_shaft_counts_in_any_basin_and_is_asked_for_where_one_is_due() {
    let of = "has-shaft";
    hold(&[
        (&[], "/basins/pond", of, "no"),
        (&[], "/basins/bed", of, "yes"),
        (
            &["/basins/pond/clean_out_well/bore=20 in"],
            "/basins/pond",
            of,
            "yes",
        ),
        (
            &["/basins/bed/clean_out_well=null"],
            "/basins/bed",
            of,
            "asks /basins/bed/clean_out_well",
        ),
        (
            &["/basins/bed/clean_out_well=none"],
            "/basins/bed",
            of,
            "no /basins/bed/clean_out_well",
        ),
    ]);
}

#[test]
fn every_way_that_sucks_a_basin_down_wants_a_cover_and_a_second_outlet() {
    const DRAIN: &str =
        "/drains/floor={\"from\":\"pond\",\"to\":\"bed\",\"mouth\":{\"form\":\"bottom drain\"}}";
    const COVER: &str = "/drains/floor/mouth/cover=cover made for it";
    const SECOND: &str = "/drains/floor/mouth/second_outlet=3 ft";
    const DRY: &str = "/pumps/main/mount=dry";
    const BATHED: &str = "/basins/pond/bathing=true";
    let (at, has, safe) = ("/basins/pond", "has-suction-outlet", "suction-outlet-safe");
    hold(&[
        (&[], at, has, "no"),
        (&[BATHED], at, safe, "does not apply"),
        (
            &["/basins/pond/bottom_drain=null"],
            at,
            has,
            "asks /basins/pond/bottom_drain",
        ),
        (
            &[BATHED, "/basins/pond/bottom_drain=null"],
            at,
            safe,
            "asks /basins/pond/bottom_drain",
        ),
        (&[DRAIN], at, has, "yes"),
        (&[DRAIN, "/drains/floor/mouth/form=skimmer"], at, has, "no"),
        (
            &[DRAIN, "/drains/floor/mouth/form=null"],
            at,
            has,
            "asks /drains/floor/mouth/form",
        ),
        (&[DRY], at, has, "yes"),
        (&["/pumps/main/mount=null"], at, has, "asks /pumps/main/mount"),
        (&[DRAIN], at, safe, "does not apply"),
        (
            &[BATHED, DRAIN],
            at,
            safe,
            "asks /drains/floor/mouth/cover /drains/floor/mouth/second_outlet",
        ),
        (&[BATHED, DRAIN, COVER, SECOND], at, safe, "yes"),
        (
            &[BATHED, DRAIN, COVER, "/drains/floor/mouth/second_outlet=none"],
            at,
            safe,
            "no /drains/floor/mouth/second_outlet",
        ),
        (
            &[BATHED, DRAIN, COVER, SECOND, DRY],
            at,
            safe,
            "asks /pumps/main/cover /pumps/main/second_outlet",
        ),
        // The line goes on from the drain in the floor.
        (
            &[
                BATHED,
                DRAIN,
                "/basins/pond/bottom_drain/cover=cover made for it",
                "/basins/pond/bottom_drain/second_outlet=4 ft",
            ],
            at,
            safe,
            "yes",
        ),
    ]);
}

#[test]
fn a_grille_counts_at_or_above_the_water_and_mesh_under_it_does_not() {
    let (size, any) = ("barrier-size", "barrier-or-waiver");
    let flat = "/site/barrier/height=none";
    let (over, under) = ("/site/barrier/over_water=true", "/site/barrier/over_water=false");
    hold(&[
        (&[flat], "", size, "asks /site/barrier/over_water"),
        (&[flat, over], "", size, "yes"),
        (&[flat, under], "", size, "no /site/barrier/over_water"),
        (&[flat, under], "", any, "no /site/barrier/over_water"),
        (&[flat, over], "", any, "yes"),
        (&[flat, over, "/site/barrier/openings=80 mm"], "", size, "yes"),
        (
            &[flat, over, "/site/barrier/openings=3-1/4 in"],
            "",
            size,
            "no /site/barrier/openings",
        ),
        (
            &[flat, over, "/site/barrier/openings=null"],
            "",
            size,
            "asks /site/barrier/openings",
        ),
        (
            &["/site/barrier/height=47 in"],
            "",
            size,
            "no /site/barrier/height",
        ),
    ]);
}
