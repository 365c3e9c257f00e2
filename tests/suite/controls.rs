//! The ladder of controls: each control out of its place is one fault, at that control, with both levels named.
//!
//! The courtyard's pond, in inches from its benchmark: intake −36, least submergence 6, so covered at −30; cut-off −30;
//! make-up and still −12; overflow −10; rim −6. The bed takes a little under 0.3 in off the pond at start-up.

use bywash::{
    engine::ReviewOptions,
    figures::{Control, ladders},
    review::{Finding, Review},
};

use super::changed;

fn reviewed(changes: &[&str]) -> Review {
    let (engine, opened) = changed::example("courtyard-retrofit", changes);
    engine.review(&opened, ReviewOptions::default())
}

/// The faults that changes bring: each the first of its group.
fn faults(changes: &[&str]) -> Vec<Finding> {
    let before = reviewed(&[]).findings;
    let known = |finding: &Finding| {
        before
            .iter()
            .any(|old| old.rule == finding.rule && old.place == finding.place)
    };
    let new = reviewed(changes).findings.into_iter();
    new.filter(|finding| finding.follows.is_none() && !known(finding))
        .collect()
}

/// Changes, the rule and the place of the one fault, and the two levels it names.
type Row<'a> = (&'a [&'a str], &'a str, &'a str, [&'a str; 2]);

const CUT_OFF: &str = "/pumps/main/low_level_cut_off";
const OVERFLOW: &str = "/basins/pond/overflow/level";

#[test]
fn a_control_out_of_its_place_is_one_fault_that_names_both_levels() {
    let rows: &[Row<'_>] = &[
        (
            &["/pumps/main/low_level_cut_off=-40 in"],
            "pump-cut-off-level",
            CUT_OFF,
            ["−40 in", "−36 in"],
        ),
        (
            &["/pumps/main/low_level_cut_off=-36 in"],
            "pump-cut-off-level",
            CUT_OFF,
            ["−36 in", "−36 in"],
        ),
        (
            &["/pumps/main/low_level_cut_off=-33 in"],
            "pump-cut-off-level",
            CUT_OFF,
            ["−33 in", "−30 in"],
        ),
        (
            &["/pumps/main/low_level_cut_off=-11 in"],
            "pump-cut-off-level",
            CUT_OFF,
            ["−11 in", "−12"],
        ),
        (
            &[
                "/water/make_up/level=-20 in",
                "/pumps/main/low_level_cut_off=-18 in",
            ],
            "pump-cut-off-level",
            CUT_OFF,
            ["−18 in", "−20 in"],
        ),
        (
            &["/water/make_up/level=-10 in"],
            "make-up-level",
            "/water/make_up/level",
            ["−10 in", "−10 in"],
        ),
        (
            &["/water/make_up/level=-9 in"],
            "make-up-level",
            "/water/make_up/level",
            ["−9 in", "−10 in"],
        ),
        (
            &["/water/make_up/level=-7 in"],
            "make-up-level",
            "/water/make_up/level",
            ["−7 in", "−10 in"],
        ),
        (
            &["/water/make_up/level=-37 in"],
            "make-up-level",
            "/water/make_up/level",
            ["−37 in", "−36 in"],
        ),
        (
            &["/basins/pond/skimmer={\"flow\":\"600 gph\",\"level\":\"-11 in\"}"],
            "skimmer-level",
            "/basins/pond/skimmer/level",
            ["−11 in", "−12 in"],
        ),
        (
            &["/basins/pond/overflow/level=-5 in"],
            "overflow-between-still-and-rim",
            OVERFLOW,
            ["−5 in", "−6 in"],
        ),
        (
            &["/basins/pond/overflow/level=-12 in"],
            "overflow-between-still-and-rim",
            OVERFLOW,
            ["−12 in", "−12 in"],
        ),
        (
            &["/basins/pond/overflow/level=-14 in"],
            "overflow-between-still-and-rim",
            OVERFLOW,
            ["−14 in", "−12 in"],
        ),
    ];
    let failures: Vec<String> = rows
        .iter()
        .filter_map(|(changes, rule, place, levels)| {
            let found = faults(changes);
            let told: Vec<_> = found
                .iter()
                .map(|finding| format!("{} {} {}", finding.rule, finding.place.as_str(), finding.headline))
                .collect();
            let one = matches!(found.as_slice(), [one] if one.rule == *rule
                && one.place.as_str() == *place
                && names(&one.headline, levels));
            (!one).then(|| format!("{changes:?}: {told:#?}"))
        })
        .collect();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Whether a text names one level and, after it, the other.
fn names(text: &str, [first, second]: &[&str; 2]) -> bool {
    text.split_once(first)
        .is_some_and(|(_, rest)| rest.contains(second))
}

/// At a limit that is met: the cut-off at the covered intake, the lip at still water, make-up a little under the overflow.
#[test]
fn controls_in_order_raise_nothing() {
    for changes in [
        &["/pumps/main/low_level_cut_off=-30 in"][..],
        &["/pumps/main/low_level_cut_off=-13 in"],
        &["/water/make_up/level=-12.2 in"],
        &["/basins/pond/skimmer={\"flow\":\"600 gph\",\"level\":\"-12 in\"}"],
        &["/basins/pond/overflow/level=-9 in"],
    ] {
        let found = faults(changes);
        assert!(found.is_empty(), "{changes:?}: {found:#?}");
    }
}

#[test]
fn the_ladder_of_a_pump_basin_rises_from_intake_to_rim() {
    let (_, opened) = changed::example(
        "courtyard-retrofit",
        &["/basins/pond/skimmer={\"flow\":\"600 gph\",\"level\":\"-15 in\"}"],
    );
    let ladders = ladders(&opened.plan, &opened.ledger);
    let [pond] = ladders.as_slice() else {
        panic!("only the pond has a pump: {ladders:#?}");
    };
    assert_eq!(pond.basin.as_str(), "/basins/pond");
    let rungs: Vec<(Control, f64)> = pond
        .rungs
        .iter()
        .map(|rung| (rung.control, (rung.level / 0.0254 * 100.0).round() / 100.0))
        .collect();
    assert!(rungs.is_sorted_by(|a, b| a.1 <= b.1), "{rungs:?}");
    // At one level in the order they have to stand: the water that covers the intake before the cut-off.
    assert_eq!(
        rungs[..4],
        [
            (Control::Intake, -36.0),
            (Control::Cover, -30.0),
            (Control::CutOff, -30.0),
            (Control::SkimmerLip, -15.0)
        ]
    );
    assert_eq!(
        rungs[5..],
        [
            (Control::MakeUp, -12.0),
            (Control::Still, -12.0),
            (Control::Overflow, -10.0),
            (Control::Rim, -6.0)
        ]
    );
    assert_eq!(rungs[4].0, Control::LowestOrdinary);
}
