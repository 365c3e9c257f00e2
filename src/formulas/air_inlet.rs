//! The air that an opening lets into a siphoning line.

use super::validity::{not_negative, positive};

/// Density of water, kg/m³.
pub const WATER_DENSITY: f64 = 1000.0;
/// Density of air at 20 °C and sea level, kg/m³.
pub const AIR_DENSITY: f64 = 1.2;
/// Discharge coefficient of a sharp round hole.
const ORIFICE: f64 = 0.6;
/// Loss of a square-edged mouth, in velocity heads.
const ENTRANCE: f64 = 0.5;

/// Air through an inlet close under the surface as a multiple of the water that siphons past it.
///
/// Where the surface has fallen to the inlet, the pressure in the line lies below the air's by the velocity head and
/// the entrance loss, `Δp = (1 + K)·ρ_w·v²/2`. The hole passes `0.6·a·√(2·Δp/ρ_a)` of air, the line `A·v` of water; the
/// velocity cancels out.
///
/// `r = 0.6·(d/D)²·√((1 + K)·ρ_w/ρ_a)`, with `K` 0.5.
///
/// * `bore`: bore of the inlet, m
/// * `inside`: inside diameter of the line, m
///
/// Range: a hole in a thin wall, air that does not choke (far below the speed of sound). Friction between mouth and
/// inlet is left out, which is on the safe side. Source: Bernoulli's law and the orifice equation.
pub fn air_over_water(bore: f64, inside: f64) -> f64 {
    let ratio = not_negative(bore) / positive(inside);
    ORIFICE * ratio.powi(2) * ((1.0 + ENTRANCE) * WATER_DENSITY / AIR_DENSITY).sqrt()
}

#[cfg(test)]
mod tests {
    use super::{AIR_DENSITY, ENTRANCE, ORIFICE, WATER_DENSITY, air_over_water};

    /// The same by the pressures and flows themselves, at a velocity.
    fn at(velocity: f64, bore: f64, inside: f64) -> f64 {
        let area = |d: f64| std::f64::consts::FRAC_PI_4 * d * d;
        let suction = (1.0 + ENTRANCE) * WATER_DENSITY * velocity * velocity / 2.0;
        let air = ORIFICE * area(bore) * (2.0 * suction / AIR_DENSITY).sqrt();
        air / (area(inside) * velocity)
    }

    #[test]
    fn the_velocity_cancels_out() {
        for velocity in [0.3, 1.0, 2.4] {
            let share = air_over_water(0.0127, 0.0525);
            assert!((at(velocity, 0.0127, 0.0525) - share).abs() < 1e-12 * share);
        }
    }

    #[test]
    fn a_quarter_of_the_pipe_is_enough_and_a_quarter_inch_in_three_is_not() {
        assert!(air_over_water(0.25, 1.0) > 1.0);
        assert!(air_over_water(0.2, 1.0) < 1.0);
        assert!(air_over_water(0.25, 3.068) < 0.2);
    }
}
