//! Concrete shells and molded tanks float too when they stand empty in wet ground; shell and ballast hold them down.

use super::hold;

/// A round tank 3 m wide and 2 m deep inside, in ground that is wet to its rim.
const TANK: [&str; 7] = [
    "/basins/pond/shape={\"form\":\"circle\",\"length\":\"3 m\",\"side_slope\":\"0:1\"}",
    "/basins/pond/rim=0 m",
    "/basins/pond/floor=-2 m",
    "/basins/pond/still=-0.2 m",
    "/basins/pond/lining=none",
    "/basins/pond/dewatered=none",
    "/site/groundwater=0 m",
];

const CONCRETE: &str =
    "/basins/pond/construction={\"kind\":\"concrete shell\",\"wall\":\"0.2 m\",\"floor\":\"0.2 m\"}";

fn tank<'a>(more: &[&'a str]) -> Vec<&'a str> {
    TANK.into_iter().chain(more.iter().copied()).collect()
}

/// By hand. Outside π·1.7²·2.2 = 19.974 m³, inside π·1.5²·2 = 14.137 m³, so 5.837 m³ of concrete, at 2,320 kg/m³ 13,542 kg,
/// against 19,974 kg of water displaced: 0.678. Filled to 0.2 m under the rim, with π·1.5²·1.8 = 12,723 kg of water: 1.315.
/// With 11,000 kg of ballast the empty shell weighs 24,542 kg: 1.2287.
#[test]
fn a_concrete_shell_floats_empty_unless_ballast_holds_it() {
    let at = "/basins/pond";
    let empty = tank(&[CONCRETE]);
    let held = tank(&[CONCRETE, "/basins/pond/ballast=11000 kg"]);
    hold(&[
        (&empty, at, "uplift-factor-empty", "0.6780"),
        (&empty, at, "uplift-factor-filled", "1.3150"),
        (&empty, at, "empty-held-down", "no /basins/pond/dewatered"),
        (&held, at, "uplift-factor-empty", "1.2287"),
        (&held, at, "empty-held-down", "yes"),
    ]);
}

/// A wall of even thickness round a rectangle 10 by 2 m, 1 m deep: 0.2·24 + π·0.2² = 4.9257 m² of wall, and the floor
/// 0.15 thick under 20 + 4.9257 m²: (4.9257 + 3.7388) m³ × 2,320 kg/m³ = 20,102 kg.
#[test]
fn a_long_basin_has_more_wall_than_a_round_one() {
    let shape = "/basins/pond/shape={\"form\":\"rectangle\",\"length\":\"10 m\",\"width\":\"2 m\",\"side_slope\":\"0:1\"}";
    let concrete =
        "/basins/pond/construction={\"kind\":\"concrete shell\",\"wall\":\"0.2 m\",\"floor\":\"0.15 m\"}";
    let long = tank(&[shape, "/basins/pond/floor=-1 m", concrete]);
    hold(&[(&long, "/basins/pond", "shell-mass", "20101.6708")]);
}

/// A plastic tank of 150 kg displaces 14,137 kg.
#[test]
fn a_molded_tank_floats_and_what_stands_above_ground_does_not() {
    let at = "/basins/pond";
    let molded = "/basins/pond/construction={\"kind\":\"molded tank\",\"mass\":\"150 kg\"}";
    let molded = tank(&[molded]);
    let unweighed = tank(&["/basins/pond/construction={\"kind\":\"molded tank\"}"]);
    let above = tank(&["/basins/pond/construction={\"kind\":\"above ground\"}"]);
    let silent = tank(&[]);
    hold(&[
        (&molded, at, "uplift-factor-empty", "0.0106"),
        (&molded, at, "empty-held-down", "no /basins/pond/dewatered"),
        (
            &unweighed,
            at,
            "uplift-factor-empty",
            "asks /basins/pond/construction/mass",
        ),
        (&above, at, "uplift-factor-empty", "not entered"),
        (
            &silent,
            at,
            "uplift-factor-empty",
            "asks /basins/pond/construction",
        ),
    ]);
}
