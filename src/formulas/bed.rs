//! Beds of stone with water rising through them.

use std::f64::consts::PI;

use super::{
    fittings::methods::MinorLoss,
    roots,
    validity::{at_least, at_most},
    water::STANDARD_GRAVITY as G,
};

/// A layer of stone as the flow sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stone {
    /// Mean size, m.
    pub size: f64,
    /// Sphericity: surface of the sphere of equal volume over the surface of the stone; 1 for a sphere.
    pub sphericity: f64,
    /// Porosity: voids over whole volume.
    pub porosity: f64,
}

/// Water as the flow laws need it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// kg/m³.
    pub density: f64,
    /// Dynamic viscosity, Pa·s.
    pub viscosity: f64,
}

impl Water {
    /// Water at a temperature in K.
    ///
    /// ```
    /// // IAPWS: 998.2 kg/m³ and 1.0016 mPa·s at 20 °C.
    /// let water = bywash::formulas::bed::Water::at(293.15);
    /// assert!((water.density - 998.2).abs() < 0.01 && (water.viscosity - 1.0016e-3).abs() < 1e-6);
    /// ```
    pub fn at(t: f64) -> Self {
        Self {
            density: super::water::density(t),
            viscosity: super::water::dynamic_viscosity(t),
        }
    }
}

/// Reynolds numbers `ρ·v·d/(μ·(1−n))` up to which Ergun's equation was fitted.
pub const ERGUN_REYNOLDS_MOST: f64 = 2500.0;

/// Ergun's Reynolds number `ρ·v·φd/(μ·(1−n))`, from the velocity over the empty bed in m/s.
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // By hand: 1000·0.001·0.8·10⁻³/(0.001·0.6).
/// assert!((bed::ergun_reynolds(1e-3, &grain, &water) - 1.3333).abs() < 1e-4);
/// ```
pub fn ergun_reynolds(velocity: f64, stone: &Stone, water: &Water) -> f64 {
    water.density * velocity.abs() * stone.sphericity * stone.size
        / (water.viscosity * (1.0 - stone.porosity))
}

/// Pressure gradient through a packed layer, Pa/m, of the sign of the velocity: Ergun (1952),
/// `150·μ·(1−n)²·v/(n³·(φd)²) + 1.75·(1−n)·ρ·v·|v|/(n³·φd)`.
///
/// `velocity` is flow over the whole (empty) area, m/s. Fitted up to [`ERGUN_REYNOLDS_MOST`].
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // fluids 1.3.1: 0.8 mm, voids 0.4, 1 mm/s: 1338.867 Pa over 1 m.
/// assert!((bed::ergun_gradient(1e-3, &grain, &water) - 1338.867).abs() < 2e-3);
/// ```
pub fn ergun_gradient(velocity: f64, stone: &Stone, water: &Water) -> f64 {
    let n = stone.porosity;
    let d = stone.sphericity * stone.size;
    let viscous = 150.0 * water.viscosity * (1.0 - n).powi(2) / (n.powi(3) * d * d);
    let inertial = 1.75 * (1.0 - n) * water.density / (n.powi(3) * d);
    velocity * (viscous + inertial * velocity.abs())
}

/// Head loss through a packed layer, m of water: [`ergun_gradient`] times thickness (m) over `ρ·g`.
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // The same over 1 m, as water: 1338.867/(1000·g).
/// assert!((bed::ergun_head_loss(1e-3, 1.0, &grain, &water) - 0.13653).abs() < 1e-5);
/// ```
pub fn ergun_head_loss(velocity: f64, thickness: f64, stone: &Stone, water: &Water) -> f64 {
    ergun_gradient(velocity, stone, water) * thickness / (water.density * G)
}

/// A stack of layers, each a thickness (m) and its stone, as a fitting in a pipe: the constants of
/// [`MinorLoss`], on the velocity in a pipe of a diameter (m), with which it loses what [`ergun_head_loss`] tells of a flow
/// spread over an area (m²), at any flow and viscosity.
///
/// With `r = π·D²/(4·A)`: `K₁ = Σ 300·t·D·r·(1−n)²/(n³·(φd)²)`, `K = Σ 3.5·t·r²·(1−n)/(n³·φd)`.
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // As a fitting of a pipe it loses what it loses as a bed.
/// let loss = bed::as_fitting(&[(1.0, grain)], 2.0, 0.1);
/// let (velocity, in_pipe) = (1e-3, 1e-3 * 2.0 / (std::f64::consts::PI * 0.01 / 4.0));
/// let head = loss.k(in_pipe * 0.1 / 1e-6) * in_pipe * in_pipe / (2.0 * 9.80665);
/// assert!((head / bed::ergun_head_loss(velocity, 1.0, &grain, &water) - 1.0).abs() < 1e-9);
/// ```
pub fn as_fitting(layers: &[(f64, Stone)], area: f64, diameter: f64) -> MinorLoss {
    let spread = PI * diameter * diameter / (4.0 * area);
    layers
        .iter()
        .fold(MinorLoss::default(), |sum, (thickness, stone)| {
            let n = stone.porosity;
            let d = stone.sphericity * stone.size;
            let packed = thickness * (1.0 - n) / (n.powi(3) * d);
            MinorLoss {
                laminar: sum.laminar + 300.0 * diameter * spread * packed * (1.0 - n) / d,
                turbulent: sum.turbulent + 3.5 * spread * spread * packed,
            }
        })
}

/// Archimedes number `d³·ρ·(ρ_s−ρ)·g/μ²` of a grain of size `d` (m) and density `ρ_s` (kg/m³).
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // By hand, quartz of 1 mm: 10⁻⁹·1000·1650·g/10⁻⁶ = 16 181.
/// assert!((bed::archimedes(1e-3, 2650.0, &water) - 16_181.0).abs() < 1.0);
/// ```
pub fn archimedes(size: f64, grain_density: f64, water: &Water) -> f64 {
    size.powi(3) * water.density * (grain_density - water.density) * G / water.viscosity.powi(2)
}

/// Minimum fluidising velocity over the empty bed, m/s: Wen & Yu (1966),
/// `Re = √(33.7² + 0.0408·Ar) − 33.7`, `v = Re·μ/(ρ·d)`. Zero for grains no denser than water.
///
/// Arguments: grain size (m), grain density (kg/m³), water. Fitted for Re 0.001 to 4000 (from memory); other
/// models differ by some tens of per cent.
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // Wen & Yu, quartz of 1 mm at 20 °C: 8.7 mm/s (computed).
/// assert!((bed::minimum_fluidising_velocity(1e-3, 2650.0, &water) - 8.7e-3).abs() < 1e-4);
/// ```
pub fn minimum_fluidising_velocity(size: f64, grain_density: f64, water: &Water) -> f64 {
    let ar = at_least(archimedes(size, grain_density, water), 0.0);
    // The difference of the roots, written so that small grains don't lose digits.
    let re = 0.0408 * ar / ((33.7f64.powi(2) + 0.0408 * ar).sqrt() + 33.7);
    re * water.viscosity / (water.density * size)
}

/// Reynolds number up to which the Schiller–Naumann drag law is used; beyond, the drag coefficient is 0.44.
pub const SCHILLER_NAUMANN_REYNOLDS_MOST: f64 = 1000.0;

/// Terminal settling velocity of a sphere, m/s: Schiller & Naumann (1933) drag, `C_d = (24/Re)·(1 +
/// 0.15·Re^0.687)`, not below Newton's 0.44. Zero for grains no denser than water.
///
/// Arguments: grain size (m), grain density (kg/m³), water. Valid for single spheres up to Re 2·10⁵; natural
/// grains settle more slowly.
///
/// ```
/// use bywash::formulas::bed::{self, Stone, Water};
/// let water = Water { density: 1000.0, viscosity: 1e-3 };
/// let grain = Stone { size: 0.8e-3, sphericity: 1.0, porosity: 0.4 };
/// // fluids 1.3.1: 70 µm, 2600 kg/m³: 4.1425 mm/s, by another drag law.
/// assert!((bed::settling_velocity(70e-6, 2600.0, &water) / 4.1425e-3 - 1.0).abs() < 0.06);
/// ```
pub fn settling_velocity(size: f64, grain_density: f64, water: &Water) -> f64 {
    // Balance of weight and drag: C_d·Re² = 4/3·Ar.
    let drag = 4.0 / 3.0 * at_least(archimedes(size, grain_density, water), 0.0);
    let newton = (drag / 0.44).sqrt();
    let re = at_most(schiller_naumann_reynolds(drag), newton);
    re * water.viscosity / (water.density * size)
}

/// Solves `24·Re + 3.6·Re^1.687 = drag`. The left side is convex and rising, so Newton from the Stokes value,
/// which lies above the root, falls to it without overshoot.
fn schiller_naumann_reynolds(drag: f64) -> f64 {
    roots::newton(drag / 24.0, (0.0, f64::INFINITY), 0.0, |re| {
        (
            24.0 * re + 3.6 * re.powf(1.687) - drag,
            24.0 + 3.6 * 1.687 * re.powf(0.687),
        )
    })
}

/// Surface of the stones per volume of bed, m²/m³: `6·(1−n)/(φ·d)`.
///
/// ```
/// // Stone of 19 mm with 40 % voids: 189 m²/m³ (computed).
/// let stone = bywash::formulas::bed::Stone { size: 0.019, sphericity: 1.0, porosity: 0.4 };
/// assert!((bywash::formulas::bed::specific_area(&stone) - 189.0).abs() < 1.0);
/// ```
pub fn specific_area(stone: &Stone) -> f64 {
    6.0 * (1.0 - stone.porosity) / (stone.sphericity * stone.size)
}

/// Porosity `1 − ρ_bulk/ρ_s` of loose stone from its bulk density and the density of the stone itself, kg/m³.
///
/// ```
/// // Stone of 2,700 lb/yd³ at a specific gravity of 2.65: 39.6 % (CalRecycle densities, computed).
/// let bulk = 2700.0 * 0.45359237 / 0.764554858;
/// assert!((bywash::formulas::bed::porosity(bulk, 2650.0) - 0.396).abs() < 1e-3);
/// ```
pub fn porosity(bulk_density: f64, stone_density: f64) -> f64 {
    1.0 - bulk_density / stone_density
}

/// Sizes of a stone or soil below which 15, 50 and 85 % of its weight lie, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grading {
    /// D15, m.
    pub d15: f64,
    /// D50, m.
    pub d50: f64,
    /// D85, m.
    pub d85: f64,
}

/// How a coarser layer suits a finer one beside it: granular filter criteria of an FHWA river-engineering manual
/// (equations 6.24 to 6.26).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilterRatios {
    /// D15 of the coarser over D85 of the finer: above [`Self::MOST_BRIDGING`] the finer rains through.
    pub bridging: f64,
    /// D50 of the coarser over D50 of the finer, below [`Self::MOST_MIDDLE`].
    pub middle: f64,
    /// D15 of the coarser over D15 of the finer, between [`Self::LEAST_DRAINING`] (lets the water out) and
    /// [`Self::MOST_DRAINING`].
    pub draining: f64,
}

impl FilterRatios {
    /// Bound on `bridging`.
    pub const MOST_BRIDGING: f64 = 5.0;
    /// Bound on `middle`.
    pub const MOST_MIDDLE: f64 = 40.0;
    /// Lower bound on `draining`.
    pub const LEAST_DRAINING: f64 = 5.0;
    /// Upper bound on `draining`.
    pub const MOST_DRAINING: f64 = 40.0;

    /// The ratios of a coarser layer to a finer one.
    ///
    /// ```
    /// use bywash::formulas::bed::{FilterRatios, Grading};
    /// // An FHWA example: soil D85/D50/D15 1.5/0.75/0.38 mm under stone of 24/– /6 and 12 mm: ratios 4, 16 and 16 pass.
    /// let base = Grading { d15: 0.38e-3, d50: 0.75e-3, d85: 1.5e-3 };
    /// let stone = Grading { d15: 6e-3, d50: 12e-3, d85: 24e-3 };
    /// let ratios = FilterRatios::of(&stone, &base);
    /// assert!((ratios.bridging - 4.0).abs() < 1e-9 && (ratios.middle - 16.0).abs() < 1e-9);
    /// ```
    pub fn of(coarser: &Grading, finer: &Grading) -> Self {
        Self {
            bridging: coarser.d15 / finer.d85,
            middle: coarser.d50 / finer.d50,
            draining: coarser.d15 / finer.d15,
        }
    }

    /// Whether all three lie within their bounds.
    ///
    /// ```
    /// use bywash::formulas::bed::{FilterRatios, Grading};
    /// // An FHWA example: soil D85/D50/D15 1.5/0.75/0.38 mm under stone of 24/– /6 and 12 mm: ratios 4, 16 and 16 pass.
    /// let base = Grading { d15: 0.38e-3, d50: 0.75e-3, d85: 1.5e-3 };
    /// let stone = Grading { d15: 6e-3, d50: 12e-3, d85: 24e-3 };
    /// let ratios = FilterRatios::of(&stone, &base);
    /// assert!(ratios.hold());
    /// ```
    pub fn hold(&self) -> bool {
        self.bridging < Self::MOST_BRIDGING
            && self.middle < Self::MOST_MIDDLE
            && self.draining > Self::LEAST_DRAINING
            && self.draining < Self::MOST_DRAINING
    }
}

/// Empty-bed contact time, s: volume of the bed, stone included (m³), over flow (m³/s).
///
/// ```
/// // 1 m³ at 1 L/s: 1000 s.
/// assert_eq!(bywash::formulas::bed::empty_bed_contact_time(1.0, 1e-3), 1000.0);
/// ```
pub fn empty_bed_contact_time(bed_volume: f64, flow: f64) -> f64 {
    bed_volume / flow
}

/// Contact time in the voids, s: water held among the stones (m³) over flow (m³/s).
///
/// ```
/// assert_eq!(bywash::formulas::bed::void_contact_time(1.0, 0.4, 1e-3), 400.0);
/// ```
pub fn void_contact_time(bed_volume: f64, porosity: f64, flow: f64) -> f64 {
    bed_volume * porosity / flow
}

/// Upflow rate over the open surface, m/s: flow (m³/s) over open area (m²).
///
/// ```
/// // A pond 0.914 m deep turned over in an hour through a bed of a fifth of its area: 4.57 m/h.
/// assert!((bywash::formulas::bed::upflow_rate(0.914 / 3600.0, 0.2) * 3600.0 - 4.57).abs() < 5e-3);
/// ```
pub fn upflow_rate(flow: f64, open_area: f64) -> f64 {
    flow / open_area
}

#[cfg(test)]
mod tests {
    use super::*;

    const WATER: Water = Water {
        density: 1000.0,
        viscosity: 1e-3,
    };

    #[test]
    fn floating_grains_neither_settle_nor_fluidise() {
        assert_eq!(settling_velocity(1e-3, 900.0, &WATER), 0.0);
        assert_eq!(minimum_fluidising_velocity(1e-3, 900.0, &WATER), 0.0);
    }

    #[test]
    fn fine_grains_settle_by_stokes() {
        let d = 2e-6;
        let stokes = G * d * d * 1650.0 / (18.0 * 1e-3);
        let got = settling_velocity(d, 2650.0, &WATER);
        assert!((got - stokes).abs() < 1e-3 * stokes);
    }

    #[test]
    fn ergun_is_odd_in_velocity() {
        let stone = Stone {
            size: 0.02,
            sphericity: 1.0,
            porosity: 0.4,
        };
        assert_eq!(
            ergun_gradient(-0.01, &stone, &WATER),
            -ergun_gradient(0.01, &stone, &WATER)
        );
        assert_eq!(ergun_gradient(0.0, &stone, &WATER), 0.0);
    }
}
