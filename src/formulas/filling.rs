//! Filling and joining: mixed temperature, staged dilution, doses.

use super::validity::{any_nan, at_least};

/// Temperature of two waters mixed, K: each temperature (K) weighed by its mass (kg).
///
/// Water's heat capacity is taken as one; within 0.02 K of the balance of enthalpies between 0 and 40 °C.
pub fn mixed_temperature(first: (f64, f64), second: (f64, f64)) -> f64 {
    let ((m1, t1), (m2, t2)) = (first, second);
    (m1 * t1 + m2 * t2) / (m1 + m2)
}

/// Concentration after stages that each take out a share `x` and fill up with source water: `C = C_s + (C_0 − C_s)·(1 −
/// x)^n`, in the unit of the concentrations.
pub fn staged_dilution(start: f64, source: f64, share: f64, stages: u32) -> f64 {
    source + (start - source) * (1.0 - share).powi(i32::try_from(stages).unwrap_or(i32::MAX))
}

/// Stages that bring a concentration down to a target, not rounded; infinite where source water is over it.
pub fn stages_needed(start: f64, source: f64, share: f64, target: f64) -> f64 {
    if any_nan(&[start, source, share, target]) {
        return f64::NAN;
    }
    if target <= source {
        return f64::INFINITY;
    }
    ((target - source) / (start - source)).ln() / (1.0 - share).ln()
}

/// Sodium thiosulfate for a mass of chlorine, least and most, in the unit of the chlorine: 1.9 mg/mg (AWWA pipeline
/// disinfection field guide, table 7-2), and 7.0 by the full chemistry (two molecules to each of chlorine, as the salt
/// with its water of crystals).
pub fn thiosulfate(chlorine: f64) -> (f64, f64) {
    (1.9 * chlorine, 7.0 * chlorine)
}

/// Nitrogen of ammonia that breaking a chloramine residual sets free, in the unit of the residual as chlorine: one atom
/// of nitrogen to each molecule of chlorine, 14.007/70.906.
pub fn ammonia_of_chloramine(residual: f64) -> f64 {
    residual * 14.007 / 70.906
}

/// Evaporation of open water, kg/(m²·s), after ASHRAE: `w = (p_w − p_a)·(0.089 + 0.0782·V)/Y`, saturation pressure at
/// the water's temperature p_w and vapour pressure of the air p_a (kPa), wind V (m/s), latent heat Y (kJ/kg).
///
/// Range: an active pool; a still one has 0.5 to 0.74 of it. Source: ASHRAE Handbook, HVAC Applications.
pub fn evaporation(water_pressure: f64, air_pressure: f64, wind: f64, latent_heat: f64) -> f64 {
    at_least(water_pressure - air_pressure, 0.0) / 1000.0 * (0.089 + 0.0782 * wind) / latent_heat
}
