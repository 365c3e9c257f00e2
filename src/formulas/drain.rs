//! A basin running empty through a hole or a pipe.

use std::f64::consts::PI;

use super::{
    pipe::{Run, friction_factor, reynolds, velocity, velocity_head},
    siphon::flow_under_head,
    water::STANDARD_GRAVITY as G,
};

/// A round hole, small beside the head over it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orifice {
    /// Diameter, m.
    pub diameter: f64,
    /// Discharge coefficient: 0.6 to 0.65 for a sharp edge, near 0.8 for a short pipe, near 1 for a rounded mouth.
    pub coefficient: f64,
}

impl Orifice {
    /// Flow at a head over its centre, m³/s: Torricelli, `Q = C_d·a·√(2·g·h)`; none at and below it. Head in m,
    /// counted to the water on the other side where that stands higher.
    pub fn flow(&self, head: f64) -> f64 {
        self.factor() * head.max(0.0).sqrt()
    }

    /// Time, s, for the head to fall from `first` to `last` (m) while it drains a basin of upright walls:
    /// `t = 2·A/(C_d·a·√(2g))·(√h₁ − √h₂)`.
    ///
    /// Area of the water in m², times the porosity among stone; between two basins, [`joint_area`] and the difference of
    /// their levels.
    pub fn time(&self, area: f64, first: f64, last: f64) -> f64 {
        2.0 * area / self.factor() * (first.sqrt() - last.sqrt())
    }

    /// Head left after draining for a time in s, m: the inverse of [`Self::time`].
    pub fn head_after(&self, area: f64, first: f64, time: f64) -> f64 {
        (first.sqrt() - time * self.factor() / (2.0 * area))
            .max(0.0)
            .powi(2)
    }

    /// `C_d·a·√(2g)`.
    fn factor(&self) -> f64 {
        self.coefficient * PI * self.diameter * self.diameter / 4.0 * (2.0 * G).sqrt()
    }
}

/// The one area that drains as the difference of level of two joined basins does, m²: `A₁·A₂/(A₁ + A₂)`.
pub fn joint_area(one: f64, other: f64) -> f64 {
    one * other / (one + other)
}

/// A basin of upright walls that drains through a full pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PipeDrain {
    /// Area of the water, m²; times the porosity among stone.
    pub area: f64,
    /// How far the free end lies below the mouth in the basin, m.
    pub fall: f64,
    /// The pipe, with entrance and exit in its K.
    pub pipe: Run,
    /// Kinematic viscosity of the water, m²/s.
    pub nu: f64,
}

impl PipeDrain {
    /// Flow with the water at a depth over the mouth (m), m³/s: `(f·L/D + K)·v²/(2g) = depth + fall`.
    pub fn flow(&self, depth: f64) -> f64 {
        flow_under_head(depth + self.fall, &self.pipe, self.nu)
    }

    /// Time, s, for the depth over the mouth to fall from `first` to `last` (m): `t = ∫ A·dh/Q(h)`, the friction
    /// factor taken anew at each depth, without inertia, the pipe full throughout. Endless where the water comes to rest
    /// on the way.
    ///
    /// In the root of the head the integrand stays smooth where the head dies away. Composite three-point
    /// Gauss–Legendre.
    pub fn time(&self, first: f64, last: f64) -> f64 {
        const PANELS: u32 = 32;
        let [start, end] = [first, last].map(|depth| depth + self.fall);
        if end < 0.0 {
            return f64::INFINITY;
        }
        let (low, high) = (end.sqrt(), start.sqrt());
        let rate = |root: f64| 2.0 * root * self.area / flow_under_head(root * root, &self.pipe, self.nu);
        let node = 0.6_f64.sqrt();
        let half = (high - low) / (2.0 * f64::from(PANELS));
        let panels = (0..PANELS).map(|panel| {
            let middle = low + (2.0 * f64::from(panel) + 1.0) * half;
            let sides = rate(middle - half * node) + rate(middle + half * node);
            half * (5.0 * sides + 8.0 * rate(middle)) / 9.0
        });
        panels.sum()
    }

    /// The same with the friction factor and K of the first depth kept, in closed form: `t =
    /// 2·A/a·√((f·L/D + K)/(2g))·(√H₁ − √H₂)`. Short by up to 1 % in usual cases.
    pub fn time_at_first_friction(&self, first: f64, last: f64) -> f64 {
        let d = self.pipe.diameter;
        let re = reynolds(self.flow(first), d, self.nu);
        let friction = friction_factor(re, self.pipe.relative_roughness());
        let loss = friction * self.pipe.length / d + self.pipe.minor_k + self.pipe.laminar_k / re;
        let [start, end] = [first, last].map(|depth| (depth + self.fall).sqrt());
        2.0 * self.area * (loss * velocity_head(velocity(1.0, d))).sqrt() * (start - end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ORIFICE: Orifice = Orifice {
        diameter: 0.03,
        coefficient: 0.62,
    };

    #[test]
    fn time_and_head_undo_each_other() {
        let time = ORIFICE.time(2.0, 1.2, 0.3);
        assert!((ORIFICE.head_after(2.0, 1.2, time) - 0.3).abs() < 1e-12);
        assert_eq!(ORIFICE.head_after(2.0, 1.2, 1e9), 0.0);
        assert_eq!((ORIFICE.flow(0.0), ORIFICE.flow(-1.0)), (0.0, 0.0));
    }

    /// Steps two joined basins by hand and lets the closed form find the same difference.
    #[test]
    fn two_basins_level_out_as_one() {
        let (mut upper, mut lower, step) = (1.0, 0.0, 0.01);
        for _ in 0..20_000 {
            let moved = ORIFICE.flow(upper - lower) * step;
            upper -= moved / 3.0;
            lower += moved / 1.5;
        }
        let left = ORIFICE.head_after(joint_area(3.0, 1.5), 1.0, 200.0);
        assert!(
            (upper - lower - left).abs() < 1e-4,
            "{} and {left}",
            upper - lower
        );
        assert!((3.0 * upper + 1.5 * lower - 3.0).abs() < 1e-9);
    }

    #[test]
    fn a_pipe_of_losses_alone_drains_as_an_orifice_does() {
        let pipe = Run {
            diameter: 0.03,
            length: 0.0,
            roughness: 0.0,
            minor_k: 1.0 / (0.62 * 0.62),
            laminar_k: 0.0,
        };
        let drain = PipeDrain {
            area: 2.0,
            fall: 0.0,
            pipe,
            nu: 1e-6,
        };
        for last in [0.3, 0.0] {
            let want = ORIFICE.time(2.0, 1.2, last);
            assert!((drain.time(1.2, last) - want).abs() < 1e-9 * want);
            assert!((drain.time_at_first_friction(1.2, last) - want).abs() < 1e-9 * want);
        }
        assert_eq!(drain.time(1.2, -0.1), f64::INFINITY);
    }
}
