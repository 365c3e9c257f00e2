//! The coefficients and the law of Kindsvater and Carter.

use crate::formulas::{validity::at_least, water::STANDARD_GRAVITY as G};

/// Lowest head at which Kindsvater–Carter was measured, m; below it surface tension rules.
const LEAST_HEAD: f64 = 0.03;
/// Kindsvater & Carter's correction of the head for viscosity and surface tension, m.
const HEAD_CORRECTION: f64 = 0.001;

/// One row of the Kindsvater–Carter coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficients {
    /// Crest width over approach width.
    pub width_ratio: f64,
    /// α, from the printed c₂ (ft^½/s) over `(2/3)·√(2·32.174)`.
    pub alpha: f64,
    /// β, from the printed c₁ likewise.
    pub beta: f64,
    /// k_b, m.
    pub width_correction: f64,
}

/// Kindsvater–Carter coefficients by b/B: c₁, c₂ of the USBR Water Measurement Manual, as tabulated in the
/// EPA SWMM reference manual vol. II; the last row is ISO 1438 for a full-width weir. k_b is read off the
/// published curve from memory.
pub const COEFFICIENTS: [Coefficients; 8] = [
    printed(0.2, 3.152, -0.0087, 0.0024),
    printed(0.4, 3.164, 0.0317, 0.0027),
    printed(0.5, 3.173, 0.0612, 0.00315),
    printed(0.6, 3.178, 0.0995, 0.0036),
    printed(0.7, 3.182, 0.1602, 0.0039),
    printed(0.8, 3.189, 0.2376, 0.0042),
    printed(0.9, 3.205, 0.3447, 0.0037),
    Coefficients {
        width_ratio: 1.0,
        alpha: 0.602,
        beta: 0.075,
        width_correction: -0.0009,
    },
];

/// A row as printed, in ft^½/s.
const fn printed(width_ratio: f64, c2: f64, c1: f64, width_correction: f64) -> Coefficients {
    /// `(2/3)·√(2·32.174 ft/s²)`.
    const FACTOR: f64 = 5.347_813_675_803_516;
    Coefficients {
        width_ratio,
        alpha: c2 / FACTOR,
        beta: c1 / FACTOR,
        width_correction,
    }
}

/// Kindsvater–Carter for one crest.
pub(super) struct KindsvaterCarter {
    alpha: f64,
    beta_per_height: f64,
    pub(super) width: f64,
}

impl KindsvaterCarter {
    /// Of a crest so wide and so high over the floor, in water so wide, all in m.
    pub(super) fn of(width: f64, height: f64, approach_width: f64) -> Self {
        Self::with(&coefficients_at(width / approach_width), width, height)
    }

    fn with(row: &Coefficients, width: f64, height: f64) -> Self {
        Self {
            alpha: row.alpha,
            beta_per_height: row.beta / height,
            width: at_least(width + row.width_correction, 0.0),
        }
    }

    pub(super) fn discharge_and_slope(&self, head: f64) -> (f64, f64) {
        let stretch = 1.0 + HEAD_CORRECTION / LEAST_HEAD;
        if head < LEAST_HEAD {
            self.at(head, head * stretch, stretch)
        } else {
            self.at(head, head + HEAD_CORRECTION, 1.0)
        }
    }

    /// About the head a flow takes, m: where to begin.
    pub(super) fn usual_head(&self, flow: f64) -> f64 {
        (flow / (self.alpha * sharp_crest_factor() * self.width)).powf(2.0 / 3.0)
    }

    /// Discharge and its derivative at a head, the effective head that stands for it, and the growth of that.
    fn at(&self, head: f64, effective: f64, growth: f64) -> (f64, f64) {
        let ce = self.alpha + self.beta_per_height * head;
        let factor = sharp_crest_factor() * self.width;
        let root = effective.sqrt();
        let slope = self.beta_per_height * effective * root + 1.5 * ce * root * growth;
        (factor * ce * effective * root, factor * slope)
    }
}

/// `(2/3)·√(2g)`, m^½/s.
fn sharp_crest_factor() -> f64 {
    2.0 / 3.0 * (2.0 * G).sqrt()
}

/// The coefficients at a ratio b/B, linear between the rows.
fn coefficients_at(width_ratio: f64) -> Coefficients {
    let [first, .., last] = COEFFICIENTS;
    if width_ratio <= first.width_ratio {
        return first;
    }
    for pair in COEFFICIENTS.windows(2) {
        if let [low, high] = pair
            && width_ratio <= high.width_ratio
        {
            let t = (width_ratio - low.width_ratio) / (high.width_ratio - low.width_ratio);
            let between = |a: f64, b: f64| a + t * (b - a);
            return Coefficients {
                width_ratio,
                alpha: between(low.alpha, high.alpha),
                beta: between(low.beta, high.beta),
                width_correction: between(low.width_correction, high.width_correction),
            };
        }
    }
    last
}
