//! The air that an opening lets into a siphoning line.

use std::f64::consts::PI;

use super::{
    validity::{any_nan, at_least, not_negative, positive},
    water::STANDARD_GRAVITY as G,
};

/// Density of water, kg/m³.
pub const WATER_DENSITY: f64 = super::water::NOMINAL_DENSITY;
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
///
/// ```
/// // By hand: a hole of a quarter of the bore lets in 0.6/16·√1250 = 1.326 times as much air.
/// let share = bywash::formulas::air_inlet::air_over_water(0.0125, 0.05);
/// assert!((share - 1.326).abs() < 1e-3);
/// ```
pub fn air_over_water(bore: f64, inside: f64) -> f64 {
    let ratio = not_negative(bore) / positive(inside);
    ORIFICE * ratio.powi(2) * ((1.0 + ENTRANCE) * WATER_DENSITY / AIR_DENSITY).sqrt()
}

/// Air that enters through a sharp-edged hole into a line under suction, m³/s: `Q_a = C·A·√(2·Δp/ρ_a)`, `Δp = ρ_w·g·h`.
///
/// Arguments: bore of the hole, m; suction in the line there, m of water; density of the water, kg/m³. C is 0.6. No air
/// without suction. Range: up to about 1.5 m of suction, beyond which air expands and less enters than this tells; a hole
/// that is not drowned or blocked. Incompressible orifice flow.
///
/// ```
/// use bywash::formulas::air_inlet::air_flow;
/// // By hand: 6 mm, 0.2 m of water (1957 Pa): 57.1 m/s through 0.6·28.27 mm²: 0.969 L/s.
/// assert!((air_flow(0.006, 0.2, 998.0) - 0.969e-3).abs() < 2e-6);
/// ```
pub fn air_flow(bore: f64, suction: f64, water_density: f64) -> f64 {
    let area = PI * not_negative(bore).powi(2) / 4.0;
    let pressure = positive(water_density) * G * at_least(suction, 0.0);
    ORIFICE * area * (2.0 * pressure / AIR_DENSITY).sqrt()
}

/// The least bore of an air inlet that breaks a siphon, m: air enters as fast as the water runs, `Q_a = Q_w`
/// ([`air_flow`]).
///
/// Arguments: flow of the siphon, m³/s; suction at the inlet once it comes clear, m of water; density of the water, kg/m³.
/// Infinite without suction. As much air as water empties any line (common practice; a fraction of it already breaks most).
/// Range as of [`air_flow`]. Where the suction follows from the flow itself: [`air_over_water`].
///
/// ```
/// use bywash::formulas::air_inlet::{air_flow, least_bore};
/// let bore = least_bore(1e-3, 0.2, 998.0);
/// assert!((air_flow(bore, 0.2, 998.0) / 1e-3 - 1.0).abs() < 1e-12);
/// // 1 L/s under 0.2 m of suction asks for about 6 mm.
/// assert!((bore - 0.00610).abs() < 1e-5, "{bore}");
/// ```
pub fn least_bore(flow: f64, suction: f64, water_density: f64) -> f64 {
    if any_nan(&[flow, suction, water_density]) {
        return f64::NAN;
    }
    if flow <= 0.0 {
        return 0.0;
    }
    (flow / air_flow(1.0, suction, water_density)).sqrt()
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
