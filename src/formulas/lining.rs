//! How much sheet it takes to line a basin.

use std::f64::consts::PI;

/// Developed length across a basin with even sides, `s = b + 2·d·(√(1 + m²) − m)`, m.
///
/// Width at the top b (m), depth d (m), side slope m (horizontal over vertical). Level shelves change nothing: what they
/// take in width the floor lacks. Holds where the sides leave a floor, `2·m·d ≤ b`, plus the shelves. Plane geometry.
///
/// ```
/// // Sides that go 3 down and 4 out slant 5.
/// let length = bywash::formulas::lining::developed(10.0, 3.0, 4.0 / 3.0);
/// assert!((length - 12.0).abs() < 1e-12);
/// ```
pub fn developed(width: f64, depth: f64, slope: f64) -> f64 {
    width + 2.0 * depth * (slope.hypot(1.0) - slope)
}

/// Developed length across a bowl, half the girth of an ellipse, m.
///
/// Width at the top (m), depth (m). Ramanujan's second approximation of the girth, `π·(a + b)·(1 + 3h/(10 + √(4 − 3h)))`
/// with `h = (a − b)²/(a + b)²` (from memory); within 0.05 % for any axes.
///
/// ```
/// // A half circle of radius 1.
/// let length = bywash::formulas::lining::developed_bowl(2.0, 1.0);
/// assert!((length - std::f64::consts::PI).abs() < 1e-12);
/// ```
pub fn developed_bowl(width: f64, depth: f64) -> f64 {
    let (a, b) = (width / 2.0, depth);
    let h = ((a - b) / (a + b)).powi(2);
    PI / 2.0 * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

/// Developed length across a basin whose contours are alike in plan, `s = b_0 + Σ 2·√(Δz² + (Δb/2)²)`, m.
///
/// Levels and widths across, both m, from the floor up. Plane geometry; contours that are not alike take more.
///
/// ```
/// // A floor of 2 m, sides that go 3 m down and 4 m out, then upright for 1 m.
/// let length = bywash::formulas::lining::developed_by_contours(&[(0.0, 2.0), (3.0, 10.0), (4.0, 10.0)]);
/// assert!((length - 14.0).abs() < 1e-12);
/// ```
pub fn developed_by_contours(contours: &[(f64, f64)]) -> f64 {
    let floor = contours.first().map_or(0.0, |(_, width)| *width);
    let sides = contours.windows(2).map(|pair| {
        let ((low, inner), (high, outer)) = (pair[0], pair[1]);
        2.0 * (high - low).hypot((outer - inner) / 2.0)
    });
    floor + sides.sum::<f64>()
}

/// Least area of sheet that lines a basin of any shape, with a strip beyond its rim, m².
///
/// Levels (m) and the areas within them (m²) from the floor up, and the width of the strip a (m): floor, the sides of the
/// round basin of these areas, `π·(r_1 + r_2)·√(Δz² + Δr²)`, and its strip `π·a·(2r + a)`. Of all shapes of an area the
/// circle has the shortest edge, so that no other takes less.
///
/// ```
/// use std::f64::consts::PI;
/// // A tub of radius 1 m and depth 1 m: floor π, side 2π; a strip of 0.5 m: 1.25π.
/// let area = bywash::formulas::lining::least_surface(&[(0.0, PI), (1.0, PI)], 0.5);
/// assert!((area - 4.25 * PI).abs() < 1e-12);
/// ```
pub fn least_surface(contours: &[(f64, f64)], edge: f64) -> f64 {
    let radius = |area: f64| (area / PI).sqrt();
    let floor = contours.first().map_or(0.0, |(_, area)| *area);
    let rim = contours.last().map_or(0.0, |(_, area)| radius(*area));
    let sides = contours.windows(2).map(|pair| {
        let ((low, inner), (high, outer)) = (pair[0], pair[1]);
        let (inner, outer) = (radius(inner), radius(outer));
        PI * (inner + outer) * (high - low).hypot(outer - inner)
    });
    floor + sides.sum::<f64>() + PI * edge * (2.0 * rim + edge)
}

/// A stone that presses on a cushioned membrane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Puncture {
    /// Mass of the cushion, kg/m².
    pub cushion: f64,
    /// How far the stone stands out, m: half its size.
    pub protrusion: f64,
    /// Shape: 1.0 angular, 0.5 subangular, 0.25 round.
    pub shape: f64,
}

/// Cushions the method was tried with, kg/m².
pub const CUSHIONS: (f64, f64) = (0.270, 2.200);
/// How far the stones of its trials stood out, m.
pub const PROTRUSIONS: (f64, f64) = (0.006, 0.050);

impl Puncture {
    /// Pressure that a membrane of 1.5 mm HDPE stands, Pa: `p = (50 + 0.00045·M/H²) kPa / (MF_S·RF)`, cushion M (g/m²),
    /// protrusion H (m), shape MF_S, stones alone on the sheet and no arching; RF: all reductions for time and chemistry,
    /// multiplied.
    ///
    /// Range: HDPE of 60 mil (1.5 mm); see [`Self::outside`]. Source: Koerner, Wilson-Fahmy and Narejo (1996), coefficients
    /// from memory.
    ///
    /// ```
    /// use bywash::formulas::lining::Puncture;
    /// // By hand: 500 g/m² under stones that stand out 25 mm, angular, reductions 2.25: 410/2.25 kPa.
    /// let stones = Puncture { cushion: 0.5, protrusion: 0.025, shape: 1.0 };
    /// assert!((stones.allowed(2.25) - 410e3 / 2.25).abs() < 1e-6);
    /// ```
    pub fn allowed(&self, reduction: f64) -> f64 {
        let grams = self.cushion * 1000.0;
        let kilopascals = 50.0 + 0.000_45 * grams / self.protrusion.powi(2);
        1000.0 * kilopascals / (self.shape * reduction)
    }

    /// Which of the trials' limits it lies outside of, in words; none where the method holds.
    pub fn outside(&self) -> Option<&'static str> {
        let beyond = |value: f64, (least, most): (f64, f64)| !(least..=most).contains(&value);
        if beyond(self.cushion, CUSHIONS) {
            Some("the method holds for cushions of 8 to 65 oz/yd² (270 to 2200 g/m²)")
        } else if beyond(self.protrusion, PROTRUSIONS) {
            Some("the method holds for stones that stand out 1/4 to 2 in (6 to 50 mm), half their size")
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64, share: f64) {
        assert!((found / expected - 1.0).abs() <= share, "{found} for {expected}");
    }

    #[test]
    fn sides_add_their_slant() {
        // Upright sides add twice the depth; 3 down and 4 out slants 5.
        close(developed(8.0, 3.0, 0.0), 14.0, 1e-12);
        close(developed(10.0, 3.0, 4.0 / 3.0), 2.0 + 2.0 * 5.0, 1e-12);
    }

    #[test]
    fn a_bowl_is_half_an_ellipse() {
        close(developed_bowl(2.0, 1.0), PI, 1e-12);
        // A bowl of no depth is its own width.
        close(developed_bowl(2.0, 0.0), 2.0, 5e-4);
    }

    #[test]
    fn a_cushion_holds_stones_off() {
        // By hand: 500 g/m² under stones that stand out 25 mm: 50 + 0.00045·500/0.000625 = 410 kPa; angular, over
        // 1.5 · 1.5 = 2.25: 182.2 kPa; round stones press a quarter as hard.
        let stones = |shape, cushion| Puncture {
            cushion,
            protrusion: 0.025,
            shape,
        };
        close(stones(1.0, 0.5).allowed(2.25), 410e3 / 2.25, 1e-12);
        close(stones(0.25, 0.5).allowed(2.25), 4.0 * 410e3 / 2.25, 1e-12);
        assert_eq!(stones(1.0, 0.5).outside(), None);
        assert!(
            stones(1.0, 0.2)
                .outside()
                .is_some_and(|why| why.contains("cushions"))
        );
        let boulder = Puncture {
            protrusion: 0.06,
            ..stones(1.0, 0.5)
        };
        assert!(boulder.outside().is_some_and(|why| why.contains("stones")));
    }
}
