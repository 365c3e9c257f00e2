//! The sheet of water that leaves a free overfall: how fast, how thick, how far it is thrown.

use super::{validity::at_least, water::STANDARD_GRAVITY as G, weir};

/// Mean velocity of the sheet on the brink, m/s: flow per width (m²/s) over the depth there
/// ([`weir::brink_depth`]). Zero for no flow.
///
/// ```
/// // By hand, 0.01 m²/s: critical depth 21.68 mm, on the brink 15.50 mm.
/// assert!((bywash::formulas::nappe::brink_velocity(0.01) - 0.6450).abs() < 5e-4);
/// ```
pub fn brink_velocity(flow_per_width: f64) -> f64 {
    if flow_per_width <= 0.0 {
        return 0.0;
    }
    flow_per_width / weir::brink_depth(flow_per_width)
}

/// How far from the brink the middle of the sheet lands, m: `x = v·√(2·z/g)`, z from the middle of the sheet on the
/// brink down to the water.
///
/// Arguments: flow per width, m²/s; drop from the crest to the water it falls on, m. Free fall in still air from a
/// level brink, the sheet springing clear; a thin sheet clings or breaks up and lands nearer.
///
/// ```
/// // By hand, 0.01 m²/s falling 0.6 m: 0.227 m out.
/// assert!((bywash::formulas::nappe::throw(0.01, 0.6) - 0.2271).abs() < 5e-4);
/// ```
pub fn throw(flow_per_width: f64, drop: f64) -> f64 {
    let fall = drop + weir::brink_depth(at_least(flow_per_width, 0.0)) / 2.0;
    brink_velocity(flow_per_width) * (2.0 * at_least(fall, 0.0) / G).sqrt()
}

/// Thickness of the sheet where it lands, m: flow per width over the speed it has reached,
/// `t = q/√(v² + 2·g·z)`.
///
/// Arguments as for [`throw`]; air drawn in is not counted.
///
/// ```
/// // By hand, 0.01 m²/s at √(0.645² + 2·g·0.6) = 3.490 m/s: 2.87 mm.
/// assert!((bywash::formulas::nappe::landing_thickness(0.01, 0.6) - 2.865e-3).abs() < 1e-5);
/// ```
pub fn landing_thickness(flow_per_width: f64, drop: f64) -> f64 {
    if flow_per_width <= 0.0 && !drop.is_nan() {
        return 0.0;
    }
    let brink = brink_velocity(flow_per_width);
    flow_per_width / (brink * brink + 2.0 * G * at_least(drop, 0.0)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_flow_has_no_sheet() {
        assert_eq!(brink_velocity(0.0), 0.0);
        assert_eq!(throw(0.0, 1.0), 0.0);
        assert_eq!(landing_thickness(0.0, 1.0), 0.0);
    }

    /// Worked by hand: q 0.01 m²/s, y_c 21.68 mm, brink 15.50 mm, 0.645 m/s; 0.6 m down it is thrown 0.227 m.
    #[test]
    fn a_sheet_worked_by_hand() {
        assert!((brink_velocity(0.01) - 0.6450).abs() < 5e-4);
        assert!((throw(0.01, 0.6) - 0.2271).abs() < 5e-4);
        assert!((landing_thickness(0.01, 0.6) - 0.01 / 3.4902).abs() < 1e-5);
    }

    #[test]
    fn more_water_and_more_drop_throw_further() {
        assert!(throw(0.02, 0.6) > throw(0.01, 0.6));
        assert!(throw(0.01, 0.9) > throw(0.01, 0.6));
    }
}
