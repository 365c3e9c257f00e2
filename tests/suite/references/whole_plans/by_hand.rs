//! Heads over overflows and crests of whole plans, worked by hand: with the make-up valve stuck open, what comes in goes out
//! again, so that every flow is known.

use super::{near, told::review};

/// The stuck valve gives 18 m³/h, 5.000e-3 m³/s, all of which leaves over a sharp lip of 0.20 m in open water.
/// Kindsvater and Carter: C_e = 3.152/5.3478 = 0.58940, `(2/3)·√(2·9.80665)` = 2.95242, b + k_b = 0.2024 m, so that
/// Q = 0.352212·(h + 0.001)^1.5; h + 0.001 = (5e-3/0.352212)^⅔ = 0.058629, h = 0.057629 m.
/// The lip lies at −0.62 m: −0.562371 m.
#[test]
fn reference_lip_overflow_by_hand() {
    let told = review("day", &["/water/make_up/flow=18 m3/h"]);
    let level = told.case("make-up-stuck").level("well", "end");
    near(level, -0.62 + 0.057_629, 2e-5, "overflow of the well");
}

/// With the pump off and the valve stuck over the top of three terraces, 10.8 m³/h (3.000e-3 m³/s) runs over each crest in turn.
/// Level stone, Q = 1.705·b·h^1.5: over 0.60 m h = (3e-3/1.023)^⅔ = 0.020488 m, over 0.50 m (3e-3/0.8525)^⅔ = 0.023136 m.
/// The sharp lip of 0.25 m at the bottom, by Kindsvater and Carter: 0.58940·2.95242·0.2524 = 0.439221,
/// (3e-3/0.439221)^⅔ − 0.001 = 0.034999 m.
#[test]
fn reference_crests_of_a_cascade_by_hand() {
    let changes = [
        "/water/make_up/basin=top",
        "/water/make_up/level=+0.89 m",
        "/water/make_up/flow=10.8 m3/h",
    ];
    let told = review(
        "cascade",
        &[&changes[..], &["--case=power-off+make-up-stuck"]].concat(),
    );
    let case = told.asked("power-off+make-up-stuck");
    for (basin, crest, head) in [
        ("top", 0.90, 0.020_488),
        ("middle", 0.45, 0.023_136),
        ("bottom", -0.06, 0.034_999),
    ] {
        near(case.level(basin, "end"), crest + head, 2e-5, basin);
    }
}

/// The stuck valve gives 5.4 m³/h, 1.500e-3 m³/s, all of which leaves by a pipe of 80 mm through the wall that falls 1 in 50.
/// FHWA HDS-5, square edge flush with the wall: 1.5e-3 m³/s runs critical at 0.041549 m, where A = 2.63719e-3 m² and
/// T = 0.079940 m, with the energy 0.041549 + A/(2·T) = 0.058044 m. The rate Q/(A_full·√D)/√0.3048 is 1.91104, so that the
/// entrance adds 0.08·0.0098·1.91104² = 0.002863 m, and the slope takes 0.08·0.5·0.02 = 0.0008 m off: 0.060107 m. The full
/// pipe passes three times that. The mouth lies at −0.25 m. (Critical depth by bisection of Q²·T = g·A³.)
#[test]
fn reference_pipe_through_the_wall_by_hand() {
    let told = review("overflow", &[]);
    let level = told.case("make-up-stuck").level("pond", "end");
    near(level, -0.25 + 0.060_107, 2e-5, "overflow of the pond");
}
