//! Pumps: the head–flow curve from its points, power, affinity laws, suction head.

use super::water::STANDARD_GRAVITY as G;

/// A pump's head against flow through given points, by monotone piecewise cubics (PCHIP).
///
/// Fritsch & Carlson (1980), *Monotone piecewise cubic interpolation*, with the weighted harmonic mean slopes of
/// Fritsch & Butland (1984) and one-sided three-point end slopes. It passes through every point and falls between
/// them wherever the points fall. Beyond its end points it has no value.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    points: Vec<Knot>,
}

/// A point of the curve with the slope there and the cubic that leads on to the next point.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    flow: f64,
    head: f64,
    slope: f64,
    quadratic: f64,
    cubic: f64,
}

/// Why points make no pump curve; `index` counts the points from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CurveFault {
    /// One point or none.
    #[error("a pump curve needs at least two points")]
    TooFewPoints,
    /// A flow or head that is not a finite number, or a flow below zero.
    #[error("point {} of the pump curve is not a flow of zero or more with a finite head", index + 1)]
    NotAPoint {
        /// Which point.
        index: usize,
    },
    /// A flow not above the one before.
    #[error("point {} of the pump curve has no higher flow than the point before it", index + 1)]
    FlowNotRising {
        /// Which point.
        index: usize,
    },
    /// A head not below the one before.
    #[error("point {} of the pump curve has no lower head than the point before it", index + 1)]
    HeadNotFalling {
        /// Which point.
        index: usize,
    },
}

impl Curve {
    /// The curve through points of (flow in m³/s, head in m), flow rising and head falling from point to point.
    ///
    /// ```
    /// use bywash::formulas::pump::Curve;
    /// let curve = Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap();
    /// assert_eq!(curve.shut_off_head(), Some(10.0));
    /// ```
    pub fn new(points: &[(f64, f64)]) -> Result<Self, CurveFault> {
        if points.len() < 2 {
            return Err(CurveFault::TooFewPoints);
        }
        for (index, &(flow, head)) in points.iter().enumerate() {
            if !(flow.is_finite() && flow >= 0.0 && head.is_finite()) {
                return Err(CurveFault::NotAPoint { index });
            }
        }
        for (before, pair) in points.windows(2).enumerate() {
            let index = before + 1;
            if pair[1].0 <= pair[0].0 {
                return Err(CurveFault::FlowNotRising { index });
            }
            if pair[1].1 >= pair[0].1 {
                return Err(CurveFault::HeadNotFalling { index });
            }
        }
        Ok(Self {
            points: knots(points, &pchip_slopes(points)),
        })
    }

    /// The flows of the first and the last point, m³/s; between them the curve has a value.
    ///
    /// ```
    /// use bywash::formulas::pump::Curve;
    /// let curve = Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap();
    /// assert_eq!(curve.ends(), (0.0, 2e-3));
    /// ```
    pub fn ends(&self) -> (f64, f64) {
        (self.first().flow, self.last().flow)
    }

    /// Head in m at a flow in m³/s; none beyond the ends.
    ///
    /// ```
    /// use bywash::formulas::pump::Curve;
    /// let curve = Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap();
    /// assert!((curve.head(1e-3).unwrap() - 9.5).abs() < 1e-12);
    /// assert_eq!(curve.head(3e-3), None);
    /// ```
    pub fn head(&self, flow: f64) -> Option<f64> {
        self.head_and_slope(flow).map(|(head, _)| head)
    }

    /// Head in m and its derivative by flow in s/m² at a flow in m³/s; none beyond the ends.
    ///
    /// ```
    /// use bywash::formulas::pump::Curve;
    /// let curve = Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap();
    /// assert!(curve.head_and_slope(1.5e-3).unwrap().1 < 0.0);
    /// ```
    pub fn head_and_slope(&self, flow: f64) -> Option<(f64, f64)> {
        let (low, high) = self.ends();
        (low..=high).contains(&flow).then(|| self.inside(flow))
    }

    /// Head at shut-off, m; none when the curve does not start at zero flow.
    ///
    /// ```
    /// use bywash::formulas::pump::Curve;
    /// let curve = Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap();
    /// assert_eq!(curve.shut_off_head(), Some(10.0));
    /// ```
    pub fn shut_off_head(&self) -> Option<f64> {
        (self.first().flow == 0.0).then_some(self.first().head)
    }

    /// The head at the first point, the highest the curve knows, m.
    ///
    /// ```
    /// use bywash::formulas::pump::Curve;
    /// let curve = Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap();
    /// assert_eq!(curve.highest_head(), 10.0);
    /// ```
    pub fn highest_head(&self) -> f64 {
        self.first().head
    }

    /// Head and slope at any flow, for a solver on its way to a solution: past the last point a parabola that leaves
    /// with the curve's slope and falls ever steeper, before the first point a straight line. A solution found out
    /// there is none.
    pub(super) fn continued(&self, flow: f64) -> (f64, f64) {
        let (first, last) = (self.first(), self.last());
        if flow < first.flow {
            return (first.head + first.slope * (flow - first.flow), first.slope);
        }
        if flow > last.flow {
            let past = flow - last.flow;
            let bend = (first.head - last.head) / (last.flow * last.flow);
            return (
                last.head + past * (last.slope - bend * past),
                last.slope - 2.0 * bend * past,
            );
        }
        self.inside(flow)
    }

    /// The cubic of the interval that holds a flow between the ends.
    fn inside(&self, flow: f64) -> (f64, f64) {
        let last = self.points.len() - 1;
        let after = self.points.partition_point(|knot| knot.flow <= flow);
        let knot = &self.points[after.clamp(1, last) - 1];
        let past = flow - knot.flow;
        let head = knot.head + past * (knot.slope + past * (knot.quadratic + past * knot.cubic));
        let slope = knot.slope + past * (2.0 * knot.quadratic + past * 3.0 * knot.cubic);
        (head, slope)
    }

    fn first(&self) -> Knot {
        self.points[0]
    }

    fn last(&self) -> Knot {
        self.points[self.points.len() - 1]
    }
}

/// The points with the Hermite cubics between them; none leads on from the last.
fn knots(points: &[(f64, f64)], slopes: &[f64]) -> Vec<Knot> {
    let knot = |at: usize| {
        let ((flow, head), slope) = (points[at], slopes[at]);
        let (quadratic, cubic) = points.get(at + 1).map_or((0.0, 0.0), |next| {
            let width = next.0 - flow;
            let chord = (next.1 - head) / width;
            let (left, right) = (slope - chord, slopes[at + 1] - chord);
            (-(2.0 * left + right) / width, (left + right) / (width * width))
        });
        Knot {
            flow,
            head,
            slope,
            quadratic,
            cubic,
        }
    };
    (0..points.len()).map(knot).collect()
}

/// The slope at each point: weighted harmonic mean of the chords on both sides, three-point formula at the ends.
fn pchip_slopes(points: &[(f64, f64)]) -> Vec<f64> {
    let (widths, chords): (Vec<f64>, Vec<f64>) = points
        .windows(2)
        .map(|p| (p[1].0 - p[0].0, (p[1].1 - p[0].1) / (p[1].0 - p[0].0)))
        .unzip();
    let last = chords.len() - 1;
    if last == 0 {
        return vec![chords[0]; 2];
    }
    let mut slopes = vec![end_slope(widths[0], widths[1], chords[0], chords[1])];
    for i in 1..=last {
        let before = 2.0 * widths[i] + widths[i - 1];
        let after = widths[i] + 2.0 * widths[i - 1];
        slopes.push((before + after) / (before / chords[i - 1] + after / chords[i]));
    }
    slopes.push(end_slope(
        widths[last],
        widths[last - 1],
        chords[last],
        chords[last - 1],
    ));
    slopes
}

/// One-sided three-point slope at an end, held to the sign of the nearest chord. All chords of a pump curve fall, so
/// the further limit for chords of unlike sign does not arise.
fn end_slope(near_width: f64, far_width: f64, near_chord: f64, far_chord: f64) -> f64 {
    let slope =
        ((2.0 * near_width + far_width) * near_chord - near_width * far_chord) / (near_width + far_width);
    slope.min(0.0)
}

/// Power given to the water `P = ρ·g·Q·H`, W, from density (kg/m³), flow (m³/s) and head (m).
///
/// ```
/// // Crane TP-410, example 7.34: 700 gpm against 428 ft: 75.7 hp in the water.
/// let power = bywash::formulas::pump::water_power(998.0, 700.0 * 6.30902e-5, 428.0 * 0.3048);
/// assert!((power / 745.7 - 75.7).abs() < 0.2);
/// ```
pub fn water_power(density: f64, flow: f64, head: f64) -> f64 {
    density * G * flow * head
}

/// Power at the shaft `P = ρ·g·Q·H/η`, W, from density (kg/m³), flow (m³/s), head (m) and the pump's efficiency
/// (0 to 1, not 0). With the wire-to-water efficiency it is the electrical power drawn.
///
/// Worked example: 700 gpm against 428 ft at 70.7 % takes 107.06 bhp (Crane TP-410, example 7.34).
///
/// ```
/// let power = bywash::formulas::pump::brake_power(999.0, 700.0 * 6.30902e-5, 428.0 * 0.3048, 0.707);
/// assert!((power / 745.7 / 107.06 - 1.0).abs() < 2e-3);
/// ```
pub fn brake_power(density: f64, flow: f64, head: f64, efficiency: f64) -> f64 {
    water_power(density, flow, head) / efficiency
}

/// A duty of a pump: what it gives and takes at one speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Flow, m³/s.
    pub flow: f64,
    /// Head, m.
    pub head: f64,
    /// Shaft power, W.
    pub power: f64,
}

impl Duty {
    /// The same duty at another speed, by the affinity laws: flow with the ratio of speeds, head with its square,
    /// power with its cube, efficiency taken as unchanged.
    ///
    /// Worked example: 400 gpm, 126 ft, 17.5 hp at 3500 rpm become 194.29 gpm, 29.73 ft, 2.005 hp at 1700 rpm
    /// (Crane TP-410, example 7.33).
    ///
    /// ```
    /// use bywash::formulas::pump::Duty;
    /// let slow = Duty { flow: 400.0, head: 126.0, power: 17.5 }.at_speed_ratio(1700.0 / 3500.0);
    /// assert!((slow.flow - 194.29).abs() < 5e-3 && (slow.head - 29.73).abs() < 5e-3 && (slow.power - 2.005).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn at_speed_ratio(&self, ratio: f64) -> Self {
        Self {
            flow: self.flow * ratio,
            head: self.head * ratio.powi(2),
            power: self.power * ratio.powi(3),
        }
    }
}

/// What a pump's suction sees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suction {
    /// Absolute pressure on the water surface, Pa.
    pub surface_pressure: f64,
    /// Vapour pressure of the water, Pa.
    pub vapour_pressure: f64,
    /// Density of the water, kg/m³.
    pub density: f64,
    /// Height of the pump above the water surface, m; negative when flooded.
    pub lift: f64,
    /// Head lost in the suction line, m.
    pub loss: f64,
}

/// Net positive suction head available `NPSHa = (p − pᵥ)/(ρ·g) − z − h_L`, m.
///
/// Worked example: 5 psi above the atmosphere, 25 ft lift, 6 ft loss, water at 60 °F leave 13.887 ft (Crane TP-410,
/// example 7.32).
///
/// ```
/// use bywash::formulas::pump::{Suction, npsh_available};
/// let psi = 6894.757;
/// let suction = Suction {
///     surface_pressure: (14.696 + 5.0) * psi,
///     vapour_pressure: 0.2561 * psi,
///     density: 999.0,
///     lift: 25.0 * 0.3048,
///     loss: 6.0 * 0.3048,
/// };
/// assert!((npsh_available(&suction) / 0.3048 - 13.887).abs() < 0.05);
/// ```
pub fn npsh_available(suction: &Suction) -> f64 {
    (suction.surface_pressure - suction.vapour_pressure) / (suction.density * G) - suction.lift - suction.loss
}

/// Water over an open suction mouth that keeps a vortex from drawing air, m: Hydraulic Institute 9.8 form,
/// `S = D·(1 + 2.3·F_D)` with `F_D = v/√(g·D)`.
///
/// Arguments: flow, m³/s, and diameter of the mouth, m. For mouths with an even approach; baffles need less, a swirl
/// in the approach more. Read in a secondary copy.
///
/// Worked example: 100 gpm into a mouth of 4 in asks 11.2 in of water, into one of 6 in 9.9 in.
///
/// ```
/// let water = bywash::formulas::pump::least_submergence(100.0 * 6.30902e-5, 4.0 * 0.0254);
/// assert!((water / 0.0254 - 11.2).abs() < 0.05);
/// ```
pub fn least_submergence(flow: f64, diameter: f64) -> f64 {
    let froude = super::pipe::velocity(flow, diameter) / (G * diameter).sqrt();
    diameter * (1.0 + 2.3 * froude)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    const POINTS: [(f64, f64); 4] = [(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0), (4e-3, 1.0)];

    #[test]
    fn refuses_points_that_make_no_curve() {
        assert_eq!(Curve::new(&[(0.0, 5.0)]), Err(CurveFault::TooFewPoints));
        assert_eq!(
            Curve::new(&[(0.0, 5.0), (1e-3, f64::NAN)]),
            Err(CurveFault::NotAPoint { index: 1 })
        );
        assert_eq!(
            Curve::new(&[(-1e-3, 5.0), (1e-3, 4.0)]),
            Err(CurveFault::NotAPoint { index: 0 })
        );
        assert_eq!(
            Curve::new(&[(0.0, 5.0), (1e-3, 4.0), (1e-3, 3.0)]),
            Err(CurveFault::FlowNotRising { index: 2 })
        );
        assert_eq!(
            Curve::new(&[(0.0, 5.0), (1e-3, 5.0)]),
            Err(CurveFault::HeadNotFalling { index: 1 })
        );
    }

    #[test]
    fn passes_through_its_points_and_has_no_value_beyond() {
        let curve = Curve::new(&POINTS).unwrap();
        for (flow, head) in POINTS {
            assert!((curve.head(flow).unwrap() - head).abs() < 1e-12);
        }
        assert_eq!(curve.ends(), (0.0, 4e-3));
        assert_eq!(curve.shut_off_head(), Some(10.0));
        assert_eq!(curve.head(4.001e-3), None);
        assert_eq!(curve.head(-1e-9), None);
        assert_eq!(curve.head(f64::NAN), None);
    }

    #[test]
    fn falls_everywhere_and_its_slope_is_its_derivative() {
        let curve = Curve::new(&POINTS).unwrap();
        let step = 1e-9;
        for i in 1..600 {
            let flow = f64::from(i) * 1.001e-5;
            let (head, slope) = curve.continued(flow);
            let ahead = curve.continued(flow + step).0;
            let behind = curve.continued(flow - step).0;
            assert!(ahead < head, "not falling at {flow}");
            let secant = (ahead - behind) / (2.0 * step);
            assert!((secant - slope).abs() < 1e-3 * slope.abs(), "slope at {flow}");
        }
    }

    #[test]
    fn two_points_make_a_straight_line() {
        let curve = Curve::new(&[(1e-3, 4.0), (3e-3, 2.0)]).unwrap();
        let (head, slope) = curve.head_and_slope(1.5e-3).unwrap();
        assert!((head - 3.5).abs() < 1e-12);
        assert!((slope + 1000.0).abs() < 1e-9);
        assert_eq!(curve.shut_off_head(), None);
        assert_eq!(curve.highest_head(), 4.0);
    }
}
