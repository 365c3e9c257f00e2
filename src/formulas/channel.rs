//! Open channels: uniform flow by Manning, critical flow, specific energy.

use super::{roots, validity::at_least, water::STANDARD_GRAVITY};

/// Manning's n of a shallow stone stream at the smooth end of its range, s/m^(1/3): published values for steep rough
/// streams at low flow run from 0.057 to 0.96, far above those of larger channels; 0.05 to 0.20 is taken for a built
/// stream.
pub const STONE_STREAM_SMOOTH: f64 = 0.05;
/// The rough end of the range, s/m^(1/3).
pub const STONE_STREAM_ROUGH: f64 = 0.20;
/// What a review prints where the range is used.
pub const STONE_STREAM_WHY: &str = "Manning’s n of a shallow stone stream from 0.05 to 0.20, where the size of its stone is not shown (common practice)";

/// A trapezoidal section laid at a slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Width at the bottom, m.
    pub bed_width: f64,
    /// Side slope, horizontal over vertical.
    pub side_slope: f64,
    /// Bed slope, drop over length.
    pub slope: f64,
}

impl Section {
    /// Whether its sizes are numbers, and its width and sides none below zero.
    pub(super) fn is_sound(&self) -> bool {
        self.bed_width >= 0.0 && self.side_slope >= 0.0 && !self.slope.is_nan()
    }

    /// Area of flow `(b + z·y)·y`, m², at a depth in m.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// assert_eq!(section.area(0.8), 4.0);
    /// ```
    pub fn area(&self, depth: f64) -> f64 {
        (self.bed_width + self.side_slope * depth) * depth
    }

    /// Wetted perimeter `b + 2·y·√(1 + z²)`, m, at a depth in m.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// assert_eq!(section.perimeter(0.8), 6.6);
    /// ```
    pub fn perimeter(&self, depth: f64) -> f64 {
        self.bed_width + 2.0 * depth * (1.0 + self.side_slope * self.side_slope).sqrt()
    }

    /// Flow at a depth by Manning (1891): `Q = A·R^(2/3)·S^(1/2)/n`, m³/s; depth in m, n in s/m^(1/3).
    ///
    /// ```
    /// // A textbook channel: 5 m wide, 0.8 m deep, n 0.015, slope 0.0025: 9.548 m³/s.
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// assert!((section.flow(0.8, 0.015) - 9.548).abs() < 2e-3);
    /// ```
    pub fn flow(&self, depth: f64, n: f64) -> f64 {
        let area = self.area(depth);
        area * (area / self.perimeter(depth)).powf(2.0 / 3.0) * at_least(self.slope, 0.0).sqrt() / n
    }

    /// Width of the water surface `b + 2·z·y`, m, at a depth in m.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// assert_eq!(section.top_width(0.8), 5.0);
    /// ```
    pub fn top_width(&self, depth: f64) -> f64 {
        self.bed_width + 2.0 * self.side_slope * depth
    }

    /// Hydraulic radius `A / P`, m, at a depth in m; zero in a dry bed.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// assert!((section.hydraulic_radius(0.8) - 4.0 / 6.6).abs() < 1e-12);
    /// ```
    pub fn hydraulic_radius(&self, depth: f64) -> f64 {
        if depth <= 0.0 && self.is_sound() {
            return 0.0;
        }
        self.area(depth) / self.perimeter(depth)
    }

    /// Froude number `V / √(g·A/T)` of a flow (m³/s) at a depth (m); below 1 the flow is tranquil (subcritical),
    /// above 1 shooting (supercritical). Small slopes: the bed's angle is left out.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// // By hand: 2.387 m/s over √(9.80665·0.8).
    /// assert!((section.froude(9.548, 0.8) - 0.8522).abs() < 1e-4);
    /// ```
    pub fn froude(&self, flow: f64, depth: f64) -> f64 {
        let area = self.area(depth);
        flow / area / (STANDARD_GRAVITY * area / self.top_width(depth)).sqrt()
    }

    /// Specific energy `y + V²/2g`, m, of a flow (m³/s) at a depth (m).
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// // By hand: 0.8 + 2.387²/19.6133.
    /// assert!((section.specific_energy(9.548, 0.8) - 1.0905).abs() < 1e-4);
    /// ```
    pub fn specific_energy(&self, flow: f64, depth: f64) -> f64 {
        depth + (flow / self.area(depth)).powi(2) / (2.0 * STANDARD_GRAVITY)
    }

    /// Normal depth, m: the depth at which [`Self::flow`] is the flow given (m³/s). Zero for no flow; infinite on a
    /// level bed, which carries no uniform flow.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// assert!((section.normal_depth(9.548, 0.015) - 0.8).abs() < 1e-4);
    /// ```
    pub fn normal_depth(&self, flow: f64, n: f64) -> f64 {
        if n.is_nan() {
            return f64::NAN;
        }
        if self.is_sound() && self.slope <= 0.0 && flow > 0.0 && n > 0.0 {
            return f64::INFINITY;
        }
        self.depth_where(flow, |depth| self.flow(depth, n))
    }

    /// Critical depth, m, of a flow (m³/s): `Q²·T / (g·A³) = 1`. Zero for no flow.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// // By hand, upright sides: (q²/g)^⅓ with q = 9.548/5 m²/s.
    /// assert!((section.critical_depth(9.548) - 0.7190).abs() < 1e-4);
    /// ```
    pub fn critical_depth(&self, flow: f64) -> f64 {
        self.depth_where(flow, |depth| {
            let area = self.area(depth);
            area * (STANDARD_GRAVITY * area / self.top_width(depth)).sqrt()
        })
    }

    /// Critical slope, drop over length: the slope at which the normal depth of a flow (m³/s) is its critical depth.
    ///
    /// ```
    /// let section = bywash::formulas::channel::Section { bed_width: 5.0, side_slope: 0.0, slope: 0.0025 };
    /// // At the critical slope the normal depth is the critical one.
    /// let slope = section.critical_slope(9.548, 0.015);
    /// let steeper = bywash::formulas::channel::Section { slope, ..section };
    /// assert!((steeper.normal_depth(9.548, 0.015) - section.critical_depth(9.548)).abs() < 1e-9);
    /// ```
    pub fn critical_slope(&self, flow: f64, n: f64) -> f64 {
        let depth = self.critical_depth(flow);
        let velocity = flow / self.area(depth);
        (n * velocity / self.hydraulic_radius(depth).powf(2.0 / 3.0)).powi(2)
    }

    /// The depth, m, at which a law of flow that rises with depth gives the flow asked for (m³/s).
    pub(super) fn depth_where(&self, flow: f64, law: impl Fn(f64) -> f64) -> f64 {
        if !self.is_sound() {
            return f64::NAN;
        }
        if flow <= 0.0 {
            return 0.0;
        }
        if self.bed_width + self.side_slope <= 0.0 {
            return f64::INFINITY;
        }
        let (mut low, mut high) = (0.0, 0.01);
        while law(high) < flow {
            low = high;
            high *= 2.0;
        }
        roots::bracketed(low, high, 0.0, |depth| law(depth) - flow)
    }
}

#[cfg(test)]
mod tests {
    use super::Section;

    #[test]
    fn no_flow_has_no_depth_and_a_level_bed_carries_none() {
        let section = Section {
            bed_width: 0.6,
            side_slope: 1.0,
            slope: 0.0,
        };
        assert_eq!(section.normal_depth(0.0, 0.1), 0.0);
        assert_eq!(section.normal_depth(0.01, 0.1), f64::INFINITY);
    }
}
