//! Bends by their radius.

use std::f64::consts::FRAC_PI_4;

use super::{crane_friction_factor, positive};

/// Radius of a 90° bend over the inside diameter, and K over f_T: Crane TP-410 (read in copies, the documentation of two
/// simulation libraries).
const CRANE_BENDS: [(f64, f64); 13] = [
    (1.0, 20.0),
    (1.5, 14.0),
    (2.0, 12.0),
    (3.0, 12.0),
    (4.0, 14.0),
    (6.0, 17.0),
    (8.0, 24.0),
    (10.0, 30.0),
    (12.0, 34.0),
    (14.0, 38.0),
    (16.0, 42.0),
    (20.0, 50.0),
    (24.0, 58.0),
];

/// K of a smooth bend by its radius: Crane TP-410, `K = n(r/D)·f_T` for 90°, linear between the rows of its table, with the
/// length of the bend in it. Beyond 90°: `K = (q − 1)·(¼·π·f_T·r/D + ½·K₉₀) + K₉₀` for q bends of 90° (Crane). Below 90°:
/// times `(0.0148·θ − 3.9716·10⁻⁵·θ²)/1.0103`, θ in degrees (Keller, read in a copy).
///
/// Arguments: radius of the centre line and inside diameter, m; angle, degrees. Result: K on the velocity in the pipe. Range:
/// `r/D` from 1 to 24, angles from 0 to 360°, turbulent flow; `NaN` outside. Sharper elbows: [`super::FITTINGS`].
///
/// ```
/// use bywash::formulas::fittings::{bend, crane_friction_factor};
/// // Crane TP-410: a 90° bend of r/D 3 has 12·f_T.
/// let k = bend(0.3, 0.1, 90.0);
/// assert!((k / crane_friction_factor(0.1) - 12.0).abs() < 1e-9);
/// ```
pub fn bend(radius: f64, inside_diameter: f64, angle: f64) -> f64 {
    let ratio = radius / inside_diameter;
    let friction = crane_friction_factor(inside_diameter);
    let Some(factor) = factor(ratio) else {
        return f64::NAN;
    };
    let right = factor * friction;
    if !(0.0..=360.0).contains(&angle) {
        return f64::NAN;
    }
    if angle <= 90.0 {
        let share = |angle: f64| 0.0148 * angle - 3.9716e-5 * angle * angle;
        return right * share(angle) / share(90.0);
    }
    (angle / 90.0 - 1.0) * (FRAC_PI_4 * friction * ratio + right / 2.0) + right
}

/// K over f_T of a 90° bend.
fn factor(ratio: f64) -> Option<f64> {
    CRANE_BENDS.windows(2).find_map(|pair| {
        let [low, high] = pair else { return None };
        let inside = low.0 <= ratio && ratio <= high.0;
        inside.then(|| low.1 + (ratio - low.0) / (high.0 - low.0) * (high.1 - low.1))
    })
}

/// The mouth by which water enters a pipe from a basin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entrance {
    /// Flush with the wall, edge sharp.
    Flush,
    /// The pipe stands out into the water.
    Projecting,
    /// Flush, with its edge rounded to a radius in m.
    Rounded {
        /// Radius of the edge, m.
        radius: f64,
    },
}

/// Radius of a rounded entrance over the inside diameter, and K: Crane TP-410 (read in a copy, an open library).
const CRANE_ENTRANCES: [(f64, f64); 6] = [
    (0.0, 0.5),
    (0.02, 0.28),
    (0.04, 0.24),
    (0.06, 0.15),
    (0.10, 0.09),
    (0.15, 0.04),
];

/// K of an entrance on the velocity in a pipe of an inside diameter in m: Crane TP-410, 0.5 flush and sharp, 0.78
/// projecting, rounded by radius over diameter, linear between the rows, 0.04 from 0.15 on.
///
/// ```
/// use bywash::formulas::fittings::{Entrance, entrance};
/// // Crane TP-410: r/d 0.06 has 0.15.
/// assert!((entrance(Entrance::Rounded { radius: 0.006 }, 0.1) - 0.15).abs() < 1e-9);
/// assert_eq!(entrance(Entrance::Projecting, 0.1), 0.78);
/// ```
pub fn entrance(form: Entrance, inside_diameter: f64) -> f64 {
    if positive(inside_diameter).is_nan() {
        return f64::NAN;
    }
    let ratio = match form {
        Entrance::Flush => return 0.5,
        Entrance::Projecting => return 0.78,
        Entrance::Rounded { radius } => radius / inside_diameter,
    };
    if ratio.is_nan() || ratio < 0.0 {
        return f64::NAN;
    }
    let between = CRANE_ENTRANCES.windows(2).find_map(|pair| {
        let [low, high] = pair else { return None };
        (ratio <= high.0).then(|| low.1 + (ratio - low.0) / (high.0 - low.0) * (high.1 - low.1))
    });
    between.unwrap_or(0.04)
}
