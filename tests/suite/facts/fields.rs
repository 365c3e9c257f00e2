//! Values that take the place of what is else assumed: protein of the feed, wind and humidity, soil behind a wall, the
//! way of the water through a bed, a shading course.

use bywash::ledger::Found;

use super::{answer, hold};

fn found(changes: &[&str], at: &str, name: &str) -> f64 {
    match answer(changes, at, name) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("no {name}: {other:?}"),
    }
}

fn near(found: f64, wanted: f64) {
    assert!((found / wanted - 1.0).abs() < 1e-3, "{found}, not {wanted}");
}

/// Timmons and Ebeling: 0.092 of the protein fed. 0.3 lb a day of 32 %: 0.3 × 0.453592 × 0.32 × 0.092 kg = 4.006 g of nitrogen
/// a day; a kg of such feed makes 29.4 g.
#[test]
fn ammonia_follows_the_protein_of_the_feed() {
    let made = found(&["/basins/pond/fish/protein=32 %"], "", "ammonia-made");
    near(made, 4.006e-3 / 86_400.0);
    near(found(&[], "", "ammonia-made"), 4.006e-3 / 0.8 / 86_400.0);
}

/// ASHRAE: in proportion to the pressure wanting in the air and to 0.089 + 0.0782·V. Half saturated in 5 mph (2.2352 m/s) is
/// assumed: 0.089 + 0.0782 × 2.2352 = 0.26379. Still air indoors: 0.089, and 0.5 of an active pool in place of 0.74.
#[test]
fn evaporation_follows_wind_and_humidity() {
    let rate = |changes: &[&str]| found(changes, "", "evaporation") / found(&[], "", "evaporation");
    near(rate(&["/site/wind=5 mph", "/site/humidity=50 %"]), 1.0);
    near(rate(&["/site/humidity=70 %"]), 0.3 / 0.5);
    near(rate(&["/site/wind=2 m/s"]), (0.089 + 0.0782 * 2.0) / 0.26379);
    near(rate(&["/site/wind=none"]), 0.089 / 0.26379 * 0.5 / 0.74);
}

/// Drained ground without load: sliding goes with tan φ/(K_a·ρ) and the weight of the wall. Class B is taken as 30° with
/// K_a = 1/3; 35° has K_a = tan²(27.5°) = 0.27099 and tan φ = 0.70021, so (0.70021/0.27099)/(0.57735/0.33333) = 1.4918.
#[test]
fn a_wall_stands_by_the_soil_and_the_joints_that_it_has() {
    let wall = "/walls/bed-face";
    let sliding = |changes: &[&str]| {
        found(changes, wall, "wall-sliding-factor") / found(&[], wall, "wall-sliding-factor")
    };
    near(sliding(&["/walls/bed-face/friction_angle=35°"]), 1.4918);
    near(sliding(&["/walls/bed-face/soil_unit_weight=100 lb/ft3"]), 1.2);
    near(sliding(&["/walls/bed-face/mortared=true"]), 1.0 / 0.9);
}

/// The courtyard's bed is 6 ft wide and holds 3 ft of water: crossed from end to end, 18 ft² are 1.6723 m².
#[test]
fn a_bed_that_is_not_fed_from_below_is_not_judged_as_if_it_were() {
    let bed = "/basins/bed";
    let across = ["/basins/bed/flow_direction=horizontal"];
    near(
        found(&across, bed, "upflow-rate"),
        found(&across, bed, "through-flow") / 1.6723,
    );
    for way in ["downward", "suction", "horizontal"] {
        let way = format!("/basins/bed/flow_direction={way}");
        for name in ["fluidising-share", "inlet-below-modules", "inflow-head-ratio"] {
            hold(&[(&[&way], bed, name, "does not apply")]);
        }
    }
    hold(&[
        (&across, bed, "coarse-below", "does not apply"),
        (
            &["/basins/bed/flow_direction=downward"],
            bed,
            "coarse-below",
            "yes",
        ),
        (
            &["/basins/bed/flow_direction=downward"],
            bed,
            "layers-below-crest",
            "does not apply",
        ),
    ]);
}

#[test]
fn a_shading_course_of_large_stone_is_no_part_of_the_filter() {
    let cap = |shading: bool| {
        format!(
            "/basins/bed/layers/cap={{\"fill\":\"stone\",\"thickness\":\"8 in\",\"smallest\":\"6 in\",\"largest\":\"10 in\",\
             \"shape\":\"round\",\"porosity\":\"42 %\",\"shading\":{shading}}}"
        )
    };
    let bed = "/basins/bed";
    let (filter, shade) = (cap(false), cap(true));
    hold(&[
        (
            &[&filter],
            bed,
            "coarse-below",
            "no /basins/bed/layers/cap/smallest",
        ),
        (
            &[&filter],
            bed,
            "finishing-layer",
            "no /basins/bed/layers/cap/largest",
        ),
        (&[&shade], bed, "coarse-below", "yes"),
        (&[&shade], bed, "finishing-layer", "yes"),
        (&[&shade], "/basins/bed/layers/cap", "step-ratio", "not entered"),
    ]);
    near(
        found(&[&shade], bed, "layers-below-crest"),
        found(&[], bed, "layers-below-crest"),
    );
}
