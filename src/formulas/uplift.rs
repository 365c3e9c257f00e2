//! Uplift: groundwater that would lift a lined basin from below.
//!
//! One definition throughout: the full weight of what stands inside the lining (slab, stone, water) over the full
//! uplift on it. The factors that are asked belong to this definition; others divide other things and ask for other
//! numbers.

use super::validity::{at_least, at_most};

/// What holds a basin down, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ballast {
    /// A slab of concrete.
    pub slab: f64,
    /// Stone, dry, without its voids.
    pub stone: f64,
    /// Water, in open space and in voids.
    pub water: f64,
    /// Soil on a ledge outside, submerged; the uplift is then taken less the water above the ledge.
    pub soil: f64,
}

impl Ballast {
    /// All of it, kg.
    ///
    /// ```
    /// use bywash::formulas::uplift::Ballast;
    /// assert_eq!(Ballast { slab: 100.0, stone: 50.0, ..Ballast::default() }.total(), 150.0);
    /// ```
    pub fn total(&self) -> f64 {
        self.slab + self.stone + self.water + self.soil
    }

    /// Factor of safety against uplift, `FS = (W_slab + W_stone + W_water + W_soil) / U`.
    ///
    /// `uplift`: [`uplift`] or the mass of water displaced, kg; more than zero. Vertical walls, or the water displaced
    /// by whatever shape; no friction, no anchors: on the safe side.
    /// Source: the form of USACE EM 1110-2-2100, eq. 3-2, with what loads the ground and uplift both taken whole.
    ///
    /// ```
    /// use bywash::formulas::uplift::Ballast;
    /// // A basin held by 4500 lb against 3775 lb of uplift: 1.19 (computed).
    /// let held = Ballast { slab: 4500.0, ..Ballast::default() };
    /// assert!((held.factor(3775.0) - 1.19).abs() < 5e-3);
    /// ```
    pub fn factor(&self, uplift: f64) -> f64 {
        self.total() / uplift
    }

    /// Mass that is still needed for a factor, kg; zero where it is reached.
    ///
    /// ```
    /// use bywash::formulas::uplift::Ballast;
    /// let held = Ballast { slab: 4500.0, ..Ballast::default() };
    /// assert_eq!(held.wanting(4000.0, 1.25), 500.0);
    /// ```
    pub fn wanting(&self, uplift: f64, factor: f64) -> f64 {
        at_least(factor * uplift - self.total(), 0.0)
    }
}

/// Uplift on a floor as a mass, `U/g = ρ·h·A`, kg: density of water ρ (kg/m³), head of groundwater above the
/// underside h (m), area A (m²).
///
/// ```
/// // FEMA P-259: a tank of 250 gal takes 33.5 ft³ of water's place, 2090 lb.
/// let litres = 250.0 * 3.785411784;
/// let lift = bywash::formulas::uplift::uplift(1000.0, litres / 1000.0, 1.0);
/// assert!((lift / 0.45359237 - 2090.0).abs() < 5.0);
/// ```
pub fn uplift(density: f64, head: f64, area: f64) -> f64 {
    density * head * area
}

/// Volume of a concrete shell, and of the water that it and what it holds displace up to a level.
///
/// Both are taken over the inside: each plan section of area A (m²) is surrounded by a wall whose plan area is that of the
/// band of thickness t (m) round it, `A_wall = P·t + π·t²` (the offset of a convex outline), with the perimeter
/// `P = k·2·√(π·A)`: k is 1 for a circle, and the share by which an outline is longer than the circle of its area.
/// The floor of thickness t_f (m) lies under inside and wall alike.
#[derive(Clone, Copy, Debug)]
pub struct Shell {
    /// Thickness of the wall, m.
    pub wall: f64,
    /// Thickness of the floor, m.
    pub floor: f64,
    /// Perimeter of the outline over that of the circle of its area.
    pub outline: f64,
}

impl Shell {
    /// Slices that the wall is summed over; even, for Simpson's rule.
    const SLICES: u32 = 64;

    /// Volume of the wall from the level `low` up to `high`, m³; `area` is the inside area at a level.
    ///
    /// ```
    /// use std::f64::consts::PI;
    /// use bywash::formulas::uplift::Shell;
    /// // A ring 3 m wide inside, 0.2 m thick and 2 m high: π·(1.7² − 1.5²)·2.
    /// let shell = Shell { wall: 0.2, floor: 0.2, outline: 1.0 };
    /// let ring = shell.walls(|_| PI * 1.5 * 1.5, -2.0, 0.0);
    /// assert!((ring - PI * (1.7 * 1.7 - 1.5 * 1.5) * 2.0).abs() < 1e-9);
    /// ```
    pub fn walls(&self, area: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
        let step = at_least(high - low, 0.0) / f64::from(Self::SLICES);
        let sum: f64 = (0..=Self::SLICES)
            .map(|index| {
                let weight = match index {
                    0 | Self::SLICES => 1.0,
                    odd if odd % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                weight * self.band(area(low + step * f64::from(index)))
            })
            .sum();
        sum * step / 3.0
    }

    /// Volume of the floor under an inside area, m³.
    ///
    /// ```
    /// use std::f64::consts::PI;
    /// use bywash::formulas::uplift::Shell;
    /// // Under a ring 3 m wide inside and 0.2 m thick: a disc 3.4 m wide, 0.2 m thick.
    /// let shell = Shell { wall: 0.2, floor: 0.2, outline: 1.0 };
    /// assert!((shell.slab(PI * 1.5 * 1.5) - PI * 1.7 * 1.7 * 0.2).abs() < 1e-9);
    /// ```
    pub fn slab(&self, area: f64) -> f64 {
        (area + self.band(area)) * self.floor
    }

    /// Plan area of the wall round an inside area, m².
    fn band(&self, area: f64) -> f64 {
        use std::f64::consts::PI;
        let perimeter = self.outline * 2.0 * (PI * at_least(area, 0.0)).sqrt();
        perimeter * self.wall + PI * self.wall * self.wall
    }
}

/// Dry mass of stone, `m = A·d·(1 − n)·ρ_s`, kg: area A (m²), depth d (m), porosity n, density of the stone ρ_s
/// (kg/m³).
///
/// ```
/// // 1 m³ of stone with 40 % voids: 0.6·2650 kg.
/// assert_eq!(bywash::formulas::uplift::stone_mass(2.0, 0.5, 0.4, 2650.0), 1590.0);
/// ```
pub fn stone_mass(area: f64, depth: f64, porosity: f64, density: f64) -> f64 {
    area * depth * (1.0 - porosity) * density
}

/// Mass of water that stands to a depth in a basin with stone on its floor, `m = ρ·A·(n·min(d, d_s) + max(d − d_s, 0))`,
/// kg: density ρ (kg/m³), area A (m²), depth of the water d (m), depth of the stone d_s (m), its porosity n.
///
/// ```
/// // 0.5 m among stone of 40 % voids and 0.3 m above it.
/// let mass = bywash::formulas::uplift::water_mass(1000.0, 2.0, 0.8, 0.5, 0.4);
/// assert!((mass - 1000.0).abs() < 1e-9);
/// ```
pub fn water_mass(density: f64, area: f64, depth: f64, stone_depth: f64, porosity: f64) -> f64 {
    density
        * area
        * (porosity * at_most(depth, at_least(stone_depth, 0.0)) + at_least(depth - stone_depth, 0.0))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::Shell;

    /// A cylinder 3 m wide and 2 m deep inside, 0.2 m thick all round: outside less inside.
    #[test]
    fn a_round_shell_is_its_outside_less_its_inside() {
        let shell = Shell {
            wall: 0.2,
            floor: 0.2,
            outline: 1.0,
        };
        let inside = PI * 1.5 * 1.5;
        let volume = shell.walls(|_| inside, -2.0, 0.0) + shell.slab(inside);
        let exact = PI * 1.7 * 1.7 * 2.2 - inside * 2.0;
        assert!((volume - exact).abs() < 1e-9, "{volume}, not {exact}");
    }
}
