//! Linings of small channels: how rough they are, and how fast the water may run over them.

use super::units::FOOT;

/// Manning's n of a vegetal lining under thin water, s/m^(1/3): Chow (1959), table 5-6, lined channels: 0.030 to 0.500, near
/// the upper end where the water runs among the blades (from memory). [`super::roughness::Lining::Grass`] is grass well
/// under water.
pub const GRASS: (f64, f64) = (0.030, 0.500);
/// Slope up to which the first permissible velocity of grass holds, drop over length.
const GRASS_FLAT: f64 = 0.05;

/// Permissible velocity over grass mixtures on easily eroded soil, m/s: 4 ft/s on slopes to 5 %, 3 ft/s on steeper
/// ones, up to 10 %. US Soil Conservation Service, SCS-TP-61, Handbook of Channel Design for Soil and Water
/// Conservation.
///
/// ```
/// use bywash::formulas::channel_lining::grass_velocity;
/// // 4 ft/s at 5 %, 3 ft/s at 8 %.
/// assert!((grass_velocity(0.05) / 0.3048 - 4.0).abs() < 1e-9);
/// assert!((grass_velocity(0.08) / 0.3048 - 3.0).abs() < 1e-9);
/// ```
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
