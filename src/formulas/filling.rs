//! Filling and joining: mixed temperature, staged dilution, doses.

use super::validity::any_nan;

/// Temperature of two waters mixed, K: each temperature (K) weighed by its mass (kg).
///
/// Water's heat capacity is taken as one; within 0.02 K of the balance of enthalpies between 0 and 40 °C.
///
/// ```
/// use bywash::formulas::filling::mixed_temperature;
/// // A tenth of the water 10 °F colder moves the pond by 1.0 °F (computed).
/// let mixed = mixed_temperature((9.0, 293.15), (1.0, 293.15 - 10.0 / 1.8));
/// assert!(((293.15 - mixed) * 1.8 - 1.0).abs() < 1e-9);
/// ```
pub fn mixed_temperature(first: (f64, f64), second: (f64, f64)) -> f64 {
    let ((m1, t1), (m2, t2)) = (first, second);
    (m1 * t1 + m2 * t2) / (m1 + m2)
}

/// Concentration after stages that each take out a share `x` and fill up with source water: `C = C_s + (C_0 − C_s)·(1 −
/// x)^n`, in the unit of the concentrations.
///
/// ```
/// // Three changes of half each leave an eighth.
/// assert!((bywash::formulas::filling::staged_dilution(8.0, 0.0, 0.5, 3) - 1.0).abs() < 1e-12);
/// ```
pub fn staged_dilution(start: f64, source: f64, share: f64, stages: u32) -> f64 {
    source + (start - source) * (1.0 - share).powi(i32::try_from(stages).unwrap_or(i32::MAX))
}

/// Stages that bring a concentration down to a target, not rounded; infinite where source water is over it.
///
/// ```
/// // An eighth takes three changes of half each.
/// assert!((bywash::formulas::filling::stages_needed(8.0, 0.0, 0.5, 1.0) - 3.0).abs() < 1e-12);
/// ```
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
///
/// ```
/// // 5.1 g of chlorine: 9.7 g at 1.9 mg/mg, 35.7 g by the full chemistry (computed).
/// let (least, most) = bywash::formulas::filling::thiosulfate(5.1);
/// assert!((least - 9.7).abs() < 0.02 && (most - 35.7).abs() < 1e-9);
/// ```
pub fn thiosulfate(chlorine: f64) -> (f64, f64) {
    (1.9 * chlorine, 7.0 * chlorine)
}

/// Nitrogen of ammonia that breaking a chloramine residual sets free, in the unit of the residual as chlorine: one atom
/// of nitrogen to each molecule of chlorine, 14.007/70.906.
///
/// ```
/// // One atom of nitrogen to each molecule of chlorine: 14.007/70.906 = 0.1975.
/// assert!((bywash::formulas::filling::ammonia_of_chloramine(1.0) - 0.1975).abs() < 1e-4);
/// ```
pub fn ammonia_of_chloramine(residual: f64) -> f64 {
    residual * 14.007 / 70.906
}
