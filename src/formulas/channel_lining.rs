//! Linings of small channels: how rough they are, and how fast the water may run over them.

use super::units::FOOT;

/// Manning's n of trowelled to float-finished concrete, and of render, s/m^(1/3): Chow, Open-Channel Hydraulics
/// (1959), table 5-6, concrete: trowel finish 0.011 to 0.015, float finish 0.013 to 0.016 (from memory).
pub const CONCRETE: (f64, f64) = (0.011, 0.016);
/// Manning's n of dressed stone in mortar, s/m^(1/3): Chow (1959), table 5-6, dressed ashlar: 0.013 to 0.017 (from
/// memory).
pub const DRESSED_STONE: (f64, f64) = (0.013, 0.017);
/// Manning's n of a vegetal lining, s/m^(1/3): Chow (1959), table 5-6: 0.030 to 0.500; thin water among the blades
/// lies near the upper end (from memory).
pub const GRASS: (f64, f64) = (0.030, 0.500);
/// Least Manning's n of a gravel bed, stone of 2 to 64 mm, s/m^(1/3): Arcement & Schneider, USGS Water-Supply Paper
/// 2339 (1989), table 1 (from memory).
pub const GRAVEL_LEAST: f64 = 0.028;
/// Least Manning's n of a cobble bed, stone of 64 to 256 mm, s/m^(1/3); source as for [`GRAVEL_LEAST`].
pub const COBBLES_LEAST: f64 = 0.030;
/// Least Manning's n of a boulder bed, stone over 256 mm, s/m^(1/3); source as for [`GRAVEL_LEAST`].
pub const BOULDERS_LEAST: f64 = 0.040;

/// Slope up to which the first permissible velocity of grass holds, drop over length.
const GRASS_FLAT: f64 = 0.05;

/// Permissible velocity over grass mixtures on easily eroded soil, m/s: 4 ft/s on slopes to 5 %, 3 ft/s on steeper
/// ones, up to 10 %. US Soil Conservation Service, SCS-TP-61, Handbook of Channel Design for Soil and Water
/// Conservation.
pub fn grass_velocity(slope: f64) -> f64 {
    if slope.is_nan() {
        return f64::NAN;
    }
    let feet = if slope <= GRASS_FLAT { 4.0 } else { 3.0 };
    feet * FOOT
}

/// Permissible velocity over concrete, m/s: 18 ft/s. Fischenich, Stability Thresholds for Stream Restoration
/// Materials, ERDC TN-EMRRP-SR-29 (2001), table 2 (from memory).
pub const CONCRETE_VELOCITY: f64 = 18.0 * FOOT;
