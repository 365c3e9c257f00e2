//! The small figures of pumps, fish and fill water.

use super::hold;

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
