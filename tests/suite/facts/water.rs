//! The small figures of pumps, fish and fill water.

use bywash::ledger::Found;

use super::{answer, hold, reach::falls_short};

#[test]
fn the_cut_off_of_another_circuit_neither_clears_nor_denies_a_pump() {
    const BARE: &str = "/pumps/main/low_level_cut_off=null";
    const NONE: &str = "/pumps/main/low_level_cut_off=none";
    const OFF: &str = "/electrical/circuits/pump/dry_run_cut_off=false";
    const UNSAID: &str = "/electrical/circuits/pump/dry_run_cut_off=null";
    const LIGHT: &str = "/electrical/circuits/light={\"serves\":\"pond lights\",\"dry_run_cut_off\":true}";
    const DARK: &str = "/electrical/circuits/light={\"serves\":\"pond lights\",\"dry_run_cut_off\":false}";
    let (at, of) = ("/pumps/main", "stops-before-dry");
    hold(&[
        (&[BARE], at, of, "yes"),
        (&[BARE, DARK], at, of, "yes"),
        (
            &[BARE, OFF, LIGHT],
            at,
            of,
            "no /electrical/circuits/pump/dry_run_cut_off",
        ),
        (
            &[BARE, UNSAID, DARK],
            at,
            of,
            "asks /pumps/main/low_level_cut_off",
        ),
        // By its id; and by neither name nor id.
        (
            &[BARE, DARK, "/electrical/circuits/pump/serves=pump MAIN"],
            at,
            of,
            "yes",
        ),
        (
            &[BARE, DARK, "/electrical/circuits/pump/serves=remaining gear"],
            at,
            of,
            "asks /pumps/main/low_level_cut_off",
        ),
        (
            &[NONE, DARK, "/electrical/circuits/pump/serves=null"],
            at,
            of,
            "asks /electrical/circuits/pump/serves",
        ),
        (&[NONE, OFF, LIGHT], at, of, "no /pumps/main/low_level_cut_off"),
    ]);
}

#[test]
fn fill_water_is_treated_or_stands_a_day_with_air() {
    const UNTREATED: &str = "/filling/dechlorinator=none";
    const HOUR: &str = "/filling/standing_tanks/stood=1 h";
    const NO_TANKS: &str = "/filling/standing_tanks=none";
    let of = "fill-treated-or-stood";
    hold(&[
        (&[HOUR], "", of, "yes"),
        (&[UNTREATED], "", of, "yes"),
        (&[UNTREATED, HOUR], "", of, "no /filling/dechlorinator"),
        (&[UNTREATED, NO_TANKS], "", of, "no /filling/dechlorinator"),
        (
            &["/filling/dechlorinator=null", NO_TANKS],
            "",
            of,
            "asks /filling/dechlorinator",
        ),
        (
            &[UNTREATED, "/filling/standing_tanks/stood=null"],
            "",
            of,
            "asks /filling/standing_tanks/stood",
        ),
    ]);
}

/// The new water is 54 °F: a pond of 36 °F in winter takes the larger step, one of 70 °F in summer the harder one.
#[test]
fn the_season_whose_step_is_harder_on_the_fish_counts() {
    const STRAIGHT: &str = "/filling/standing_tanks=none";
    let (step, allowed) = ("joining-temperature-step", "temperature-step-allowed");
    let summer = &[STRAIGHT, "/water/coldest=36 °F", "/water/warmest=70 °F"];
    let winter = &[STRAIGHT, "/water/coldest=36 °F", "/water/warmest=60 °F"];
    hold(&[
        (summer, "", allowed, "2.7778"),
        (winter, "", allowed, "3.8889"),
        (
            &[STRAIGHT, "/water/coldest=null"],
            "",
            step,
            "asks /water/coldest",
        ),
    ]);
}

#[test]
fn fish_are_kept_alive_by_pumps_whose_water_reaches_them_and_no_other() {
    const ALONE: [&str; 3] = [
        "/pumps/main/spare=none",
        "/pumps/main/standby_air=false",
        "/upkeep/spare_pump=false",
    ];
    const FOUNTAIN: &str =
        "/pumps/fountain={\"basin\":\"tank\",\"spare\":\"on the shelf\",\"standby_air\":true}";
    const TO_TANK: &str = "/lines/jet={\"from\":\"fountain\",\"runs\":{\"up\":{\"to\":\"tank\"}}}";
    const TO_BED: &str = "/lines/jet={\"from\":\"fountain\",\"runs\":{\"up\":{\"to\":\"bed\"}}}";
    const NOWHERE: &str = "/lines/jet={\"from\":\"fountain\",\"runs\":{\"up\":{}}}";
    let [spare, air, shelf] = ALONE;
    let (at, of) = ("/basins/pond", "backup-for-fish");
    let short = "no /pumps/main/spare";
    hold(&[
        (&[spare, air, shelf], at, of, short),
        (&[spare, air, shelf, FOUNTAIN, TO_TANK], at, of, short),
        // Over the bed and its spillway.
        (&[spare, air, shelf, FOUNTAIN, TO_BED], at, of, "yes"),
        (
            &[spare, air, shelf, FOUNTAIN, NOWHERE],
            at,
            of,
            "asks /lines/jet/runs/up/to",
        ),
        (&["/lines/feed/runs/riser/to=tank"], at, of, "does not apply"),
    ]);
}

#[test]
fn what_passes_over_a_fall_turns_a_basin_over() {
    let quantity = |at: &str, name: &str| match answer(&[], at, name) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("{name} at {at}: {other:?}"),
    };
    let volume = quantity("/basins/bed", "still-volume");
    let flow = quantity("/falls/spillway", "fall-flow");
    assert!((quantity("/basins/bed", "turnover") * flow / volume - 1.0).abs() < 1e-12);
}

#[test]
fn a_pond_follows_its_pump_well_down_to_the_mouth_of_the_line_between() {
    const WELL: &str = r#"/basins/well={"kind":"reservoir","still":"-12 in","rim":"-6 in","floor":"-5 ft","shape":{"form":"rectangle","length":"5 ft","width":"4 ft","side_slope":"0:1"}}"#;
    const IN_WELL: &str = "/pumps/main/basin=well";
    const LINE: &str = r#"/drains/floor={"from":"pond","to":"well","mouth":{"form":"bottom drain"},"run":{"pipe":{"inside":"4 in"},"length":"10 ft","fittings":{}}}"#;
    const STOP: &str = "/pumps/main/low_level_cut_off=-4 ft";
    let (at, of) = ("/basins/pond", "left-when-line-breaks");
    let left = |changes: &[&str]| match answer(changes, at, of) {
        Some(Ok(Found::Quantity(share))) => share,
        other => panic!("{changes:?}: {other:?}"),
    };
    let (high, low) = (
        "/drains/floor/mouth/level=-3 ft",
        "/drains/floor/mouth/level=-58 in",
    );
    let own = |stop: &str| left(&[&format!("/pumps/main/low_level_cut_off={stop}")]);
    // The last millimetres drain over the mouth as over a riser, ever slower: half a percent of the water is left of them.
    let close = |found: f64, own: f64| assert!((found - own).abs() < 5e-3, "{found} {own}");
    close(left(&[WELL, IN_WELL, LINE, STOP, high]), own("-3 ft"));
    close(left(&[WELL, IN_WELL, LINE, STOP, low]), own("-4 ft"));
    hold(&[
        (&[WELL, IN_WELL, LINE], at, of, "asks /drains/floor/mouth/level"),
        (&[WELL, IN_WELL], at, of, "not entered"),
        (
            &[
                "/drains/floor={\"from\":\"bed\",\"to\":\"tank\"}",
                "/pumps/main/basin=pond",
            ],
            "/basins/bed",
            of,
            "does not apply",
        ),
    ]);
}

/// 2 Na₂S₂O₃·5H₂O + Cl₂ → Na₂S₄O₆ + 2 NaCl: 2·248.18 / 70.906 = 7.0 mg/mg. Fish Hatchery Management (US Fish and Wildlife
/// Service, 1982, page 283): 5.6 g for a gallon of 200 ppm chlorine, 7.4 mg/mg.
#[test]
fn reference_a_dose_for_water_that_meets_fish_is_the_hatcheries_not_the_pipelines() {
    let rule = "filling-dechlorinator-dose";
    let by_formula: f64 = 2.0 * 248.18 / 70.906;
    assert!((by_formula - 7.0).abs() < 5e-4, "{by_formula}");
    let hatchery: f64 = 5600.0 / (200.0 * 3.785);
    assert!((hatchery - 7.4).abs() < 5e-3, "{hatchery}");
    let dose = |ratio: f64| format!("/filling/dechlorinator/dose={:.3} mg/L", 1.8 * ratio);
    for (ratio, falls) in [
        (1.9, true),
        (4.0, true),
        (6.9, true),
        (7.0, false),
        (hatchery, false),
    ] {
        let short = falls_short(super::SOUND_PLAN, &[&dose(ratio)], rule);
        assert_eq!(!short.is_empty(), falls, "{ratio}");
    }
    // Water that meets no fish is nobody's harm.
    let no_fish = ["/basins/pond/fish=none", &dose(1.9)];
    assert!(falls_short(super::SOUND_PLAN, &no_fish, rule).is_empty());
}

/// A new pond is filled from the tap as well: all of its water is new, and no fish are in it yet.
#[test]
fn in_new_work_all_the_water_is_new_and_no_fish_meet_it() {
    const NEW: &str = "/project/work=new";
    let freed = |changes: &[&str]| match answer(changes, "", "ammonia-freed") {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("{other:?}"),
    };
    // 1.8 mg/L of chlorine in chloramine carry 1.8·14/70.9 mg/L of nitrogen.
    let share = bywash::formulas::water_quality::un_ionised_share((79.0 - 32.0) / 1.8 + 273.15, 8.1);
    let all = 1.8e-3 * 14.0 / 70.9 * share;
    assert!(
        (freed(&[NEW]) / all - 1.0).abs() < 2e-3,
        "{} {all}",
        freed(&[NEW])
    );
    assert!(freed(&[]) < 0.25 * freed(&[NEW]));
    hold(&[(
        &[NEW, "/filling/standing_tanks=none"],
        "",
        "joining-temperature-step",
        "does not apply",
    )]);
}

/// The tanks hold the first fill; the hose may wash.
#[test]
fn the_tanks_are_held_to_the_first_fill_alone() {
    let ratio = |changes: &[&str]| match answer(changes, "", "standing-over-needed") {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("{other:?}"),
    };
    assert!((ratio(&[]) - ratio(&["/filling/wash/cycles=9"])).abs() < 1e-12);
}
