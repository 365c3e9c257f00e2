//! The two root finders that the formulas share: one with the derivative, one without.
//!
//! Both look for the point at which a rising function passes zero, both keep that point between bounds, and both give
//! `NaN` where the function is no number or the bounds do not hold the point.

/// Most steps; halving alone reaches the last bit of a double from any bracket in fewer.
const MOST_STEPS: usize = 200;

/// The point at which a rising function passes zero, by Newton's method kept between bounds.
///
/// Arguments: a guess; bounds below and above, the upper one may be infinite; a step that is small enough to end with;
/// the function with its derivative. Where a step leaves the bounds they are halved, or the point is doubled while there
/// is no upper bound. Ends at the latest once a step is within 1e-15 of the point.
pub(crate) fn newton(
    guess: f64,
    (mut low, mut high): (f64, f64),
    resolution: f64,
    mut function: impl FnMut(f64) -> (f64, f64),
) -> f64 {
    let mut x = guess;
    for _ in 0..MOST_STEPS {
        let (value, slope) = function(x);
        if value < 0.0 {
            low = x;
        } else if value >= 0.0 {
            high = x;
        } else {
            return f64::NAN;
        }
        let tangent = x - value / slope;
        let next = if tangent >= low && tangent <= high {
            tangent
        } else if high.is_finite() {
            f64::midpoint(low, high)
        } else {
            2.0 * x.max(f64::MIN_POSITIVE)
        };
        if (next - x).abs() <= resolution.max(1e-15 * next.abs()) || low >= high {
            return next;
        }
        x = next;
    }
    x
}

/// The point at which a rising function passes zero between two bounds, without its derivative: Chandrupatla (1997),
/// *A new hybrid quadratic/bisection algorithm*, Advances in Engineering Software 28 (from memory).
///
/// Gives a point at which the function is zero or more: the lower bound where it already is there, `NaN` where it is
/// not at the upper bound either. Ends once the function is within `tolerance` above zero, or the bracket is down to the
/// rounding of its ends.
pub(crate) fn bracketed(low: f64, high: f64, tolerance: f64, mut function: impl FnMut(f64) -> f64) -> f64 {
    let at_low = function(low);
    if at_low >= 0.0 {
        return low;
    }
    let at_high = function(high);
    between((low, at_low), (high, at_high), tolerance, function)
}

/// [`bracketed`] where the values at the bounds are known.
pub(crate) fn between(
    (low, at_low): (f64, f64),
    (high, at_high): (f64, f64),
    tolerance: f64,
    mut function: impl FnMut(f64) -> f64,
) -> f64 {
    if !(at_low <= 0.0 && at_high >= 0.0) {
        return f64::NAN;
    }
    // The newest end, and the end on the other side of zero.
    let (mut new, mut other) = ((high, at_high), (low, at_low));
    let mut part: f64 = 0.5;
    for _ in 0..MOST_STEPS {
        let (below, above) = if new.1 >= 0.0 { (other, new) } else { (new, other) };
        let width = above.0 - below.0;
        let least = 2.0 * f64::EPSILON * above.0.abs().max(below.0.abs());
        if above.1 <= tolerance || width <= least {
            return above.0;
        }
        let nudge = 0.5 * least / width;
        let x = new.0 + part.clamp(nudge, 1.0 - nudge) * (other.0 - new.0);
        let value = function(x);
        if value.is_nan() {
            return f64::NAN;
        }
        // The end that was given up.
        let old = if (value >= 0.0) == (new.1 >= 0.0) {
            new
        } else {
            std::mem::replace(&mut other, new)
        };
        new = (x, value);
        part = inverse_quadratic(new, other, old);
    }
    if new.1 >= 0.0 { new.0 } else { other.0 }
}

/// How far from the newest end to the other one the next point lies: by inverse quadratic interpolation where that is
/// safe, by halving where it is not.
fn inverse_quadratic(new: (f64, f64), other: (f64, f64), old: (f64, f64)) -> f64 {
    let xi = (new.0 - other.0) / (old.0 - other.0);
    let phi = (new.1 - other.1) / (old.1 - other.1);
    if !(phi * phi < xi && (1.0 - phi).powi(2) < 1.0 - xi) {
        return 0.5;
    }
    let first = new.1 / (other.1 - new.1) * old.1 / (other.1 - old.1);
    let second = (old.0 - new.0) / (other.0 - new.0) * new.1 / (old.1 - new.1) * other.1 / (old.1 - other.1);
    let part = first + second;
    if part.is_finite() { part } else { 0.5 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Wallis's equation x³ − 2x − 5 = 0, the example Newton's method was first printed with: 2.0945514815423265.
    const WALLIS: f64 = 2.094_551_481_542_326_5;

    fn wallis(x: f64) -> (f64, f64) {
        (x * x * x - 2.0 * x - 5.0, 3.0 * x * x - 2.0)
    }

    #[test]
    fn both_solve_wallis() {
        let by_newton = newton(1.0, (0.0, f64::INFINITY), 0.0, wallis);
        let by_bracket = bracketed(0.0, 10.0, 0.0, |x| wallis(x).0);
        assert!((by_newton - WALLIS).abs() < 1e-15, "{by_newton}");
        assert!((by_bracket - WALLIS).abs() < 2e-15, "{by_bracket}");
    }

    #[test]
    fn hard_functions_are_bracketed_in_few_steps() {
        let functions: [fn(f64) -> f64; 5] = [
            |x| x.powi(9),
            |x| (x - 0.3).cbrt(),
            |x| if x < 0.7 { -1.0 } else { 1.0 },
            |x| x.exp() - 1e6,
            |x| 1.0 - 1.0 / (x + 2.0).max(1e-300).powi(6),
        ];
        for (index, function) in functions.into_iter().enumerate() {
            let mut calls = 0;
            let x = bracketed(-1.9, 20.0, 0.0, |x| {
                calls += 1;
                function(x)
            });
            assert!(
                function(x) >= 0.0 && function(x - 1e-12 * x.abs().max(1e-3)) <= 0.0,
                "{index}: {x}"
            );
            assert!(calls <= 130, "{index}: {calls} calls");
        }
    }

    #[test]
    fn no_number_gives_no_number() {
        assert!(newton(1.0, (0.0, f64::INFINITY), 0.0, |_| (f64::NAN, 1.0)).is_nan());
        assert!(bracketed(0.0, 1.0, 0.0, |_| f64::NAN).is_nan());
        assert!(bracketed(0.0, 1.0, 0.0, |x| x - 2.0).is_nan());
        assert_eq!(bracketed(0.0, 1.0, 0.0, |x| x + 2.0), 0.0);
    }
}
