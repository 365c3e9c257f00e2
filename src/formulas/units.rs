//! Sizes of the units that published tables and formulas are printed in, in SI.

/// Inch, m (exact).
pub const INCH: f64 = 0.0254;
/// Foot, m (exact).
pub const FOOT: f64 = 0.3048;
/// Pound per square inch, Pa.
pub const PSI: f64 = 6_894.757_293_168;
/// Mean of a day, s.
pub const DAY: f64 = 86_400.0;
/// Freezing point of water on the Kelvin scale, K: 0 °C.
pub const CELSIUS: f64 = 273.15;
