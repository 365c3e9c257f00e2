//! Round pipes that run part full: an overflow, a culvert, a gravity drain with air above the water.

use std::f64::consts::{PI, TAU};

use super::{
    roots,
    validity::{any_nan, at_least, positive},
    water::STANDARD_GRAVITY as G,
};

/// Depth over diameter at which a round pipe carries the most by Manning's formula with a constant n.
pub const DEPTH_OF_MOST_FLOW: f64 = 0.938_181_216_160_607;

/// Angle the water covers at [`DEPTH_OF_MOST_FLOW`], rad: the root of `θ·(3 − 5·cos θ) + 2·sin θ = 0`.
const ANGLE_OF_MOST_FLOW: f64 = 5.278_107_137_933_795;

/// A round pipe laid at a slope, with a free surface in it.
///
/// The water covers an angle `θ = 2·arccos(1 − 2·y/D)` seen from the centre; all sections follow from it
/// (plane geometry).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartFullPipe {
    /// Inside diameter, m.
    pub diameter: f64,
    /// Slope of the pipe, drop over length.
    pub slope: f64,
}

impl PartFullPipe {
    /// A pipe of an inside diameter (m) at a slope (drop over length).
    pub fn new(diameter: f64, slope: f64) -> Self {
        Self { diameter, slope }
    }

    /// Area of flow `A = D²/8·(θ − sin θ)`, m², at a depth in m, at most the whole section.
    ///
    /// ```
    /// use bywash::formulas::part_full::PartFullPipe;
    /// // Chow (1959), appendix A: A/D² 0.3927 at half depth, 0.6736 at 0.80 D.
    /// let pipe = PartFullPipe::new(1.0, 0.01);
    /// assert!((pipe.area(0.5) - 0.3927).abs() < 5e-5);
    /// assert!((pipe.area(0.8) - 0.6736).abs() < 5e-5);
    /// ```
    pub fn area(&self, depth: f64) -> f64 {
        self.diameter * self.diameter / 8.0 * segment(self.angle(depth))
    }

    /// Wetted perimeter `P = D·θ/2`, m, at a depth in m.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // Half full: half the girth.
    /// let found = PartFullPipe::new(1.0, 0.01).perimeter(0.5);
    /// assert!((found - 1.5708).abs() < 5e-5);
    /// ```
    pub fn perimeter(&self, depth: f64) -> f64 {
        self.diameter / 2.0 * self.angle(depth)
    }

    /// Width of the water surface `T = D·sin(θ/2)`, m, at a depth in m; none in a full pipe.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // Chow (1959), appendix A: T/D 0.8000 at 0.80 D.
    /// assert!((PartFullPipe::new(1.0, 0.01).top_width(0.8) - 0.8).abs() < 1e-12);
    /// ```
    pub fn top_width(&self, depth: f64) -> f64 {
        self.diameter * at_least((self.angle(depth) / 2.0).sin(), 0.0)
    }

    /// Hydraulic radius `A/P`, m, at a depth in m; zero in a dry pipe.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // Chow (1959), appendix A: R/D 0.2500 at half depth, 0.3042 at 0.80 D.
    /// let pipe = PartFullPipe::new(1.0, 0.01);
    /// assert!((pipe.hydraulic_radius(0.5) - 0.25).abs() < 5e-5);
    /// assert!((pipe.hydraulic_radius(0.8) - 0.3042).abs() < 5e-5);
    /// ```
    pub fn hydraulic_radius(&self, depth: f64) -> f64 {
        let perimeter = self.perimeter(depth);
        if perimeter == 0.0 {
            return 0.0;
        }
        self.area(depth) / perimeter
    }

    /// Flow at a depth by Manning (1891), m³/s: `Q = A·R^(2/3)·S^(1/2)/n`.
    ///
    /// Arguments: depth, m; Manning's n, s/m^(1/3), taken as the same at every depth (in a part-full pipe it is up to
    /// a quarter more, Camp 1946, from memory). Range: uniform flow with a free surface.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // A pipe half full carries half of what it carries full; at 0.80 D 0.977 of it (the usual chart of elements).
    /// let pipe = PartFullPipe::new(0.3, 0.01);
    /// let full = pipe.full_flow(0.013);
    /// assert!((pipe.flow(0.15, 0.013) / full - 0.5).abs() < 1e-12);
    /// assert!((pipe.flow(0.24, 0.013) / full - 0.977).abs() < 1e-3);
    /// ```
    pub fn flow(&self, depth: f64, n: f64) -> f64 {
        self.area(depth) * self.hydraulic_radius(depth).powf(2.0 / 3.0) * at_least(self.slope, 0.0).sqrt() / n
    }

    /// Flow of the pipe just full, m³/s, with Manning's n in s/m^(1/3): `Q = (π/4)·D²·(D/4)^(2/3)·S^(1/2)/n`.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // 24 in concrete pipe, n 0.013, at 1 %: 22.6 cfs (the usual capacity table of round concrete pipe).
    /// let flow = PartFullPipe::new(0.6096, 0.01).full_flow(0.013);
    /// assert!((flow / 0.028_316_8 - 22.6).abs() < 0.05);
    /// ```
    pub fn full_flow(&self, n: f64) -> f64 {
        self.flow(self.diameter, n)
    }

    /// The most the pipe carries with a free surface, m³/s: at 0.938 D, 1.076 times the flow of the full pipe. It is a
    /// limit of the formula; a pipe that runs so near its top soon runs full.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // Chow (1959), section 6-4: 0.938 D, 1.076 of the full flow.
    /// let pipe = PartFullPipe::new(0.3, 0.01);
    /// assert!((pipe.most_flow(0.013) / pipe.full_flow(0.013) - 1.076).abs() < 5e-4);
    /// ```
    pub fn most_flow(&self, n: f64) -> f64 {
        self.flow(self.depth(ANGLE_OF_MOST_FLOW), n)
    }

    /// Normal depth, m: the least depth at which [`Self::flow`] is the flow given (m³/s), with Manning's n in s/m^(1/3).
    /// Zero for no flow; infinite where the pipe does not carry the flow with a free surface.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// let pipe = PartFullPipe::new(0.3, 0.01);
    /// let half = pipe.normal_depth(pipe.full_flow(0.013) / 2.0, 0.013);
    /// assert!((half - 0.15).abs() < 1e-12);
    /// assert!(pipe.normal_depth(1.0, 0.013).is_infinite());
    /// ```
    pub fn normal_depth(&self, flow: f64, n: f64) -> f64 {
        if any_nan(&[flow, n, self.diameter, self.slope]) {
            return f64::NAN;
        }
        if flow <= 0.0 {
            return 0.0;
        }
        if flow > self.most_flow(n) {
            return f64::INFINITY;
        }
        let angle = roots::bracketed(0.0, ANGLE_OF_MOST_FLOW, 0.0, |angle| {
            self.flow(self.depth(angle), n) - flow
        });
        self.depth(angle)
    }

    /// Critical depth, m, of a flow in m³/s: `Q²·T/(g·A³) = 1`. Zero for no flow.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // At critical depth the Froude number is one.
    /// let pipe = PartFullPipe::new(0.3, 0.01);
    /// let depth = pipe.critical_depth(0.03);
    /// assert!((pipe.froude(0.03, depth) - 1.0).abs() < 1e-9);
    /// ```
    pub fn critical_depth(&self, flow: f64) -> f64 {
        if any_nan(&[flow, self.diameter, self.slope]) {
            return f64::NAN;
        }
        if flow <= 0.0 {
            return 0.0;
        }
        let angle = roots::bracketed(0.0, TAU, 0.0, |angle| self.critical_flow(angle) - flow);
        self.depth(angle)
    }

    /// Flow that runs critical at a specific energy, m³/s: `h = y + A/(2·T)`, `Q = A·√(g·A/T)`; the energy `h` is the
    /// height of still water over the lowest point of the mouth, m. What a free mouth of the diameter takes.
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // Half full: y = D/2, A = π·D²/8, T = D, so h = D/2 + π·D/16 and Q = A·√(g·π·D/8).
    /// let pi = std::f64::consts::PI;
    /// let flow = PartFullPipe::new(0.1, 0.0).critical_flow_under(0.05 + pi * 0.1 / 16.0);
    /// assert!((flow - pi * 0.01 / 8.0 * (9.80665 * pi * 0.1 / 8.0).sqrt()).abs() < 1e-12);
    /// ```
    pub fn critical_flow_under(&self, energy: f64) -> f64 {
        if any_nan(&[energy, self.diameter, self.slope]) {
            return f64::NAN;
        }
        if energy <= 0.0 {
            return 0.0;
        }
        let angle = roots::bracketed(0.0, TAU, 0.0, |angle| {
            self.depth(angle) + self.mean_depth(angle) / 2.0 - energy
        });
        self.critical_flow(angle)
    }

    /// Froude number `V/√(g·A/T)` of a flow (m³/s) at a depth (m).
    ///
    /// ```
    /// # use bywash::formulas::part_full::PartFullPipe;
    /// // Half full: A = π·D²/8, A/T = π·D/8.
    /// let pi = std::f64::consts::PI;
    /// let by_hand = 0.002 / (pi * 0.01 / 8.0) / (9.80665 * pi * 0.1 / 8.0).sqrt();
    /// assert!((PartFullPipe::new(0.1, 0.01).froude(0.002, 0.05) - by_hand).abs() < 1e-9);
    /// ```
    pub fn froude(&self, flow: f64, depth: f64) -> f64 {
        let area = self.area(depth);
        flow / area / (G * area / self.top_width(depth)).sqrt()
    }

    /// The flow that runs critical at a depth, m³/s, and its specific energy `y + A/(2·T)`, m.
    pub(super) fn critical_at(&self, depth: f64) -> (f64, f64) {
        let angle = self.angle(depth);
        (self.critical_flow(angle), depth + self.mean_depth(angle) / 2.0)
    }

    /// Angle that water of a depth (m) covers, rad; all round in a full pipe.
    fn angle(&self, depth: f64) -> f64 {
        if any_nan(&[depth, self.slope]) {
            return f64::NAN;
        }
        // Twice the arc sine of the root keeps the digits of small depths.
        4.0 * (depth / positive(self.diameter)).clamp(0.0, 1.0).sqrt().asin()
    }

    /// Depth at an angle, m.
    fn depth(&self, angle: f64) -> f64 {
        self.diameter * (angle / 4.0).sin().powi(2)
    }

    /// Area over width of the surface, m; without end in a full pipe.
    fn mean_depth(&self, angle: f64) -> f64 {
        if angle == 0.0 {
            return 0.0;
        }
        self.diameter / 8.0 * segment(angle) / at_least((angle / 2.0).sin(), 0.0)
    }

    fn critical_flow(&self, angle: f64) -> f64 {
        let area = self.diameter * self.diameter / 8.0 * segment(angle);
        area * (G * self.mean_depth(angle)).sqrt()
    }
}

/// `θ − sin θ`, by its series where the difference would lose digits.
fn segment(angle: f64) -> f64 {
    if angle < 0.05 {
        let square = angle * angle;
        return angle * square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0));
    }
    angle - angle.sin()
}

/// Area of a round section of a diameter in m, m².
///
/// ```
/// assert!((bywash::formulas::part_full::full_area(0.1) - 7.854e-3).abs() < 1e-6);
/// ```
pub fn full_area(diameter: f64) -> f64 {
    PI * diameter * diameter / 4.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depths_invert_flows_from_a_film_to_the_crown() {
        let pipe = PartFullPipe::new(0.1, 0.02);
        for share in [1e-6, 1e-3, 0.1, 0.5, 0.9, 0.938] {
            let depth = share * pipe.diameter;
            let back = pipe.normal_depth(pipe.flow(depth, 0.011), 0.011);
            assert!((back / depth - 1.0).abs() < 1e-9, "{share}: {back}");
            let flow = pipe.critical_flow(pipe.angle(depth));
            assert!((pipe.critical_depth(flow) / depth - 1.0).abs() < 1e-9, "{share}");
        }
    }

    #[test]
    fn the_most_flow_is_at_its_angle() {
        let theta = ANGLE_OF_MOST_FLOW;
        assert!(
            (theta * (3.0 - 5.0 * theta.cos()) + 2.0 * theta.sin()).abs() < 1e-12,
            "{theta}"
        );
        let pipe = PartFullPipe::new(0.1, 0.02);
        assert!((pipe.depth(theta) / 0.1 - DEPTH_OF_MOST_FLOW).abs() < 1e-6);
        let most = pipe.most_flow(0.011);
        for share in [0.90, 0.93, 0.95, 1.0] {
            assert!(pipe.flow(share * 0.1, 0.011) < most);
        }
    }
}
