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
