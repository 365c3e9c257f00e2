//! The first fill: on new work all is filled, on a retrofit the beds.

use bywash::ledger::Found;

use super::{answer, hold};

const NEW: &str = "/project/work=new";

fn found(changes: &[&str], name: &str) -> f64 {
    match answer(changes, "", name) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("no {name}: {other:?}"),
    }
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 2e-3 * wanted, "{found}, not {wanted}");
}

/// By hand, in feet. Pond, 16 by 11 at the rim, sides 0.2:1, 4 ft of water 0.5 ft under the rim: 15.8 × 10.8 at the water,
/// 15.0 × 10.0 half way down, 14.2 × 9.2 at the floor: V = 4/6·(170.64 + 4·150 + 130.64) = 600.85 ft³. Bed of 48 ft²:
/// modules 24 ft² × 1 × 0.95, stone beside them 24 × 1 × 0.42, layers 48 × (10/12 × 0.42 + 7/12 × 0.40 + 6/12 × 0.40), 1 in of
/// open water 48/12: 74.48 ft³ = 557.1 gal. Together 675.33 ft³ = 5,051.8 gal, at 480 gph.
#[test]
fn on_new_work_everything_is_filled() {
    near(found(&[], "fill-time"), 557.1 / 480.0 * 3600.0);
    near(found(&[NEW], "fill-time"), 5051.8 / 480.0 * 3600.0);
    near(found(&[NEW], "joining-volume"), 675.33 * 0.3048_f64.powi(3));
    // 14 mg/L in 5,051.8 gal of 3.785412 L.
    near(found(&[NEW], "dechlorinator-mass"), 14e-6 * 5051.8 * 3.785_412);
    // Tanks of 1,500 gal against the fill.
    near(found(&[NEW], "standing-over-needed"), 1500.0 / 5051.8);
    near(found(&[], "standing-over-needed"), 1500.0 / 557.1);
}

/// All water is new: of 1.8 mg/L of chlorine as chloramine comes 1.8 × 14/70.9 mg/L of nitrogen, undiluted; on the retrofit
/// it is diluted 557.1 in 5,051.8.
#[test]
fn on_new_work_nothing_dilutes_the_new_water() {
    let (new, retrofit) = (found(&[NEW], "ammonia-freed"), found(&[], "ammonia-freed"));
    near(new / retrofit, 5051.8 / 557.1);
}

/// A plan that does not say whether it is new work counts the beds alone.
#[test]
fn on_new_work_no_fish_see_a_step() {
    hold(&[(&[NEW], "", "joining-temperature-step", "does not apply")]);
    near(
        found(&["/project/work=null"], "fill-time"),
        557.1 / 480.0 * 3600.0,
    );
}
