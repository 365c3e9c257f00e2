//! Shallow streams over stone, where Manning's usual n fails: resistance from the size of the stone.

use std::ops::RangeInclusive;

use super::{
    channel::Section,
    validity::{at_least, positive},
    water::STANDARD_GRAVITY,
};

/// Velocity of the shallow layer among the stones in Ferguson's equation (copy: the source of a bedload model).
const ROUGHNESS_LAYER: f64 = 2.5;
/// Velocity of deep flow in Ferguson's equation, as Manning and Strickler have it (copy, likewise).
const DEEP_FLOW: f64 = 6.5;

/// Hydraulic radius over D84 within which the measured streams behind [`variable_power`] lie.
pub const SUBMERGENCE: RangeInclusive<f64> = 0.1..=30.0;
/// How far a measured velocity lies from the equation: twice as fast to half as fast.
pub const SPREAD: f64 = 2.0;

/// Velocity over shear velocity by the variable-power equation of Ferguson (2007), Water Resources Research 43,
/// W05427: `V/u* = a1·a2·x / √(a1² + a2²·x^(5/3))`, `x = R/D84`, a1 6.5 and a2 2.5: equation 10a of Rickenmann & Recking
/// (2011), Water Resources Research 47, W07538, who found it the best of those they tried on 2,890 measurements (copy:
/// the source of a bedload model). Holds for `x` within [`SUBMERGENCE`].
///
/// ```
/// // By hand, water as deep as the stones are big: 6.5·2.5/√(6.5² + 2.5²) = 2.3333.
/// assert!((bywash::formulas::stream::variable_power(1.0) - 2.3333).abs() < 1e-4);
/// ```
pub fn variable_power(submergence: f64) -> f64 {
    let deep = ROUGHNESS_LAYER * ROUGHNESS_LAYER * submergence.powf(5.0 / 3.0);
    DEEP_FLOW * ROUGHNESS_LAYER * submergence / (DEEP_FLOW * DEEP_FLOW + deep).sqrt()
}

/// The end of the range that resistance lies in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The least resistance: shallow and fast.
    Smooth,
    /// The most resistance: deep and slow.
    Rough,
}

/// How a bed holds the water back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bed {
    /// Stone of a known size: [`variable_power`], velocity times or over [`SPREAD`].
    Stone {
        /// The size that 84 % of the stone is finer than, m.
        d84: f64,
    },
    /// A bed known by its lining, or given: Manning's n between two ends, s/m^(1/3).
    Manning {
        /// The least.
        smooth: f64,
        /// The most.
        rough: f64,
    },
}

impl Bed {
    /// Flow, m³/s, at a depth, m, at one end of the range.
    ///
    /// ```
    /// use bywash::formulas::{channel::Section, stream::{Bed, End}};
    /// let section = Section { bed_width: 0.6, side_slope: 1.0, slope: 0.05 };
    /// let bed = Bed::Stone { d84: 0.1 };
    /// // The rough end is four times as slow as the smooth one.
    /// let ratio = bed.flow(&section, 0.05, End::Smooth) / bed.flow(&section, 0.05, End::Rough);
    /// assert!((ratio - 4.0).abs() < 1e-12);
    /// ```
    pub fn flow(&self, section: &Section, depth: f64, end: End) -> f64 {
        match self {
            Self::Stone { d84 } => {
                let radius = section.hydraulic_radius(depth);
                let shear_velocity = (STANDARD_GRAVITY * radius * at_least(section.slope, 0.0)).sqrt();
                let spread = match end {
                    End::Smooth => SPREAD,
                    End::Rough => 1.0 / SPREAD,
                };
                spread * variable_power(radius / d84) * shear_velocity * section.area(depth)
            }
            Self::Manning { smooth, rough } => section.flow(
                depth,
                match end {
                    End::Smooth => *smooth,
                    End::Rough => *rough,
                },
            ),
        }
    }

    /// Depth of uniform flow, m, of a flow in m³/s; infinite on a level bed, which carries none.
    ///
    /// ```
    /// use bywash::formulas::{channel::Section, stream::{Bed, End}};
    /// let section = Section { bed_width: 0.6, side_slope: 1.0, slope: 0.05 };
    /// let bed = Bed::Stone { d84: 0.1 };
    /// let depth = bed.depth(&section, 0.006, End::Rough);
    /// assert!((bed.flow(&section, depth, End::Rough) - 0.006).abs() < 1e-12);
    /// // Manning's n of 0.05 for 100 gpm in 2 ft at 5 %: 1.03 in (computed).
    /// let narrow = Section { bed_width: 0.6096, ..section };
    /// let stone = Bed::Manning { smooth: 0.05, rough: 0.20 };
    /// assert!((stone.depth(&narrow, 100.0 * 6.30902e-5, End::Smooth) / 0.0254 - 1.03).abs() < 1e-2);
    /// ```
    pub fn depth(&self, section: &Section, flow: f64, end: End) -> f64 {
        if let Self::Stone { d84 } = self
            && positive(*d84).is_nan()
        {
            return f64::NAN;
        }
        if section.is_sound() && section.slope <= 0.0 && flow > 0.0 {
            return f64::INFINITY;
        }
        section.depth_where(flow, |depth| self.flow(section, depth, end))
    }

    /// Whether the law of resistance was measured at this depth (m).
    ///
    /// ```
    /// use bywash::formulas::{channel::Section, stream::{Bed, End}};
    /// let section = Section { bed_width: 0.6, side_slope: 1.0, slope: 0.05 };
    /// let bed = Bed::Stone { d84: 0.1 };
    /// assert!(bed.holds(&section, 0.05));
    /// ```
    pub fn holds(&self, section: &Section, depth: f64) -> bool {
        self.outside(section, depth).is_none()
    }

    /// Hydraulic radius over D84 at a depth (m), where that is outside [`SUBMERGENCE`].
    ///
    /// ```
    /// use bywash::formulas::{channel::Section, stream::{Bed, End}};
    /// let section = Section { bed_width: 0.6, side_slope: 1.0, slope: 0.05 };
    /// let bed = Bed::Stone { d84: 0.1 };
    /// // Water of 5 mm among stones of 100 mm: a twentieth of them.
    /// assert!(bed.outside(&section, 0.005).is_some_and(|submergence| submergence < 0.05));
    /// ```
    pub fn outside(&self, section: &Section, depth: f64) -> Option<f64> {
        let Self::Stone { d84 } = self else { return None };
        Some(section.hydraulic_radius(depth) / d84).filter(|submergence| !SUBMERGENCE.contains(submergence))
    }
}

#[cfg(test)]
mod tests {
    use super::{Bed, DEEP_FLOW, End, ROUGHNESS_LAYER, variable_power};
    use crate::formulas::channel::Section;

    #[test]
    fn shallow_and_deep_flow_come_to_their_laws() {
        assert!((variable_power(1e-4) / (ROUGHNESS_LAYER * 1e-4) - 1.0).abs() < 1e-3);
        let deep: f64 = 1e6;
        assert!((variable_power(deep) / (DEEP_FLOW * deep.powf(1.0 / 6.0)) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn the_rough_end_is_deeper_and_each_depth_carries_its_flow() {
        let section = Section {
            bed_width: 0.6,
            side_slope: 1.0,
            slope: 0.05,
        };
        let manning = Bed::Manning {
            smooth: 0.05,
            rough: 0.20,
        };
        for bed in [manning, Bed::Stone { d84: 0.1 }] {
            let smooth = bed.depth(&section, 0.0063, End::Smooth);
            let rough = bed.depth(&section, 0.0063, End::Rough);
            assert!(smooth < rough);
            assert!((bed.flow(&section, rough, End::Rough) / 0.0063 - 1.0).abs() < 1e-9);
        }
    }
}
