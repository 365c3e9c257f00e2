//! Triangular notches in a thin plate, which measure small flows well.

use std::ops::RangeInclusive;

use super::{G, at_least, invert};
use crate::formulas::units::FOOT;

/// A V-notch with its point down, level and sharp-edged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// Angle between its sides, degrees.
    pub angle: f64,
}

impl Notch {
    /// Angles, in degrees, over which [`Self::discharge`] was fitted (from memory).
    pub const ANGLES: RangeInclusive<f64> = 20.0..=100.0;
    /// Lowest head, m, at which [`Self::discharge`] was measured (from memory).
    pub const LEAST_HEAD: f64 = 0.05;

    /// Head for a flow (m³/s) by the plain formula, m, `Q = (8/15)·C_d·√(2g)·tan(θ/2)·h^2.5` with C_d 0.58: where to
    /// begin.
    fn plain_head(self, flow: f64) -> f64 {
        (at_least(flow, 0.0) / (self.factor() * 0.58)).powf(0.4)
    }

    /// Discharge by Kindsvater & Shen, m³/s: `Q = (8/15)·C_e·√(2g)·tan(θ/2)·(h + k_h)^2.5`, with
    /// [`Self::coefficient`] and [`Self::head_correction`]; head in m, zero at and below the point.
    ///
    /// Range: [`Self::ANGLES`], [`Self::LEAST_HEAD`], a notch small beside the channel. Polynomials of a widely used
    /// curve fit (from memory).
    ///
    /// ```
    /// use bywash::formulas::weir::Notch;
    /// // The rounded formula for 90°, 1.365·h^2.5: 0.0244 m³/s at 0.2 m.
    /// assert!((Notch { angle: 90.0 }.discharge(0.2) / 0.0244 - 1.0).abs() < 0.03);
    /// ```
    pub fn discharge(self, head: f64) -> f64 {
        if head <= 0.0 {
            return 0.0;
        }
        self.effective(head).0
    }

    /// [`Self::discharge`] with its derivative by head, m²/s, continued to no flow at no head: below
    /// [`Self::LEAST_HEAD`], where the law was not measured, k_h shrinks in proportion.
    pub(super) fn continued(self, head: f64) -> (f64, f64) {
        if head >= Self::LEAST_HEAD {
            return self.effective(head);
        }
        let stretch = 1.0 + self.head_correction() / Self::LEAST_HEAD;
        let factor = self.factor() * self.coefficient() * stretch.powf(2.5);
        (factor * head.powf(2.5), 2.5 * factor * head.powf(1.5))
    }

    /// Head for a flow (m³/s) by [`Self::continued`], m.
    pub(super) fn continued_head(self, flow: f64) -> f64 {
        invert(flow, self.plain_head(flow), |head| self.continued(head))
    }

    /// The notch that is a share as wide at every height: one partly blocked.
    ///
    /// ```
    /// use bywash::formulas::weir::Notch;
    /// // Half as wide at every height as 90° is 2·atan(1/2).
    /// assert!((Notch { angle: 90.0 }.narrowed(0.5).angle - 53.13).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn narrowed(self, share: f64) -> Self {
        let half = (self.angle.to_radians() / 2.0).tan() * share;
        Self {
            angle: 2.0 * half.atan().to_degrees(),
        }
    }

    /// Head for a flow (m³/s) by [`Self::discharge`], m; next to nothing below the flow the formula gives for a
    /// vanishing head.
    ///
    /// ```
    /// use bywash::formulas::weir::Notch;
    /// let notch = Notch { angle: 90.0 };
    /// assert!((notch.head_for_flow(notch.discharge(0.2)) - 0.2).abs() < 1e-12);
    /// ```
    pub fn head_for_flow(self, flow: f64) -> f64 {
        if flow <= 0.0 {
            return 0.0;
        }
        invert(flow, self.plain_head(flow), |head| self.effective(head))
    }

    /// C_e of Kindsvater & Shen.
    ///
    /// ```
    /// // Kindsvater & Shen: 0.578 at 90°.
    /// assert!((bywash::formulas::weir::Notch { angle: 90.0 }.coefficient() - 0.578).abs() < 1e-3);
    /// ```
    pub fn coefficient(self) -> f64 {
        polynomial(&[0.607165052, -0.000874466963, 6.10393334e-6], self.angle)
    }

    /// k_h of Kindsvater & Shen, m.
    ///
    /// ```
    /// // Kindsvater & Shen: 0.9 mm at 90°.
    /// assert!((bywash::formulas::weir::Notch { angle: 90.0 }.head_correction() - 0.9e-3).abs() < 1e-4);
    /// ```
    pub fn head_correction(self) -> f64 {
        let feet = [0.0144902648, -0.00033955535, 3.29819003e-6, -1.06215442e-8];
        FOOT * polynomial(&feet, self.angle)
    }

    /// Kindsvater & Shen's discharge and its derivative.
    fn effective(self, head: f64) -> (f64, f64) {
        let effective = head + self.head_correction();
        let factor = self.factor() * self.coefficient();
        (factor * effective.powf(2.5), 2.5 * factor * effective.powf(1.5))
    }

    /// `(8/15)·√(2g)·tan(θ/2)`, m^½/s.
    fn factor(self) -> f64 {
        8.0 / 15.0 * (2.0 * G).sqrt() * (self.angle.to_radians() / 2.0).tan()
    }
}

/// `Σ cᵢ·xⁱ`.
fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flow_rises_with_head_and_angle_and_its_head_comes_back() {
        for angle in [20.0, 60.0, 90.0, 100.0] {
            let notch = Notch { angle };
            assert_eq!((notch.discharge(0.0), notch.head_for_flow(0.0)), (0.0, 0.0));
            let mut last = 0.0;
            for head in [0.01, 0.05, 0.2, 0.6] {
                let flow = notch.discharge(head);
                assert!(flow > last);
                last = flow;
                assert!((notch.head_for_flow(flow) - head).abs() < 1e-12);
                let wider = Notch { angle: angle + 1.0 };
                assert!(wider.discharge(head) > flow);
            }
        }
    }
}
