//! What formulas do with numbers outside their range: no number goes in, no number comes out.
//!
//! `f64::max` and `f64::min` pass over `NaN`, so that `NaN.max(0.0)` is a plausible zero; these keep it.

use std::ops::RangeInclusive;

/// The value, or a least one where it is below that; `NaN` stays.
pub(crate) fn at_least(value: f64, least: f64) -> f64 {
    if value < least { least } else { value }
}

/// The value, or a greatest one where it is above that; `NaN` stays.
pub(crate) fn at_most(value: f64, most: f64) -> f64 {
    if value > most { most } else { value }
}

/// The value where it lies within a range, else `NaN`.
pub(crate) fn within(value: f64, range: &RangeInclusive<f64>) -> f64 {
    if range.contains(&value) { value } else { f64::NAN }
}

/// The value where it is zero or more, else `NaN`: a length, an area, a mass.
pub(crate) fn not_negative(value: f64) -> f64 {
    if value >= 0.0 { value } else { f64::NAN }
}

/// The value where it is above zero, else `NaN`: what something is divided by.
pub(crate) fn positive(value: f64) -> f64 {
    if value > 0.0 { value } else { f64::NAN }
}

/// Whether any of the values is no number.
pub(crate) fn any_nan(values: &[f64]) -> bool {
    values.iter().any(|value| value.is_nan())
}
