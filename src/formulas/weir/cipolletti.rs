//! Trapezoidal weirs whose sides lean out by a quarter, so that they pass what the end contractions take away.

use super::{at_least, power_law};

/// Coefficient of the Cipolletti weir, m^½/s: 3.367 ft^½/s.
pub const CIPOLLETTI: f64 = 1.8589;

/// Cipolletti (trapezoidal) weir, m³/s: `Q = 1.859·L·h^1.5`, in feet `3.367·L·h^1.5`; sides at 1 horizontal to 4 vertical.
///
/// Arguments: length of the crest `L` at the bottom of the notch and head `h`, m. Result within 5 %. Limits:
/// [`super::Equation::Cipolletti`]. Source: USBR Water Measurement Manual, section 7-12, equation 7-7 (seen).
///
/// ```
/// use bywash::formulas::weir::cipolletti;
/// // A crest of 2 ft under 0.5 ft of head: 3.367·2·0.5^1.5 = 2.381 cfs.
/// let flow = cipolletti(2.0 * 0.3048, 0.5 * 0.3048);
/// assert!((flow / 0.0283168 - 2.381).abs() < 1e-3);
/// ```
pub fn cipolletti(length: f64, head: f64) -> f64 {
    power_law(CIPOLLETTI, length, at_least(head, 0.0)).0
}

/// Head for a flow (m³/s) over a Cipolletti weir of a crest length (m), m: the inverse of [`cipolletti`].
///
/// ```
/// use bywash::formulas::weir::{cipolletti, cipolletti_head};
/// assert!((cipolletti_head(0.6, cipolletti(0.6, 0.12)) - 0.12).abs() < 1e-12);
/// ```
pub fn cipolletti_head(length: f64, flow: f64) -> f64 {
    (at_least(flow, 0.0) / (CIPOLLETTI * length)).powf(2.0 / 3.0)
}
