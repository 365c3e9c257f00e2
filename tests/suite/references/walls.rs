//! Gravity walls against sums worked by hand, and Rankine's coefficients of the textbooks.

use bywash::formulas::walls::{Backing, Gravity, active};

use super::table::close;

/// `K_a` of 30° is one third exactly; 20° and 40° as textbooks print them (from memory): 0.490 and 0.217.
#[test]
fn reference_active_pressure() {
    close(active(30.0_f64.to_radians()), 1.0 / 3.0, 1e-12, "30°");
    close(active(20.0_f64.to_radians()), 0.490, 1e-3, "20°");
    close(active(40.0_f64.to_radians()), 0.217, 3e-3, "40°");
}

/// By hand: 2 m of soil of 1800 kg/m³ at 30°, a load of 9.80665 kPa behind, a block of 1.2 m by 2 m of 2400 kg/m³.
/// In units of g: soil ½·⅓·1800·4 = 1200 at ⅔ m, load ⅓·1000·2 = 666.7 at 1 m: thrust 1866.7, moment 1466.7.
/// Weight 5760, moment 3456. Sliding at 0.5: 2880/1866.7 = 1.543; tipping 3456/1466.7 = 2.356.
/// Resultant at 1989.3/5760 = 0.34537 m, past the middle third: 2·5760/(3·0.34537) = 11118.6.
#[test]
fn reference_a_block_by_hand() {
    let wall = Gravity {
        height: 2.0,
        base: 1.2,
        batter: 0.0,
        density: 2400.0,
    };
    let mut ground = Backing {
        height: 2.0,
        friction: 30.0_f64.to_radians(),
        density: 1800.0,
        surcharge: 9806.65,
        drained: true,
    };
    let stands = wall.against(&ground, 0.5);
    close(stands.sliding, 1.543, 5e-4, "sliding");
    close(stands.overturning, 2.356, 5e-4, "overturning");
    close(stands.bearing.unwrap() / 9.80665, 11_118.6, 1e-4, "bearing");
    // Undrained, without the load: soil ½·⅓·800·4 = 533.3, water ½·1000·4 = 2000: thrust 2533.3 at ⅔ m, moment 1688.9.
    // Uplift under the base ½·1000·2·1.2 = 1200 at 0.8 m, moment 960. Sliding 0.5·(5760 − 1200)/2533.3 = 0.900;
    // tipping 3456/(1688.9 + 960) = 1.3047. Resultant at (3456 − 1688.9 − 960)/4560 = 0.17700 m: 2·4560/(3·0.17700) = 17175.
    ground.drained = false;
    ground.surcharge = 0.0;
    let wet = wall.against(&ground, 0.5);
    close(wet.sliding, 0.900, 5e-4, "wet, sliding");
    close(wet.overturning, 1.3047, 1e-4, "wet, overturning");
    close(wet.bearing.unwrap() / 9.80665, 17_175.0, 1e-4, "wet, bearing");
    // Lighter than its uplift it floats: nothing bears and nothing rubs.
    let afloat = Gravity {
        density: 400.0,
        ..wall
    }
    .against(&ground, 0.5);
    assert_eq!((afloat.sliding, afloat.bearing), (0.0, None));
}

/// By hand: a base of 1 m, 2 m high, leaning back 0.25: block 0.5·2 at 0.75 m, wedge ½·0.5·2 at ⅓ m.
#[test]
fn reference_a_battered_wall_by_hand() {
    let wall = Gravity {
        height: 2.0,
        base: 1.0,
        batter: 0.25,
        density: 1000.0,
    };
    let (weight, moment) = wall.weight();
    close(weight / 9806.65, 1.5, 1e-12, "weight");
    close(moment / 9806.65, 0.75 + 0.5 / 3.0, 1e-12, "moment");
}
