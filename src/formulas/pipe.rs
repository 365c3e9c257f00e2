//! Full pipes: friction factor and head loss by Darcy–Weisbach with Colebrook–White.
//!
//! Friction is carried as `G = f·Re²`, which is proportional to the head loss of a given pipe and, unlike `f`
//! alone, is smooth through zero flow: `h = (L/D)·ν²/(2·g·D²)·G(Re)`.

use std::f64::consts::{LOG10_E, PI};

use super::{
    roots,
    validity::{any_nan, positive},
    water::STANDARD_GRAVITY as G,
};

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
    /// A run of an inside diameter, a length and an absolute roughness, m, without fittings.
    pub const fn new(diameter: f64, length: f64, roughness: f64) -> Self {
        Self {
            diameter,
            length,
            roughness,
            minor_k: 0.0,
            laminar_k: 0.0,
        }
    }

    /// The same run with fittings of a sum of K.
    #[must_use]
    pub const fn with_k(self, minor_k: f64) -> Self {
        Self { minor_k, ..self }
    }

    /// The same run with fittings of a sum of K₁, which adds K₁/Re to their K.
    #[must_use]
    pub const fn with_laminar_k(self, laminar_k: f64) -> Self {
        Self { laminar_k, ..self }
    }

    /// Whether its sizes are sizes: numbers, the diameter above zero and none of the others below it.
    pub(super) fn is_sound(&self) -> bool {
        let others = [self.length, self.roughness, self.minor_k, self.laminar_k];
        self.diameter > 0.0 && others.iter().all(|value| *value >= 0.0)
    }

    /// Roughness over diameter.
    ///
    /// ```
    /// use bywash::formulas::pipe::Run;
    /// assert!((Run::new(0.05, 10.0, 4.6e-5).relative_roughness() - 9.2e-4).abs() < 1e-12);
    /// ```
    pub fn relative_roughness(&self) -> f64 {
        self.roughness / self.diameter
    }

    /// Area of flow `π·D²/4`, m².
    ///
    /// ```
    /// use bywash::formulas::pipe::Run;
    /// // 100 mm: 7.854·10⁻³ m².
    /// assert!((Run::new(0.1, 1.0, 0.0).area() - 7.854e-3).abs() < 1e-6);
    /// ```
    pub fn area(&self) -> f64 {
        PI * positive(self.diameter) * self.diameter / 4.0
    }

    /// Water held, m³.
    ///
    /// ```
    /// use bywash::formulas::pipe::Run;
    /// // 10 m of 100 mm hold 78.5 L.
    /// assert!((Run::new(0.1, 10.0, 0.0).volume() - 0.0785).abs() < 5e-5);
    /// ```
    pub fn volume(&self) -> f64 {
        self.area() * self.length
    }
}

/// Mean velocity `Q/(π·D²/4)` in a full pipe, m/s, from flow (m³/s) and inside diameter (m); signed as the
/// flow.
///
/// ```
/// // Crane TP-410, example 7.1: 200 L/min in 50 mm: 1.70 m/s.
/// assert!((bywash::formulas::pipe::velocity(0.2 / 60.0, 0.05) - 1.698).abs() < 1e-3);
/// ```
pub fn velocity(flow: f64, diameter: f64) -> f64 {
    4.0 * flow / (PI * positive(diameter) * diameter)
}

/// Reynolds number `4·|Q|/(π·D·ν)` of a full pipe, from flow (m³/s), inside diameter (m) and kinematic
/// viscosity (m²/s).
///
/// ```
/// // Crane TP-410, example 7.1: 200 L/min of water at 30 °C in 50 mm: Re 100 600.
/// let re = bywash::formulas::pipe::reynolds(0.2 / 60.0, 0.05, 0.8445e-6);
/// assert!((re / 100_600.0 - 1.0).abs() < 2e-3);
/// ```
pub fn reynolds(flow: f64, diameter: f64, nu: f64) -> f64 {
    4.0 * flow.abs() / (PI * positive(diameter) * positive(nu))
}

/// Velocity head `v²/(2·g)`, m, from velocity in m/s.
///
/// ```
/// // By hand: 2 m/s, 0.204 m.
/// assert!((bywash::formulas::pipe::velocity_head(2.0) - 0.2039).abs() < 1e-4);
/// ```
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
///
/// ```
/// use bywash::formulas::pipe::friction_factor;
/// // Crane TP-410, example 7.1: smooth pipe at Re 100 600, 0.0179.
/// assert!((friction_factor(100_600.0, 0.0) - 0.0179).abs() < 1e-4);
/// // Hagen–Poiseuille: 64/Re.
/// assert!((friction_factor(1000.0, 0.0) - 0.064).abs() < 1e-12);
/// ```
pub fn friction_factor(re: f64, relative_roughness: f64) -> f64 {
    if !(re >= 0.0 && relative_roughness >= 0.0) {
        return f64::NAN;
    }
    friction_number(re, relative_roughness, None).value / (re * re)
}

/// Head loss along a run, m, of the sign of the flow: Darcy–Weisbach friction plus minor losses,
/// `h = (f·L/D + K + K₁/Re)·v·|v|/(2·g)`.
///
/// Arguments: flow in m³/s, the run, kinematic viscosity in m²/s. Monotone and continuous in flow.
///
/// ```
/// use bywash::formulas::pipe::{Run, head_loss};
/// // 100 gpm in 3 in schedule 40 plastic (3.068 in), 20 °C: 2.060 ft for 100 ft (computed; the Illinois code prints 2.09).
/// let run = Run::new(3.068 * 0.0254, 100.0, 1.5e-6);
/// assert!((head_loss(100.0 * 6.30902e-5, &run, 1.0035e-6) - 2.060).abs() < 2e-3);
/// ```
pub fn head_loss(flow: f64, run: &Run, nu: f64) -> f64 {
    head_loss_and_slope(flow, run, nu).0
}

/// [`head_loss`] in m together with its exact derivative by flow, s/m²; the derivative is positive at zero
/// flow too (when the run has length).
///
/// ```
/// use bywash::formulas::pipe::{Run, head_loss_and_slope};
/// // Laminar flow: the loss goes with the flow, so that loss over flow is its derivative.
/// let (head, slope) = head_loss_and_slope(1e-5, &Run::new(0.05, 10.0, 0.0), 1e-6);
/// assert!((head / 1e-5 - slope).abs() < 1e-9);
/// ```
pub fn head_loss_and_slope(flow: f64, run: &Run, nu: f64) -> (f64, f64) {
    let loss = Resistance::of(run, nu).loss(flow, None);
    (loss.head, loss.slope)
}

/// A run at one viscosity, made ready for many evaluations of its loss.
#[derive(Clone, Copy, Debug)]
pub(super) struct Resistance {
    /// Reynolds number by flow, s/m³.
    reynolds: f64,
    /// Head by `f·Re²`, m.
    friction: f64,
    /// Head by flow squared in the fittings, s²/m⁵.
    fittings: f64,
    /// Head by flow in fittings whose K goes as K₁/Re, s/m²: like friction it is smooth through zero flow.
    laminar_fittings: f64,
    relative_roughness: f64,
}

/// What a run takes at a flow.
#[derive(Clone, Copy, Debug)]
pub(super) struct Loss {
    /// Head, m, of the sign of the flow.
    pub(super) head: f64,
    /// Its derivative by flow, s/m².
    pub(super) slope: f64,
    /// `1/√f` where the flow is turbulent: a guess for the next evaluation nearby.
    pub(super) root: Option<f64>,
}

impl Resistance {
    pub(super) fn of(run: &Run, nu: f64) -> Self {
        let d = run.diameter;
        Self {
            reynolds: reynolds(1.0, d, nu),
            friction: if run.is_sound() {
                run.length / d * nu * nu / (2.0 * G * d * d)
            } else {
                f64::NAN
            },
            fittings: run.minor_k * velocity_head(velocity(1.0, d)),
            laminar_fittings: run.laminar_k * nu / (2.0 * G * d) * velocity(1.0, d),
            relative_roughness: run.relative_roughness(),
        }
    }

    /// [`head_loss_and_slope`] at a flow. A guess of `1/√f` saves time and changes the result by rounding only.
    pub(super) fn loss(&self, flow: f64, guess: Option<f64>) -> Loss {
        let size = flow.abs();
        let number = friction_number(self.reynolds * size, self.relative_roughness, guess);
        let head = self.friction * number.value + (self.fittings * size + self.laminar_fittings) * size;
        let slope =
            self.friction * number.slope * self.reynolds + 2.0 * self.fittings * size + self.laminar_fittings;
        Loss {
            head: if flow < 0.0 { -head } else { head },
            slope,
            root: number.root,
        }
    }
}

/// Flow through a full run under a driving head, m³/s: the inverse of [`head_loss`].
///
/// Arguments: head (m), the run (with a length or a K), kinematic viscosity (m²/s). No flow for a head of zero or less;
/// endless where nothing holds the water back.
///
/// ```
/// use bywash::formulas::pipe::{Run, flow_under_head, head_loss};
/// let run = Run::new(0.05, 20.0, 1.5e-6).with_k(2.0);
/// let flow = flow_under_head(0.5, &run, 1e-6);
/// assert!((head_loss(flow, &run, 1e-6) - 0.5).abs() < 1e-12);
/// ```
pub fn flow_under_head(head: f64, run: &Run, nu: f64) -> f64 {
    if any_nan(&[head, nu]) || !run.is_sound() {
        return f64::NAN;
    }
    if head <= 0.0 {
        return 0.0;
    }
    // A flow with the friction factor that this head would give without fittings, and a usual Reynolds number for
    // losses that hang on it.
    let slope = (2.0 * G * run.diameter * head / run.length).sqrt();
    let root = -2.0 * (run.relative_roughness() / 3.7 + 2.51 * nu / (run.diameter * slope)).log10();
    let factor = if root > 2.0 { 1.0 / (root * root) } else { 0.02 };
    let resistance = factor * run.length / run.diameter + run.minor_k + 1e-5 * run.laminar_k;
    let start = (head / (resistance * velocity_head(velocity(1.0, run.diameter)))).sqrt();
    if start.is_infinite() {
        return f64::INFINITY;
    }
    let laws = Resistance::of(run, nu);
    let mut root = None;
    // Newton's error after a step is in the order of its square: the next step would be one of rounding.
    roots::newton(start, (0.0, f64::INFINITY), CLOSE * start, |flow| {
        let loss = laws.loss(flow, root);
        root = loss.root;
        (loss.head - head, loss.slope)
    })
}

/// A last step that leaves no error, as a share of the first guess.
const CLOSE: f64 = 1e-9;

/// `G = f·Re²`, its derivative `dG/dRe`, and `1/√f` where Colebrook–White gave them.
struct FrictionNumber {
    value: f64,
    slope: f64,
    root: Option<f64>,
}

fn friction_number(re: f64, relative_roughness: f64, guess: Option<f64>) -> FrictionNumber {
    if re < LAMINAR_BELOW {
        FrictionNumber {
            value: 64.0 * re,
            slope: 64.0,
            root: None,
        }
    } else if re < TURBULENT_FROM {
        bridge(re, relative_roughness)
    } else {
        turbulent(re, relative_roughness, guess)
    }
}

/// The cubic Hermite between the laminar and the turbulent branch. Both end slopes are positive and below
/// three times the chord's, which makes the cubic monotone (Fritsch & Carlson 1980).
fn bridge(re: f64, relative_roughness: f64) -> FrictionNumber {
    let (low, low_slope) = (64.0 * LAMINAR_BELOW, 64.0);
    let high = turbulent(TURBULENT_FROM, relative_roughness, None);
    let width = TURBULENT_FROM - LAMINAR_BELOW;
    let t = (re - LAMINAR_BELOW) / width;
    let chord = (high.value - low) / width;
    // Newton's form of the Hermite cubic: value, slope and the two excesses over them.
    let quadratic = 3.0 * chord - 2.0 * low_slope - high.slope;
    let cubic = low_slope + high.slope - 2.0 * chord;
    FrictionNumber {
        value: low + width * t * (low_slope + t * (quadratic + t * cubic)),
        slope: low_slope + t * (2.0 * quadratic + t * 3.0 * cubic),
        root: None,
    }
}

/// The turbulent branch, from the Colebrook–White `x = 1/√f`.
///
/// With `u = a + b·x` and `c = 2/ln 10` the implicit derivative gives `dG/dRe = 2·f·Re·u/(u + c·b)`.
fn turbulent(re: f64, relative_roughness: f64, guess: Option<f64>) -> FrictionNumber {
    let a = relative_roughness / 3.7;
    let b = 2.51 / re;
    let x = colebrook(a, b, guess);
    let u = a + b * x;
    let root_number = re / x;
    FrictionNumber {
        value: root_number * root_number,
        slope: 2.0 * root_number * u / (x * (u + LOG_SCALE * b)),
        root: Some(x),
    }
}

/// `2/ln 10`: the natural logarithm is much the faster one.
const LOG_SCALE: f64 = 2.0 * LOG10_E;

/// Solves `x = −2·log₁₀(a + b·x)` for `x = 1/√f` from a guess, by Halley's method.
///
/// Without a guess the start is explicit, after Serghides (1984), where `12/Re` stands for the implicit term
/// (`12/2.51 = 4.781`): within 10 % from Re 4000 on.
fn colebrook(a: f64, b: f64, guess: Option<f64>) -> f64 {
    let explicit = || -LOG_SCALE * (a + 4.781 * b).ln();
    let mut x = guess.filter(|x| x.is_finite()).unwrap_or_else(explicit);
    let slope = LOG_SCALE * b;
    for _ in 0..6 {
        let u = a + b * x;
        let off = x + LOG_SCALE * u.ln();
        let sum = u + slope;
        let step = 2.0 * off * u * sum / (2.0 * sum * sum + off * slope * b);
        x -= step;
        // The error after a step is less than a hundredth of its cube: below 1e-12.
        if step.abs() < 4e-4 {
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
    fn a_guess_changes_a_loss_by_rounding_only() {
        let resistance = Resistance::of(&RUN, NU);
        for re in [4000.0, 5e3, 2e4, 1e5, 1e6, 1e8] {
            let flow = flow_at(re);
            let want = resistance.loss(flow, None);
            for nearby in [0.1, 0.5, 0.9, 0.999, 1.001, 1.1, 2.0, 10.0] {
                let guess = resistance.loss(nearby * flow, None).root;
                let got = resistance.loss(flow, guess);
                assert!((got.head - want.head).abs() < 1e-13 * want.head, "Re {re}");
                assert!((got.slope - want.slope).abs() < 1e-13 * want.slope, "Re {re}");
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
    fn flow_under_head_undoes_head_loss() {
        for flow in [1e-7, 1e-5, 1.2e-4, 1e-3, 5e-2] {
            let head = head_loss(flow, &RUN, NU);
            assert!((flow_under_head(head, &RUN, NU) - flow).abs() < 1e-10 * flow);
        }
        assert_eq!(flow_under_head(0.0, &RUN, NU), 0.0);
        assert!(flow_under_head(f64::NAN, &RUN, NU).is_nan());
        assert_eq!(flow_under_head(1.0, &Run::new(0.05, 0.0, 0.0), NU), f64::INFINITY);
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
