//! What all drawings have in common: their width.

/// Width of every drawing, pt: what is left of Letter and A4 paper between usual margins.
pub const WIDTH: f64 = 500.0;
