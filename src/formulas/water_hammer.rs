//! Pressure waves in a pipe whose water is stopped at once (water hammer).

/// Bulk modulus of water near 20 °C, Pa (from memory).
pub const WATER_BULK_MODULUS: f64 = 2.19e9;

/// Speed of a pressure wave in a full elastic pipe, m/s: Korteweg (1878), as Joukowsky (1898) used it,
/// `a = √((K/ρ) / (1 + (K/E)·(D/e)))`.
///
/// Arguments: density of the water `ρ`, kg/m³; modulus of the wall `E`, Pa; inside diameter `D` and wall `e`, m.
/// Thin walls (`D/e` above about 10), free of air: a little air in the water slows the wave and softens the blow.
///
/// ```
/// use bywash::formulas::water_hammer::wave_speed;
/// // A rigid pipe carries sound at its speed in water, 1481 m/s at 20 °C.
/// assert!((wave_speed(998.2, f64::INFINITY, 0.05, 0.004) - 1481.2).abs() < 1.0);
/// ```
pub fn wave_speed(density: f64, modulus: f64, diameter: f64, wall: f64) -> f64 {
    let bulk = WATER_BULK_MODULUS;
    (bulk / density / (1.0 + bulk / modulus * diameter / wall)).sqrt()
}

/// Rise of pressure when water at a velocity is stopped faster than the wave runs up the pipe and back, Pa:
/// Joukowsky (1898), `Δp = ρ·a·v`.
///
/// Arguments: density `ρ`, kg/m³; wave speed `a` and velocity `v`, m/s. The most that a stop can give; a slower one
/// gives less.
///
/// ```
/// // By hand: 1 m/s stopped in PVC where the wave runs at 437 m/s: 4.37 bar.
/// assert_eq!(bywash::formulas::water_hammer::joukowsky(1000.0, 437.0, 1.0), 437_000.0);
/// ```
pub fn joukowsky(density: f64, wave_speed: f64, velocity: f64) -> f64 {
    density * wave_speed * velocity.abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rigid_pipe_carries_sound_at_its_speed_in_water() {
        let speed = wave_speed(998.2, f64::INFINITY, 0.05, 0.004);
        assert!((speed - 1481.2).abs() < 1.0, "{speed}");
    }

    #[test]
    fn soft_and_thin_pipe_slows_the_wave() {
        let speed = |modulus, wall| wave_speed(1000.0, modulus, 0.05, wall);
        assert!(speed(2.8e9, 0.004) < speed(200e9, 0.004));
        assert!(speed(2.8e9, 0.002) < speed(2.8e9, 0.004));
    }
}
