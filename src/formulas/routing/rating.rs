//! Flows that are worked out once and read off many times: what a pump delivers against a lift, what a stream passes.

/// What a pump delivers through its line against the lift between two levels, piecewise linear between knots.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpedLineCurve {
    /// (lift in m, flow in m³/s): lifts rise, flows fall.
    knots: Vec<(f64, f64)>,
}

impl PumpedLineCurve {
    /// From pairs of lift (m) and flow (m³/s) in any order; none without two that differ in lift and are finite.
    pub fn new(mut knots: Vec<(f64, f64)>) -> Option<Self> {
        knots.retain(|(lift, flow)| lift.is_finite() && flow.is_finite());
        knots.sort_by(|a, b| a.0.total_cmp(&b.0));
        knots.dedup_by(|a, b| a.0 == b.0);
        (knots.len() >= 2).then_some(Self { knots })
    }

    /// Its knots: lift, m, and flow, m³/s.
    pub(super) fn knots(&self) -> &[(f64, f64)] {
        &self.knots
    }

    /// Flow in m³/s at a lift in m, and its derivative in m²/s. Below the first knot the flow stays as it is there;
    /// beyond the last, where the pump can't lift the water, nothing flows.
    pub fn flow(&self, lift: f64) -> (f64, f64) {
        if lift.is_nan() {
            return (f64::NAN, f64::NAN);
        }
        let above = self.knots.partition_point(|knot| knot.0 <= lift);
        match (
            above.checked_sub(1).map(|at| self.knots[at]),
            self.knots.get(above),
        ) {
            (Some(a), Some(b)) => {
                let slope = (b.1 - a.1) / (b.0 - a.0);
                (a.1 + slope * (lift - a.0), slope)
            }
            (None, Some(first)) => (first.1, 0.0),
            _ => (0.0, 0.0),
        }
    }
}

/// What a stream passes on, by the water that stands in it: a power law between knots.
#[derive(Clone, Debug, PartialEq)]
pub struct StorageDischarge {
    /// (water in m³, flow in m³/s), both rising and above zero.
    knots: Vec<(f64, f64)>,
}

impl StorageDischarge {
    /// From pairs of water held (m³) and flow (m³/s); none without two that rise.
    pub fn new(mut knots: Vec<(f64, f64)>) -> Option<Self> {
        knots.retain(|(volume, flow)| *volume > 0.0 && *flow > 0.0 && volume.is_finite() && flow.is_finite());
        knots.sort_by(|a, b| a.0.total_cmp(&b.0));
        knots.dedup_by(|a, b| a.0 <= b.0 || a.1 <= b.1);
        (knots.len() >= 2).then_some(Self { knots })
    }

    /// Its knots: water, m³, and flow, m³/s.
    pub(super) fn knots(&self) -> &[(f64, f64)] {
        &self.knots
    }

    /// Flow in m³/s with a volume in m³ standing in the stream, and its derivative in 1/s. The first and the last power
    /// law hold beyond the ends.
    pub fn flow(&self, volume: f64) -> (f64, f64) {
        if volume <= 0.0 {
            return (0.0, 0.0);
        }
        let (a, exponent) = self.piece(self.knots.partition_point(|knot| knot.0 <= volume));
        let flow = a.1 * (volume / a.0).powf(exponent);
        (flow, exponent * flow / volume)
    }

    /// Water held while a flow in m³/s runs, m³: the inverse of [`Self::flow`].
    pub fn volume(&self, flow: f64) -> f64 {
        if flow <= 0.0 {
            return 0.0;
        }
        let (a, exponent) = self.piece(self.knots.partition_point(|knot| knot.1 <= flow));
        a.0 * (flow / a.1).powf(1.0 / exponent)
    }

    /// The lower knot of the piece below a knot, and the exponent of its power law.
    fn piece(&self, above: usize) -> ((f64, f64), f64) {
        let above = above.clamp(1, self.knots.len() - 1);
        let (a, b) = (self.knots[above - 1], self.knots[above]);
        (a, (b.1 / a.1).ln() / (b.0 / a.0).ln())
    }
}
