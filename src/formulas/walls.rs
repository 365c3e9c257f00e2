//! Gravity walls: earth pressure behind, weight against it. Per metre of wall.

use std::f64::consts::FRAC_PI_4;

use super::{
    validity::{at_least, at_most},
    water::{NOMINAL_DENSITY as WATER, STANDARD_GRAVITY as G},
};

/// Rankine's coefficient of active earth pressure, `K_a = tan²(45° − φ/2)`, for level ground behind an upright back without
/// friction; friction angle φ (rad), `0 ≤ φ < 90°`. Source: Rankine 1857 (from memory).
///
/// ```
/// // Rankine: a third at a friction angle of 30°.
/// let k = bywash::formulas::walls::active(30f64.to_radians());
/// assert!((k - 1.0 / 3.0).abs() < 1e-12);
/// ```
pub fn active(friction: f64) -> f64 {
    (FRAC_PI_4 - friction / 2.0).tan().powi(2)
}

/// Ground behind a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Backing {
    /// Height of soil over the wall's base, m.
    pub height: f64,
    /// Friction angle, rad.
    pub friction: f64,
    /// Density of the soil, kg/m³; saturated where water stands in it.
    pub density: f64,
    /// Load on the ground behind, Pa.
    pub surcharge: f64,
    /// Whether water leaves behind the wall; else it stands to the top of the soil, and seeps under the base.
    pub drained: bool,
}

impl Backing {
    /// Thrust, N/m, and its moment about the base, N: `P = K_a·(½·ρ·g·H² + q·H)`, at H/3 and H/2. Undrained, the soil weighs
    /// submerged and the water adds `½·ρ_w·g·H²`.
    ///
    /// ```
    /// use bywash::formulas::walls::{Backing, Gravity};
    /// let backing = Backing { height: 2.0, friction: 30f64.to_radians(), density: 1800.0, surcharge: 0.0, drained: true };
    /// let wall = Gravity { height: 2.0, base: 1.0, batter: 0.0, density: 2400.0 };
    /// // By hand: ½·K_a·ρ·g·H² = ½·⅓·1800·g·4, at a third of the height.
    /// let (thrust, moment) = backing.thrust();
    /// assert!((thrust - 1200.0 * 9.80665).abs() < 1e-6 && (moment - thrust * 2.0 / 3.0).abs() < 1e-6);
    /// ```
    pub fn thrust(&self) -> (f64, f64) {
        let (k, h) = (active(self.friction), self.height);
        let soil = if self.drained {
            self.density
        } else {
            self.density - WATER
        };
        let water = if self.drained { 0.0 } else { WATER };
        let wedge = 0.5 * G * (k * soil + water) * h * h;
        let load = k * self.surcharge * h;
        (wedge + load, wedge * h / 3.0 + load * h / 2.0)
    }

    /// Uplift under a base of a width (m), N/m, and its moment about the toe, N: `U = ½·ρ_w·g·H·b` at 2b/3, falling evenly
    /// from the full depth of water at the heel to nothing at the toe; none where water leaves. The usual assumption for
    /// a base without a cut-off or drain (from memory); water in front is left out.
    ///
    /// ```
    /// use bywash::formulas::walls::{Backing, Gravity};
    /// let backing = Backing { height: 2.0, friction: 30f64.to_radians(), density: 1800.0, surcharge: 0.0, drained: true };
    /// let wall = Gravity { height: 2.0, base: 1.0, batter: 0.0, density: 2400.0 };
    /// // Water leaves behind a drained wall.
    /// assert_eq!(backing.uplift(1.0), (0.0, 0.0));
    /// // By hand, undrained: ½·1000·g·2·1 at two thirds of the base.
    /// let (uplift, _) = Backing { drained: false, ..backing }.uplift(1.0);
    /// assert!((uplift - 1000.0 * 9.80665).abs() < 1e-6);
    /// ```
    pub fn uplift(&self, base: f64) -> (f64, f64) {
        if self.drained {
            return (0.0, 0.0);
        }
        let uplift = 0.5 * WATER * G * self.height * base;
        (uplift, uplift * base * 2.0 / 3.0)
    }
}

/// A wall with an upright back and a front that leans back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gravity {
    /// Height, m.
    pub height: f64,
    /// Width at the base, m; more than `batter·height`.
    pub base: f64,
    /// Lean of the front, horizontal over vertical.
    pub batter: f64,
    /// Density of the wall with its joints, kg/m³.
    pub density: f64,
}

/// How safely a wall stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stability {
    /// Friction under the base over thrust; nought for a wall that floats.
    pub sliding: f64,
    /// Moment of the weight over the moments of thrust and uplift, about the toe.
    pub overturning: f64,
    /// Highest pressure of the base on the grain of the ground, Pa; none where the resultant falls outside it.
    pub bearing: Option<f64>,
}

impl Gravity {
    /// Weight, N/m, and its moment about the toe, N.
    ///
    /// ```
    /// use bywash::formulas::walls::{Backing, Gravity};
    /// let backing = Backing { height: 2.0, friction: 30f64.to_radians(), density: 1800.0, surcharge: 0.0, drained: true };
    /// let wall = Gravity { height: 2.0, base: 1.0, batter: 0.0, density: 2400.0 };
    /// // An upright block: 2400·g·2·1 about half its width.
    /// let (weight, moment) = wall.weight();
    /// assert!((weight - 4800.0 * 9.80665).abs() < 1e-6 && (moment - weight / 2.0).abs() < 1e-6);
    /// ```
    pub fn weight(&self) -> (f64, f64) {
        let lean = self.batter * self.height;
        let top = self.base - lean;
        let (block, wedge) = (top * self.height, lean * self.height / 2.0);
        let moment = block * (lean + top / 2.0) + wedge * lean * 2.0 / 3.0;
        let unit = self.density * G;
        (unit * (block + wedge), unit * moment)
    }

    /// `FS_s = μ·(W − U)/P`, `FS_o = M_W/(M_P + M_U)`, and the pressure under the base with `N = W − U`: `q = N/b·(1 + 6e/b)` while
    /// the resultant stays in the middle third, `q = 2N/(3x)` beyond it. μ: friction under the base; U: uplift. Soil in
    /// front is left out: on the safe side.
    ///
    /// ```
    /// use bywash::formulas::walls::{Backing, Gravity};
    /// let backing = Backing { height: 2.0, friction: 30f64.to_radians(), density: 1800.0, surcharge: 0.0, drained: true };
    /// let wall = Gravity { height: 2.0, base: 1.0, batter: 0.0, density: 2400.0 };
    /// // By hand: sliding 0.5·4800/1200 = 2.0, overturning 4800·0.5/(1200·⅔) = 3.0.
    /// let stability = wall.against(&backing, 0.5);
    /// assert!((stability.sliding - 2.0).abs() < 1e-9 && (stability.overturning - 3.0).abs() < 1e-9);
    /// ```
    pub fn against(&self, backing: &Backing, base_friction: f64) -> Stability {
        let ((weight, righting), (thrust, tipping)) = (self.weight(), backing.thrust());
        let (uplift, lifting) = backing.uplift(self.base);
        let bearing_force = at_least(weight - uplift, 0.0);
        let x = (righting - tipping - lifting) / bearing_force;
        let off = self.base / 2.0 - x;
        let bearing = if off.abs() <= self.base / 6.0 {
            Some(bearing_force / self.base * (1.0 + 6.0 * off.abs() / self.base))
        } else if x > 0.0 && x < self.base {
            Some(2.0 * bearing_force / (3.0 * at_most(x, self.base - x)))
        } else {
            None
        };
        Stability {
            sliding: base_friction * bearing_force / thrust,
            overturning: righting / (tipping + lifting),
            bearing,
        }
    }
}
