//! Water and the air above it.

use std::ops::RangeInclusive;

/// Standard acceleration of free fall, m/s² (3rd CGPM, 1901); used throughout.
pub const STANDARD_GRAVITY: f64 = 9.80665;

/// Density of water that soil, concrete and stone are set against, kg/m³: rounded, as the handbooks of foundations do.
/// What moves water takes [`density`].
pub const NOMINAL_DENSITY: f64 = 1000.0;

/// Temperatures of liquid water, K, for which the formulas of this module are used; within their published
/// range of
/// 253.15 K to 383.15 K.
pub const TEMPERATURE_RANGE: RangeInclusive<f64> = 273.15..=373.15;

/// Altitudes, m, for which [`atmospheric_pressure`] holds: the troposphere of the standard atmosphere.
pub const ALTITUDE_RANGE: RangeInclusive<f64> = -1000.0..=11_000.0;

/// Coefficient and exponent of one term.
type Term = (f64, i32);

/// Terms in `10 K/(593 K − T)` of the specific volume.
const WARM_TERMS: [Term; 5] = [
    (6.74458446e3, 4),
    (-2.22521604e5, 5),
    (1.00231247e8, 7),
    (-1.63552118e9, 8),
    (8.32299658e9, 9),
];

/// Terms in `10 K/(T − 232 K)` of the specific volume.
const COLD_TERMS: [Term; 6] = [
    (5.78545292e-3, 1),
    (-1.53195665e-2, 2),
    (3.11337859e-2, 3),
    (-4.23546241e-2, 4),
    (3.38713507e-2, 5),
    (-1.19946761e-2, 6),
];

/// Density of liquid water at 0.1 MPa, kg/m³, from temperature in K.
///
/// `1/ρ = (R·10 K/0.1 MPa)·(a₅ + Σ aᵢ·αⁿ + Σ bᵢ·βᵐ)`, α = 10 K/(593 K − T), β = 10 K/(T − 232 K).
/// Range: [`TEMPERATURE_RANGE`]; `NaN` outside. Source: IAPWS SR6-08(2011), equation for the specific volume.
///
/// ```
/// // IAPWS SR6-08(2011): 997.047 kg/m³ at 25 °C and 0.1 MPa.
/// assert!((bywash::formulas::water::density(298.15) - 997.047).abs() < 2e-3);
/// // A temperature in °C is no temperature in K.
/// assert!(bywash::formulas::water::density(25.0).is_nan());
/// ```
pub fn density(t: f64) -> f64 {
    if !TEMPERATURE_RANGE.contains(&t) {
        return f64::NAN;
    }
    let sum = |terms: &[Term], x: f64| terms.iter().map(|&(c, n)| c * x.powi(n)).sum::<f64>();
    let volume_per_reduced = 461.51805 * 10.0 / 0.1e6;
    let reduced = 1.93763157e-2 + sum(&WARM_TERMS, 10.0 / (593.0 - t)) + sum(&COLD_TERMS, 10.0 / (t - 232.0));
    1.0 / (volume_per_reduced * reduced)
}

/// Dynamic viscosity of liquid water at 0.1 MPa, Pa·s, from temperature in K.
///
/// `μ = 10⁻⁶·Σ aᵢ·(T/300 K)^bᵢ`. Range: [`TEMPERATURE_RANGE`]; `NaN` outside. Source: IAPWS SR6-08(2011).
///
/// ```
/// // IAPWS SR6-08(2011): 890.0 µPa·s at 25 °C and 0.1 MPa.
/// assert!((bywash::formulas::water::dynamic_viscosity(298.15) - 8.900e-4).abs() < 1e-7);
/// ```
pub fn dynamic_viscosity(t: f64) -> f64 {
    if !TEMPERATURE_RANGE.contains(&t) {
        return f64::NAN;
    }
    let reduced = t / 300.0;
    1e-6 * (280.68 * reduced.powf(-1.9)
        + 511.45 * reduced.powf(-7.7)
        + 61.131 * reduced.powf(-19.6)
        + 0.45903 * reduced.powf(-40.0))
}

/// Kinematic viscosity `μ/ρ` of liquid water at 0.1 MPa, m²/s, from temperature in K.
///
/// ```
/// // At 20 °C 1.0035·10⁻⁶ m²/s (IAPWS).
/// assert!((bywash::formulas::water::kinematic_viscosity(293.15) - 1.0035e-6).abs() < 1e-9);
/// ```
pub fn kinematic_viscosity(t: f64) -> f64 {
    dynamic_viscosity(t) / density(t)
}

/// Vapour pressure of water (saturation over a flat surface), Pa, from temperature in K.
///
/// `ln(p/p_c) = (T_c/T)·(a₁τ + a₂τ^1.5 + a₃τ³ + a₄τ^3.5 + a₅τ⁴ + a₆τ^7.5)`, τ = 1 − T/T_c.
/// Range: [`TEMPERATURE_RANGE`]; `NaN` outside. Source: Wagner & Pruss (1993), IAPWS SR1-86(1992).
///
/// ```
/// // Steam tables: 3.1699 kPa at 25 °C.
/// assert!((bywash::formulas::water::vapour_pressure(298.15) - 3169.9).abs() < 1.0);
/// ```
pub fn vapour_pressure(t: f64) -> f64 {
    const CRITICAL_TEMPERATURE: f64 = 647.096;
    const CRITICAL_PRESSURE: f64 = 22.064e6;
    if !TEMPERATURE_RANGE.contains(&t) {
        return f64::NAN;
    }
    let tau = 1.0 - t / CRITICAL_TEMPERATURE;
    let sum = -7.85951783 * tau + 1.84408259 * tau.powf(1.5) - 11.7866497 * tau.powi(3)
        + 22.6807411 * tau.powf(3.5)
        - 15.9618719 * tau.powi(4)
        + 1.80122502 * tau.powf(7.5);
    CRITICAL_PRESSURE * (CRITICAL_TEMPERATURE / t * sum).exp()
}

/// Atmospheric pressure at an altitude, Pa, from metres above sea level.
///
/// `p = 101 325 Pa·(1 − 2.25577·10⁻⁵·h)^5.25588`. Range: [`ALTITUDE_RANGE`]; `NaN` outside. Source: ISO 2533
/// standard atmosphere, troposphere.
///
/// ```
/// // ISO 2533: 89 876 Pa at 1000 m.
/// assert!((bywash::formulas::water::atmospheric_pressure(1000.0) - 89_876.0).abs() < 10.0);
/// ```
pub fn atmospheric_pressure(altitude: f64) -> f64 {
    if !ALTITUDE_RANGE.contains(&altitude) {
        return f64::NAN;
    }
    101_325.0 * (1.0 - 2.25577e-5 * altitude).powf(5.25588)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outside_the_range_nothing_is_said() {
        for t in [273.0, 374.0, f64::NAN] {
            assert!(density(t).is_nan());
            assert!(dynamic_viscosity(t).is_nan());
            assert!(kinematic_viscosity(t).is_nan());
            assert!(vapour_pressure(t).is_nan());
        }
        assert!(atmospheric_pressure(12_000.0).is_nan());
    }

    #[test]
    fn water_is_densest_near_four_degrees() {
        let peak = density(277.13);
        assert!(peak > density(276.5) && peak > density(277.8));
    }
}
