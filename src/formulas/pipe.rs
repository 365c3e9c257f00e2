//! Full pipes: friction factor and head loss by Darcy–Weisbach with Colebrook–White.
//!
//! Friction is carried as `G = f·Re²`, which is proportional to the head loss of a given pipe and, unlike `f`
//! alone, is smooth through zero flow: `h = (L/D)·ν²/(2·g·D²)·G(Re)`.

use std::f64::consts::{LOG10_E, PI};

use super::water::STANDARD_GRAVITY as G;

/// Below this Reynolds number the flow is taken as laminar.
pub const LAMINAR_BELOW: f64 = 2000.0;
/// From this Reynolds number on the flow is taken as turbulent; between the two lies the bridge.
pub const TURBULENT_FROM: f64 = 4000.0;
/// The widest range of relative roughness the Colebrook–White equation is charted for (Moody 1944).
pub const RELATIVE_ROUGHNESS_RANGE: (f64, f64) = (0.0, 0.05);

/// A run of round pipe of one size, flowing full.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Inside diameter, m.
    pub diameter: f64,
    /// Length, m.
    pub length: f64,
    /// Absolute roughness of the wall, m.
    pub roughness: f64,
    /// Sum of the minor-loss coefficients K of its fittings, on the velocity in this pipe; where K grows as the flow
    /// slows, the part that is left in fast flow.
    pub minor_k: f64,
    /// Sum of the K₁ of its fittings, which adds K₁/Re to their K ([`super::fittings::methods`]); none where K is the
    /// same at any flow.
    pub laminar_k: f64,
}

impl Run {
    /// Roughness over diameter.
    pub fn relative_roughness(&self) -> f64 {
        self.roughness / self.diameter
    }

    /// Area of flow `π·D²/4`, m².
    pub fn area(&self) -> f64 {
        PI * self.diameter * self.diameter / 4.0
    }

    /// Water held, m³.
    pub fn volume(&self) -> f64 {
        self.area() * self.length
    }
}

/// Mean velocity `Q/(π·D²/4)` in a full pipe, m/s, from flow (m³/s) and inside diameter (m); signed as the
/// flow.
pub fn velocity(flow: f64, diameter: f64) -> f64 {
    4.0 * flow / (PI * diameter * diameter)
}

/// Reynolds number `4·|Q|/(π·D·ν)` of a full pipe, from flow (m³/s), inside diameter (m) and kinematic
/// viscosity (m²/s).
pub fn reynolds(flow: f64, diameter: f64, nu: f64) -> f64 {
    4.0 * flow.abs() / (PI * diameter * nu)
}

/// Velocity head `v²/(2·g)`, m, from velocity in m/s.
pub fn velocity_head(velocity: f64) -> f64 {
    velocity * velocity / (2.0 * G)
}

/// Darcy friction factor of a full round pipe.
///
/// - Below Re 2000: Hagen–Poiseuille, `f = 64/Re`.
/// - From Re 4000: Colebrook–White (1939), `1/√f = −2·log₁₀(ε/(3.7·D) + 2.51/(Re·√f))`, solved to machine
///   precision.
/// - Between: no agreed value exists. `f·Re²` follows the cubic that meets both ends in value and slope, so
///   that head loss rises steadily with flow and has no kink.
///
/// Arguments: Reynolds number; relative roughness ε/D, charted for [`RELATIVE_ROUGHNESS_RANGE`]. At Re 0 the
/// factor is infinite; use [`head_loss`], which is not.
pub fn friction_factor(re: f64, relative_roughness: f64) -> f64 {
    friction_number(re, relative_roughness).0 / (re * re)
}

/// Head loss along a run, m, of the sign of the flow: Darcy–Weisbach friction plus minor losses,
/// `h = (f·L/D + K + K₁/Re)·v·|v|/(2·g)`.
///
/// Arguments: flow in m³/s, the run, kinematic viscosity in m²/s. Monotone and continuous in flow.
pub fn head_loss(flow: f64, run: &Run, nu: f64) -> f64 {
    head_loss_and_slope(flow, run, nu).0
}

/// [`head_loss`] in m together with its exact derivative by flow, s/m²; the derivative is positive at zero
/// flow too (when the run has length).
pub fn head_loss_and_slope(flow: f64, run: &Run, nu: f64) -> (f64, f64) {
    let d = run.diameter;
    let (number, number_slope) = friction_number(reynolds(flow, d, nu), run.relative_roughness());
    let head_per_number = run.length / d * nu * nu / (2.0 * G * d * d);
    let reynolds_per_flow = 4.0 / (PI * d * nu);

    let v = velocity(flow, d);
    let velocity_per_flow = 1.0 / run.area();
    // `K₁/Re·v²/(2·g)` goes with the velocity itself, so that it too is smooth through zero flow.
    let laminar_per_velocity = run.laminar_k * nu / (2.0 * G * d);
    let head = head_per_number * number + run.minor_k * velocity_head(v) + laminar_per_velocity * v.abs();
    let slope = head_per_number * number_slope * reynolds_per_flow
        + (run.minor_k * v.abs() / G + laminar_per_velocity) * velocity_per_flow;
    (if flow < 0.0 { -head } else { head }, slope)
}

/// Head loss by Hazen–Williams, m: `h = 10.67·L·Q^1.852/(C^1.852·D^4.8704)`, of the sign of the flow.
///
/// For comparison with published tables only; it knows neither temperature nor the laminar regime, and
/// differs from [`head_loss`] by up to 13 % in small slow pipe. Arguments: flow (m³/s), inside diameter (m),
/// length (m), coefficient C. Source: the SI form of Williams & Hazen (1905) (from memory; exponents also
/// printed as 4.87).
pub fn hazen_williams(flow: f64, diameter: f64, length: f64, c: f64) -> f64 {
    let head = 10.67 * length * (flow.abs() / c).powf(1.852) / diameter.powf(4.8704);
    head.copysign(flow)
}

/// `G = f·Re²` and `dG/dRe`.
fn friction_number(re: f64, relative_roughness: f64) -> (f64, f64) {
    if re < LAMINAR_BELOW {
        (64.0 * re, 64.0)
    } else if re < TURBULENT_FROM {
        bridge(re, relative_roughness)
    } else {
        turbulent(re, relative_roughness)
    }
}

/// The cubic Hermite between the laminar and the turbulent branch. Both end slopes are positive and below
/// three times the chord's, which makes the cubic monotone (Fritsch & Carlson 1980).
fn bridge(re: f64, relative_roughness: f64) -> (f64, f64) {
    let (low, low_slope) = (64.0 * LAMINAR_BELOW, 64.0);
    let (high, high_slope) = turbulent(TURBULENT_FROM, relative_roughness);
    let width = TURBULENT_FROM - LAMINAR_BELOW;
    let t = (re - LAMINAR_BELOW) / width;
    let chord = (high - low) / width;
    // Newton's form of the Hermite cubic: value, slope and the two excesses over them.
    let quadratic = 3.0 * chord - 2.0 * low_slope - high_slope;
    let cubic = low_slope + high_slope - 2.0 * chord;
    let value = low + width * t * (low_slope + t * (quadratic + t * cubic));
    let slope = low_slope + t * (2.0 * quadratic + t * 3.0 * cubic);
    (value, slope)
}

/// The turbulent branch, from the Colebrook–White `x = 1/√f`.
///
/// With `s = (2/ln 10)·b/(a + b·x)` from the implicit derivative, `dG/dRe = 2·f·Re/(1 + s)`.
fn turbulent(re: f64, relative_roughness: f64) -> (f64, f64) {
    let a = relative_roughness / 3.7;
    let b = 2.51 / re;
    let x = colebrook(a, b);
    let f = 1.0 / (x * x);
    let s = 2.0 * LOG10_E * b / (a + b * x);
    (f * re * re, 2.0 * f * re / (1.0 + s))
}

/// Solves `x = −2·log₁₀(a + b·x)` for `x = 1/√f`.
///
/// Explicit start after Serghides (1984), where `12/Re` stands for the implicit term (`12/2.51 = 4.781`);
/// within 10 % from Re 4000 on, so that Newton is at machine precision after three steps.
fn colebrook(a: f64, b: f64) -> f64 {
    // The natural logarithm is much the faster one.
    let mut x = -2.0 * LOG10_E * (a + 4.781 * b).ln();
    for _ in 0..6 {
        let u = a + b * x;
        let step = (x + 2.0 * LOG10_E * u.ln()) / (1.0 + 2.0 * LOG10_E * b / u);
        x -= step;
        // The error after a step is less than a tenth of its square.
        if step.abs() < 1e-8 {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    const NU: f64 = 1.0e-6;
    const RUN: Run = Run {
        diameter: 0.05,
        length: 20.0,
        roughness: 1.5e-6,
        minor_k: 3.0,
        laminar_k: 900.0,
    };

    fn flow_at(re: f64) -> f64 {
        re * PI * RUN.diameter * NU / 4.0
    }

    #[test]
    fn turbulent_factor_satisfies_colebrook_white() {
        for re in [4000.0, 1e4, 1e5, 1e6, 1e8] {
            for rough in [0.0, 1e-6, 1e-4, 1e-2, 0.05] {
                let f = friction_factor(re, rough);
                let residual = 1.0 / f.sqrt() + 2.0 * (rough / 3.7 + 2.51 / (re * f.sqrt())).log10();
                assert!(residual.abs() < 1e-13, "Re {re}, ε/D {rough}: {residual}");
            }
        }
    }

    #[test]
    fn slope_is_the_derivative_of_the_loss() {
        for re in [1.0, 500.0, 1999.0, 2001.0, 2700.0, 3999.0, 4001.0, 5e4, 1e6] {
            let flow = flow_at(re);
            let step = flow * 1e-6;
            let (_, slope) = head_loss_and_slope(flow, &RUN, NU);
            let secant = (head_loss(flow + step, &RUN, NU) - head_loss(flow - step, &RUN, NU)) / (2.0 * step);
            assert!(
                (slope - secant).abs() < 1e-6 * secant,
                "Re {re}: {slope} against {secant}"
            );
        }
    }

    #[test]
    fn regimes_join_in_value_and_slope() {
        for re in [LAMINAR_BELOW, TURBULENT_FROM] {
            let below = head_loss_and_slope(flow_at(re * (1.0 - 1e-12)), &RUN, NU);
            let above = head_loss_and_slope(flow_at(re * (1.0 + 1e-12)), &RUN, NU);
            assert!((below.0 - above.0).abs() < 1e-9 * above.0);
            assert!((below.1 - above.1).abs() < 1e-9 * above.1);
        }
    }

    #[test]
    fn loss_is_odd_and_zero_flow_has_a_slope() {
        assert_eq!(head_loss(-2e-3, &RUN, NU), -head_loss(2e-3, &RUN, NU));
        let (head, slope) = head_loss_and_slope(0.0, &RUN, NU);
        assert_eq!(head, 0.0);
        assert!(slope > 0.0);
    }
}
