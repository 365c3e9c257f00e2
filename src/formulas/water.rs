//! Water and the air above it.

/// Standard acceleration of free fall, m/s² (3rd CGPM, 1901); used throughout.
pub const STANDARD_GRAVITY: f64 = 9.80665;
