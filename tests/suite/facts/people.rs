//! The small figures of rules that keep people from harm.

use bywash::ledger::Found;

use super::{answer, hold};

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

#[test]
fn gear_stands_over_the_highest_water_of_any_basin_and_any_case_up_to_its_rim() {
    const RESERVOIR: &str = "/basins/tank={\"still\":\"+24 in\"}";
    let (at, of) = ("/electrical/circuits/pump", "gear-above-water");
    let plan = |changes: &[&str], figure: &str, basin: &str| match answer(changes, basin, figure) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("{figure} at {basin}: {other:?}"),
    };
    let gear = 30.0 * INCH;
    // The bed stands higher than the pond that the pump draws from.
    let storm = plan(&[], "storm-level", "/basins/bed");
    assert!(storm > plan(&[], "running-level", "/basins/bed"));
    assert!((plan(&[], of, at) - (gear - storm)).abs() < 1e-9);
    // A valve that sticks in a basin without a way out fills it to the rim and no higher.
    let stuck = &[
        "/water/make_up/basin=bed",
        "/water/make_up/flow=60000 gph",
        "/falls/spillway/width=12 in",
    ];
    let rim = 17.0 * INCH;
    assert!(plan(stuck, "make-up-stuck-level", "/basins/bed") > rim);
    assert!((plan(stuck, of, at) - (gear - rim)).abs() < 1e-9);
    // A level that is short of it decides; else every basin's level is due.
    hold(&[
        (
            &[
                "/basins/bed/still=null",
                "/electrical/circuits/pump/gear_level=-6 in",
            ],
            at,
            of,
            "0.1524",
        ),
        (&["/basins/bed/still=null"], at, of, "asks /basins/bed/still"),
        (&[RESERVOIR], at, of, "0.1524"),
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
