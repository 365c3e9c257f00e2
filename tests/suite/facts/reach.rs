//! Where a rule reaches and where it does not, over the sound plan and over the large one with its gravity line.

use bywash::engine::ReviewOptions;

use super::{super::changed, answer, hold, hold_of, short};

const LARGE_PLAN: &str = include_str!("../../../examples/two-ponds.jsonc");

/// The objects at which a rule falls short, in a plan under assignments.
pub fn falls_short(plan: &str, changes: &[&str], rule: &str) -> Vec<String> {
    let (engine, opened) = changed::plan("plan", plan, changes);
    let review = engine.review(&opened, ReviewOptions::default());
    let findings = review.findings.iter().filter(|finding| finding.rule == rule);
    findings
        .map(|finding| finding.object.as_str().to_owned())
        .collect()
}

#[test]
fn a_drain_to_a_pump_well_does_not_exempt_a_pond_from_what_comes_back() {
    hold_of(
        LARGE_PLAN,
        &[
            (&[], "/basins/lower", "takes-water-back", "yes"),
            (&[], "/basins/well", "takes-water-back", "yes"),
            (&[], "/basins/upper", "takes-water-back", "no"),
        ],
    );
    let rule = "basin-freeboard-power-off";
    assert_eq!(
        falls_short(LARGE_PLAN, &["/basins/lower/rim=-11.25 in"], rule),
        ["/basins/lower"]
    );
    assert_eq!(
        falls_short(LARGE_PLAN, &["/basins/well/rim=-11.25 in"], rule),
        ["/basins/well"]
    );
}

#[test]
fn a_line_that_stays_full_above_the_frost_rests_on_a_winter_plan() {
    let (riser, safe) = ("/lines/feed/runs/riser", "winter-safe");
    hold(&[
        (&[], riser, safe, "yes"),
        (&["/lines/feed/drains_for_winter=false"], riser, safe, "yes"),
        (
            &["/lines/feed/drains_for_winter=false", "/upkeep/winter=none"],
            riser,
            safe,
            "no /lines/feed/runs/riser/buried",
        ),
        (
            &["/lines/feed/drains_for_winter=false"],
            riser,
            "empty-in-frost",
            "no /lines/feed/drains_for_winter",
        ),
        (&[], riser, "empty-in-frost", "yes"),
        (&["/lines/feed/drains_for_winter=null"], riser, safe, "yes"),
        (
            &["/lines/feed/drains_for_winter=null", "/upkeep/winter=none"],
            riser,
            safe,
            "asks /lines/feed/drains_for_winter",
        ),
    ]);
}

/// An order of work as an assignment: each step with its day, or none.
fn order(steps: &[(&str, Option<u32>)]) -> String {
    let step = |(step, day): &(&str, Option<u32>)| match day {
        Some(day) => format!(r#"{{ "step": "{step}", "day": {day} }}"#),
        None => format!(r#"{{ "step": "{step}" }}"#),
    };
    let steps: Vec<_> = steps.iter().map(step).collect();
    format!("/filling/order=[{}]", steps.join(", "))
}

#[test]
fn work_is_ordered_by_day_where_it_is_shown_and_may_be_filled_twice() {
    let came_to = |steps: &[(&str, Option<u32>)]| short(answer(&[&order(steps)], "", "order-of-work"));
    let filled_to_test = [
        ("membrane", 1),
        ("fill", 1),
        ("leak test", 2),
        ("stone", 3),
        ("fill", 3),
        ("wash", 4),
    ];
    assert_eq!(
        came_to(&filled_to_test.map(|(step, day)| (step, Some(day)))),
        "yes"
    );
    // Written before it, done after it; on one day, and without days, as written.
    assert_eq!(
        came_to(&[("wash", Some(5)), ("join", Some(3))]),
        "no /filling/order"
    );
    assert_eq!(came_to(&[("join", Some(5)), ("wash", Some(3))]), "yes");
    assert_eq!(
        came_to(&[("join", Some(5)), ("wash", Some(5))]),
        "no /filling/order"
    );
    assert_eq!(came_to(&[("join", Some(5)), ("wash", None)]), "no /filling/order");
    assert_eq!(came_to(&[("wash", None), ("join", Some(5))]), "yes");
}

#[test]
fn make_up_led_into_the_bed_comes_to_the_pond_below() {
    let led_above = "/water/make_up/basin=bed";
    let stuck = |changes: &[&str], at: &str| short(answer(changes, at, "make-up-stuck-level"));
    assert_eq!(stuck(&[], "/basins/bed"), "does not apply");
    assert_eq!(
        stuck(&[led_above], "/basins/pond"),
        stuck(&[], "/basins/pond"),
        "all of it has to leave by the pond’s overflow, either way"
    );
    let inflow = |changes: &[&str]| short(answer(changes, "/basins/pond", "storm-inflow"));
    assert_eq!(inflow(&[led_above]), inflow(&[]));
    assert_ne!(inflow(&["/water/make_up=none"]), inflow(&[]));
    let flood = [
        led_above,
        "/water/make_up/flow=6000 gph",
        "/basins/pond/overflow/width=3 in",
    ];
    for rule in ["basin-freeboard-make-up-stuck", "overflow-capacity"] {
        let told = falls_short(super::SOUND_PLAN, &flood, rule);
        assert!(told.contains(&"/basins/pond".to_owned()), "{rule}: {told:?}");
    }
}

#[test]
fn basins_joined_by_a_gravity_line_share_an_overflow() {
    let needs = "needs-overflow";
    let covered = "/basins/well/open_to_rain=false";
    let no_make_up = "/water/make_up=none";
    let none_above = "/basins/lower/overflow=none";
    hold_of(
        LARGE_PLAN,
        &[
            (&[], "/basins/lower", needs, "no"),
            (&[], "/basins/well", needs, "no"),
            // The pond's overflow stands above the well's rim, or there is none.
            (
                &["/basins/lower/overflow/level=-4 in"],
                "/basins/well",
                needs,
                "yes",
            ),
            (&[none_above], "/basins/well", needs, "yes"),
            (
                &["/basins/lower/overflow=null"],
                "/basins/well",
                needs,
                "asks /basins/lower/overflow",
            ),
            // Rain on the pond comes to the well, unless the line between them is shut.
            (&[none_above, covered, no_make_up], "/basins/well", needs, "yes"),
            (
                &[none_above, covered, no_make_up, "/drains/skimmer/run/shut=true"],
                "/basins/well",
                needs,
                "no",
            ),
            (&["/drains/skimmer/run/shut=true"], "/basins/lower", needs, "yes"),
        ],
    );
    let rule = "overflow-present";
    assert!(falls_short(LARGE_PLAN, &["/basins/well/overflow=none"], rule).is_empty());
    assert_eq!(
        falls_short(LARGE_PLAN, &["/basins/well/overflow=none", none_above], rule),
        ["/basins/well"]
    );
}

#[test]
fn what_goes_through_a_lining_is_held_against_a_plan_that_says_nothing_does() {
    let sealed = "penetrations-sealed";
    let none = |basin: &str| format!("/basins/{basin}/lining/penetrations=none");
    let (lower, well) = (none("lower"), none("well"));
    let told = |basin: &str| format!("no /basins/{basin}/lining/penetrations");
    let over_the_rim = r#"/drains/skimmer/run/discharge={ "level": "-3 in", "form": "free" }"#;
    let no_drain = "/drains=null";
    hold_of(
        LARGE_PLAN,
        &[
            (&[&lower], "/basins/lower", sealed, &told("lower")),
            (&[&well], "/basins/well", sealed, &told("well")),
            (&[&well, over_the_rim], "/basins/well", sealed, "does not apply"),
            (
                &[&well, "/drains/skimmer/mouth=null"],
                "/basins/well",
                sealed,
                "asks /drains/skimmer/mouth",
            ),
            // The stream pump stands below the rim; raised over it, or led over it, its suction goes over the rim.
            (
                &[&lower, no_drain, "/pumps/stream/suction_high_point=+2 in"],
                "/basins/lower",
                sealed,
                "does not apply",
            ),
            (&[&lower, no_drain], "/basins/lower", sealed, &told("lower")),
            (
                &[&lower, no_drain, "/pumps/stream/level=+1 in"],
                "/basins/lower",
                sealed,
                "does not apply",
            ),
            (
                &[&lower, no_drain, "/pumps/stream/level=null"],
                "/basins/lower",
                sealed,
                "asks /pumps/stream/level",
            ),
        ],
    );
}

#[test]
fn a_pond_that_spills_has_a_lap_and_a_pool_that_no_fall_leaves_has_none() {
    let rule = "lining-seam-in-water";
    let no_lap = ["/basins/upper/lining/lap=none", "/basins/lower/lining/lap=none"];
    assert_eq!(falls_short(LARGE_PLAN, &no_lap, rule), ["/basins/upper"]);
    let pool = ["/basins/pond/kind=pool", "/basins/pond/lining/lap=none"];
    assert!(falls_short(super::SOUND_PLAN, &pool, rule).is_empty());
}

#[test]
fn an_overcut_said_to_be_none_is_too_narrow() {
    let (bed, enough) = ("/basins/bed", "overcut-enough");
    hold(&[
        (&[], bed, enough, "yes"),
        (
            &["/basins/bed/overcut=none"],
            bed,
            enough,
            "no /basins/bed/overcut",
        ),
        (
            &["/basins/bed/overcut=11 in"],
            bed,
            enough,
            "no /basins/bed/overcut",
        ),
        (
            &["/basins/bed/overcut=null"],
            bed,
            enough,
            "asks /basins/bed/overcut",
        ),
        (&[], "/basins/pond", enough, "not entered"),
        (
            &["/basins/bed/layers/modules=null", "/basins/bed/overcut=none"],
            bed,
            enough,
            "does not apply",
        ),
    ]);
}

#[test]
fn deep_open_water_with_steep_sides_needs_a_way_out() {
    let needed = "way-out-needed";
    hold(&[
        (&[], "/basins/pond", needed, "yes"),
        (&["/basins/pond/floor=-36 in"], "/basins/pond", needed, "no"),
        (
            &["/basins/pond/shape/side_slope=2:1"],
            "/basins/pond",
            needed,
            "yes",
        ),
        (
            &["/basins/pond/shape/side_slope=3.9:1"],
            "/basins/pond",
            needed,
            "yes",
        ),
        (
            &["/basins/pond/shape/side_slope=4:1"],
            "/basins/pond",
            needed,
            "no",
        ),
        // Stone over the whole sheet gives hold; stone on the floor alone does not.
        (
            &[
                "/basins/pond/shape/side_slope=2:1",
                "/basins/pond/layers/gravel={\"fill\":\"stone\",\"thickness\":\"3 in\"}",
            ],
            "/basins/pond",
            needed,
            "no",
        ),
        (
            &[
                "/basins/pond/shape/side_slope=2:1",
                "/basins/pond/layers/gravel={\"fill\":\"stone\",\"thickness\":\"3 in\",\"area\":\"20 ft2\"}",
            ],
            "/basins/pond",
            needed,
            "yes",
        ),
        (&["/basins/pond/shape/form=bowl"], "/basins/pond", needed, "yes"),
        (
            &["/basins/pond/shape/side_slope=null"],
            "/basins/pond",
            needed,
            "asks /basins/pond/shape/side_slope",
        ),
        (&[], "/basins/bed", needed, "no"),
        (&["/basins/bed/kind=reservoir"], "/basins/bed", needed, "no"),
        (
            &["/basins/bed/kind=reservoir", "/basins/bed/layers=null"],
            "/basins/bed",
            needed,
            "yes",
        ),
    ]);
}

#[test]
fn a_plan_is_known_by_revision_and_date_together() {
    let known = "plan-identified";
    hold(&[
        (&[], "", known, "yes"),
        (&["/project/revision=none"], "", known, "no /project/revision"),
        (
            &["/project/revision=none", "/project/date=null"],
            "",
            known,
            "no /project/revision",
        ),
        (
            &["/project/revision=null", "/project/date=null"],
            "",
            known,
            "asks /project/revision /project/date",
        ),
    ]);
}

#[test]
fn states_and_plants_are_known_however_they_are_written() {
    let (flag, state, federal) = ("/planting/species/blue-flag", "state-listed", "federal-noxious");
    let named = |name: &str| format!("/planting/species/blue-flag/botanical={name}");
    let (iris, hyacinth, rooted) = (
        named("Iris pseudacorus"),
        named("Pontederia crassipes"),
        named("Pontederia azurea"),
    );
    hold(&[
        (
            &["/project/place=Marrow Falls, VERMONT", &iris],
            flag,
            state,
            "yes",
        ),
        (
            &["/project/place=marrow falls, vermont", &iris],
            flag,
            state,
            "yes",
        ),
        (&["/project/place=Marrow Falls, VT", &iris], flag, state, "yes"),
        (
            &["/project/place=Marrow Falls, vt", &iris],
            flag,
            state,
            "does not apply",
        ),
        (
            &["/project/place=Cinder Bay, Texas", &hyacinth],
            flag,
            state,
            "yes",
        ),
        (&[&rooted], flag, federal, "yes"),
        (
            &[&named("Pontederia cordata")],
            flag,
            federal,
            "no /planting/species/blue-flag/botanical",
        ),
    ]);
}

#[test]
fn stone_is_held_against_the_modules_above_it_and_below_it() {
    let over = "stone-over-opening";
    let crates = r#"/basins/bed/layers/crates={ "fill": "modules", "thickness": "6 in", "opening": "3 in" }"#;
    hold(&[
        (&[], "/basins/bed/layers/large", over, "2.0000"),
        (&[], "/basins/bed/layers/finishing", over, "not entered"),
        // Modules laid last stand on the finishing stone: 3/4 in under openings of 3 in.
        (&[crates], "/basins/bed/layers/finishing", over, "0.2500"),
        (&[crates], "/basins/bed/layers/medium", over, "not entered"),
    ]);
}

#[test]
fn a_bed_that_a_gravity_line_leaves_has_its_mouth_for_a_crest() {
    let (bed, below) = ("/basins/bed", "layers-below-crest");
    let no_fall = "/falls/spillway/from=pond";
    let drain = |form: &str| {
        format!(
            r#"/drains/off={{ "from": "bed", "to": "pond", "mouth": {{ "form": "{form}", "level": "+10 in" }} }}"#
        )
    };
    let (pipe, bottom) = (drain("wall pipe"), drain("bottom drain"));
    hold(&[
        (&[], bed, below, "-0.0254"),
        (&[no_fall, &pipe], bed, below, "-0.0254"),
        (&[no_fall, &bottom], bed, below, "does not apply"),
        (&[no_fall], bed, below, "does not apply"),
        (&["/falls=null"], bed, below, "asks /falls"),
    ]);
}

#[test]
fn mesh_in_the_backfill_is_asked_for_where_burrowers_live() {
    let rule = "backfill-pest-barrier";
    let bare = "/backfill/pest_barrier=none";
    assert_eq!(falls_short(super::SOUND_PLAN, &[bare], rule), [""]);
    assert!(falls_short(super::SOUND_PLAN, &[bare, "/site/burrowers=false"], rule).is_empty());
}

#[test]
fn a_frame_holds_the_sides_of_a_basin() {
    let stand = "sides-stand";
    hold_of(
        LARGE_PLAN,
        &[
            (&[], "/basins/east", stand, "yes"),
            (
                &["/basins/east/frame=none"],
                "/basins/east",
                stand,
                "no /basins/east/shape/side_slope",
            ),
            (&["/basins/lower/frame=null"], "/basins/lower", stand, "yes"),
            (
                &["/basins/east/frame=null"],
                "/basins/east",
                stand,
                "asks /basins/east/frame",
            ),
        ],
    );
}

/// What a plan does not show is not taken as not there.
#[test]
fn what_is_not_shown_is_not_taken_as_absent() {
    const RUNS: &str = "/lines/feed/runs=null";
    let (pond, bed) = ("/basins/pond", "/basins/bed");
    hold(&[
        (&["/falls=null"], pond, "takes-water-back", "asks /falls"),
        (&["/falls=null"], bed, "takes-water-back", "asks /falls"),
        (&["/falls=null"], pond, "needs-overflow", "yes"),
        (
            &["/falls/spillway/from=null"],
            bed,
            "takes-water-back",
            "asks /falls/spillway/from",
        ),
        (&["/falls=null"], pond, "oxygen-supply", "asks /falls"),
        (
            &["/basins/bed/layers/modules/fill=null"],
            bed,
            "has-modules",
            "asks /basins/bed/layers/modules/fill",
        ),
        (
            &["/falls=null", "/water/make_up=none"],
            pond,
            "needs-overflow",
            "asks /falls",
        ),
        (
            &["/falls=null", RUNS],
            bed,
            "through-flow",
            "asks /lines/feed/runs",
        ),
        (
            &["/basins/pond/fish=null"],
            "",
            "ammonia-made",
            "asks /basins/pond/fish",
        ),
        (&["/basins/pond/fish=none"], "", "ammonia-made", "does not apply"),
        (
            &["/basins/pond/fish=null"],
            "",
            "stocked-volume",
            "asks /basins/pond/fish",
        ),
        (
            &["/basins/bed/layers=null"],
            "",
            "nitrifying-capacity",
            "asks /basins/bed/layers",
        ),
    ]);
}
