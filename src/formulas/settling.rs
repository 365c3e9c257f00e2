//! What settles against rising water.

use super::{
    bed::{Water, settling_velocity},
    roots,
};

/// Sizes between which a grain is sought, m: a thousandth of a millimetre to a hand.
const SIZES: (f64, f64) = (1e-6, 0.1);

/// The finest sphere that settles against water rising at a velocity, m: the size at which [`settling_velocity`]
/// equals it. None where no size up to 0.1 m does, or where grains are no denser than the water.
///
/// Arguments: upward velocity, m/s; grain density, kg/m³; water. Same law and limits as [`settling_velocity`].
///
/// ```
/// use bywash::formulas::{bed::{Water, settling_velocity}, settling::finest_settled};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// // fluids 1.3.1: grains of 70 µm and 2600 kg/m³ settle at 4.1425 mm/s (by another drag law, 4 % off).
/// let size = finest_settled(4.1425e-3, 2600.0, &water).unwrap();
/// assert!((size / 70e-6 - 1.0).abs() < 0.04);
/// assert!((settling_velocity(size, 2600.0, &water) / 4.1425e-3 - 1.0).abs() < 1e-9);
/// ```
pub fn finest_settled(rate: f64, grain_density: f64, water: &Water) -> Option<f64> {
    // Settling velocity rises with size, over many powers of ten: sought by the logarithm.
    let excess = |log: f64| settling_velocity(log.exp(), grain_density, water) - rate;
    let (low, high) = (SIZES.0.ln(), SIZES.1.ln());
    let reached = excess(high) >= 0.0 && grain_density > water.density;
    reached.then(|| roots::bracketed(low, high, 0.0, excess).exp())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    const WATER: Water = Water {
        density: 1000.0,
        viscosity: 1e-3,
    };

    #[test]
    fn the_finest_grain_settles_exactly_as_fast_as_the_water_rises() {
        for rate in [1e-5, 1.3e-3, 0.02] {
            let size = finest_settled(rate, 2650.0, &WATER).unwrap();
            let settles = settling_velocity(size, 2650.0, &WATER);
            assert!((settles / rate - 1.0).abs() < 1e-9, "{rate}");
        }
    }

    #[test]
    fn nothing_light_settles() {
        assert_eq!(finest_settled(1e-3, 1000.0, &WATER), None);
        assert_eq!(finest_settled(50.0, 2650.0, &WATER), None);
    }
}
