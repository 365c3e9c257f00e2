//! Where a rule reaches and where it does not, over the sound plan and over the large one with its gravity line.

use bywash::{
    desk::{Desk, Wishes},
    read::assignment,
};

use super::{answer, hold, hold_of, short};

const LARGE_PLAN: &str = include_str!("../../../examples/two-ponds.jsonc");

/// The objects at which a rule falls short, in a plan under assignments.
fn falls_short(plan: &str, changes: &[&str], rule: &str) -> Vec<String> {
    let (mut desk, loaded) = Desk::new();
    loaded.unwrap();
    let source = desk.sources.add("plan", plan.to_owned());
    let patches = changes
        .iter()
        .map(|change| {
            (
                (*change).to_owned(),
                assignment(&mut desk.sources, change).unwrap(),
            )
        })
        .collect();
    let opened = desk.open(source, patches).unwrap();
    let review = desk.review(&opened, Wishes::default());
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
fn a_winter_plan_counts_only_where_the_line_does_not_say_whether_it_drains() {
    let (riser, safe) = ("/lines/feed/runs/riser", "winter-safe");
    hold(&[
        (&[], riser, safe, "yes"),
        (
            &["/lines/feed/drains_for_winter=false"],
            riser,
            safe,
            "no /lines/feed/runs/riser/buried",
        ),
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
        "all of it has to leave by the pond's overflow, either way"
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
