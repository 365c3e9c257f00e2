//! The size of stone that flowing water leaves where it lies.

use std::ops::RangeInclusive;

use super::{
    units::FOOT,
    validity::{not_negative, positive},
    water::STANDARD_GRAVITY,
};

/// Isbash's coefficient for loose stone on the surface, which the water strikes fully.
pub const ISBASH_LOOSE: f64 = 0.86;
/// Isbash's coefficient for stone set among others.
pub const ISBASH_SET: f64 = 1.20;
/// Slopes that [`hec_15_size`] is meant for, drop over length (from memory); steeper beds need a stability factor.
pub const HEC_15_SLOPES: RangeInclusive<f64> = 0.0..=0.10;

/// Slopes of bed that [`chute_size`] was measured at, drop over length.
pub const CHUTE_SLOPES: RangeInclusive<f64> = 0.02..=0.40;

/// Least stone, m, by Isbash (1936): `D = V² / (2·g·(S − 1)·C²)`; velocity in m/s, specific gravity S, coefficient C
/// of [`ISBASH_LOOSE`] to [`ISBASH_SET`].
///
/// ```
/// use bywash::formulas::riprap::{ISBASH_LOOSE, isbash_size};
/// // 4 ft/s, specific gravity 2.65, loose stone: 2.45 in (computed).
/// let size = isbash_size(4.0 * 0.3048, 2.65, ISBASH_LOOSE);
/// assert!((size / 0.0254 - 2.45).abs() < 5e-3);
/// ```
pub fn isbash_size(velocity: f64, specific_gravity: f64, coefficient: f64) -> f64 {
    velocity * velocity
        / (2.0 * STANDARD_GRAVITY * positive(specific_gravity - 1.0) * coefficient * coefficient)
}

/// Least middle size of stone, m, by shear as in HEC-15 (FHWA): `D50 = SF·d·S / (F*·(SG − 1))`; depth in m, slope
/// within [`HEC_15_SLOPES`] (none outside), Shields' parameter F*, safety factor SF.
///
/// ```
/// use bywash::formulas::riprap::hec_15_size;
/// // 0.25 ft at 5 %, F* 0.047, specific gravity 2.65: 1.93 in (computed).
/// let size = hec_15_size(0.25 * 0.3048, 0.05, 0.047, 1.0, 2.65).unwrap();
/// assert!((size / 0.0254 - 1.93).abs() < 5e-3);
/// ```
pub fn hec_15_size(depth: f64, slope: f64, shields: f64, safety: f64, specific_gravity: f64) -> Option<f64> {
    HEC_15_SLOPES.contains(&slope).then(|| {
        safety * not_negative(depth) * slope / (positive(shields) * positive(specific_gravity - 1.0))
    })
}

/// Middle size of bank stone, m, by HEC-11 (FHWA): `D50 = 0.001·V³ / (d^0.5·K^1.5)` in feet; velocity in m/s, depth in
/// m, bank factor K. For uniform or gently varied flow over stone of specific gravity 2.65 (from memory).
///
/// ```
/// // FHWA example: 1.87 m/s, 0.1219 m, K 0.8944: 0.1315 m.
/// assert!((bywash::formulas::riprap::hec_11_size(1.87, 0.1219, 0.8944) - 0.1315).abs() < 5e-4);
/// ```
pub fn hec_11_size(velocity: f64, depth: f64, bank_factor: f64) -> f64 {
    0.001 * FOOT.powf(-1.5) * velocity.powi(3) / (depth.sqrt() * bank_factor.powf(1.5))
}

/// Least middle size, m, of loose angular stone on the bed of a steep chute, by Robinson, Rice and Kadavy, Design of Rock
/// Chutes, Transactions of the ASAE 41(3), 1998 (secondary copy): `q = 9.76·10⁻⁷·D50^1.89·S^−1.5` below a slope of 10 %,
/// `q = 8.07·10⁻⁶·D50^1.89·S^−0.58` from there on, D50 in mm; q is the highest stable flow per width, m²/s. None outside [`CHUTE_SLOPES`]. Measured with stone of 15 to 278 mm.
///
/// ```
/// use bywash::formulas::riprap::chute_size;
/// // A worked sheet after the paper: 0.93 m²/s on a slope of 40 %: 360 mm.
/// assert!((chute_size(0.93, 0.40).unwrap() - 0.360).abs() < 1e-3);
/// // US form, D50 = (q·S^1.5/4.75·10⁻³)^(1/1.89) in inches: 2 cfs/ft on 5 %: 2.27 in.
/// assert!((chute_size(2.0 * 0.09290304, 0.05).unwrap() / 0.0254 - 2.27).abs() < 0.02);
/// ```
pub fn chute_size(flow_per_width: f64, slope: f64) -> Option<f64> {
    CHUTE_SLOPES.contains(&slope).then(|| {
        let flow = not_negative(flow_per_width);
        let flat = flow * slope.powf(1.5) / 9.76e-7;
        let steep = flow * slope.powf(0.58) / 8.07e-6;
        1e-3 * if slope < 0.10 { flat } else { steep }.powf(1.0 / 1.89)
    })
}

#[cfg(test)]
mod tests {
    use super::hec_15_size;

    #[test]
    fn shear_sizes_no_stone_on_steep_beds() {
        assert_eq!(hec_15_size(0.1, 0.2, 0.047, 1.0, 2.65), None);
    }
}
