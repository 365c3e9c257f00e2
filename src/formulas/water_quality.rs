//! Living water: oxygen, ammonia, and what stone turns over.

use super::{
    units::{CELSIUS, DAY},
    validity::{not_negative, within},
    water::TEMPERATURE_RANGE,
};

/// One atmosphere, Pa.
const ATMOSPHERE: f64 = 101_325.0;

/// Oxygen that fresh water holds in balance with air, mg/L = g/m³, at a temperature (K) and barometric pressure (Pa).
///
/// At one atmosphere `ln C* = −139.34411 + 1.575701·10⁵/T − 6.642308·10⁷/T² + 1.243800·10¹⁰/T³ − 8.621949·10¹¹/T⁴`;
/// at a pressure P (atm) `C = C*·(P − u)·(1 − θ·P) / ((1 − u)·(1 − θ))` with the vapour pressure u and θ of the same
/// source. Range: 0 to 40 °C, 0.5 to 1.1 atm. Source: Benson & Krause (1984), as adopted by USGS OWQ Technical
/// Memorandum 2011.03.
///
/// ```
/// use bywash::formulas::water_quality::oxygen_saturation;
/// // Benson & Krause (1984): 9.09 mg/L at 20 °C at sea level.
/// assert!((oxygen_saturation(293.15, 101_325.0) - 9.09).abs() < 5e-3);
/// ```
pub fn oxygen_saturation(t: f64, pressure: f64) -> f64 {
    let t = within(t, &TEMPERATURE_RANGE);
    let at_one = (-139.344_11 + 1.575_701e5 / t - 6.642_308e7 / t.powi(2) + 1.243_800e10 / t.powi(3)
        - 8.621_949e11 / t.powi(4))
    .exp();
    let celsius = t - CELSIUS;
    let vapour = (11.8571 - 3840.70 / t - 216_961.0 / t.powi(2)).exp();
    let theta = 0.000_975 - 1.426e-5 * celsius + 6.436e-8 * celsius * celsius;
    let atm = pressure / ATMOSPHERE;
    at_one * (atm - vapour) * (1.0 - theta * atm) / ((1.0 - vapour) * (1.0 - theta))
}

/// Share of total ammonia that is un-ionised, at a temperature (K) and pH: `1 / (10^(pKa − pH) + 1)`,
/// `pKa = 0.09018 + 2729.92/T`.
///
/// Range: 0 to 30 °C, pH 6 to 10, fresh water. Source: Emerson, Russo, Lund & Thurston (1975), Journal of the
/// Fisheries Research Board of Canada 32.
///
/// ```
/// use bywash::formulas::water_quality::un_ionised_share;
/// // Emerson et al. (1975): 0.0502 at pH 8.0 and 24 °C.
/// assert!((un_ionised_share(297.15, 8.0) - 0.0502).abs() < 1e-4);
/// ```
pub fn un_ionised_share(t: f64, ph: f64) -> f64 {
    let pka = 0.090_18 + 2729.92 / within(t, &TEMPERATURE_RANGE);
    1.0 / (10f64.powf(pka - ph) + 1.0)
}

/// Ammonia nitrogen that fish make of feed, in the unit of the feed: `P = F·PC·0.092`, feed F, share of protein PC.
///
/// Source: Timmons & Ebeling, Recirculating Aquaculture (from memory).
///
/// ```
/// use bywash::formulas::water_quality::ammonia_made;
/// // 0.2 kg of feed of 40 % protein: 7.36 g; of 32 %: 5.89 g (computed).
/// assert!((ammonia_made(200.0, 0.40) - 7.36).abs() < 1e-9);
/// assert!((ammonia_made(200.0, 0.32) - 5.888).abs() < 1e-9);
/// ```
pub fn ammonia_made(feed: f64, protein: f64) -> f64 {
    feed * protein * 0.092
}

/// Oxygen that nitrifying takes, in the unit of the ammonia nitrogen: 4.57 times it (stoichiometry).
///
/// ```
/// // 7.36 g of ammonia nitrogen take 33.6 g (computed).
/// assert!((bywash::formulas::water_quality::nitrifying_oxygen(7.36) - 33.6).abs() < 0.05);
/// ```
pub fn nitrifying_oxygen(ammonia: f64) -> f64 {
    4.57 * ammonia
}

/// Alkalinity as CaCO₃ that nitrifying uses up, in the unit of the ammonia nitrogen: 7.14 times it (stoichiometry).
///
/// ```
/// // 7.36 g of ammonia nitrogen use up 52.6 g as CaCO₃ (computed).
/// assert!((bywash::formulas::water_quality::nitrifying_alkalinity(7.36) - 52.6).abs() < 0.06);
/// ```
pub fn nitrifying_alkalinity(ammonia: f64) -> f64 {
    7.14 * ammonia
}

/// Oxygen that all of a pond takes for a feed, in the unit of the feed: 1.25 times it, fish, nitrifying and decay
/// together.
///
/// Source: Boyd, oxygen demand of feed (Global Seafood Alliance Advocate).
///
/// ```
/// // Boyd: 1.25 kg for each kg of feed.
/// assert_eq!(bywash::formulas::water_quality::oxygen_for_feed(2.0), 2.5);
/// ```
pub fn oxygen_for_feed(feed: f64) -> f64 {
    1.25 * feed
}

/// Rate at which stone takes up ammonia nitrogen at 20 °C, kg/(m²·s): 0.15 g a day on each square metre, our default
/// for ponds of under 1 mg/L, where the rate goes with the ammonia (Malone & Pfeiffer 2006); it may be
/// half or twice as much.
pub const NITRIFYING_RATE: f64 = 0.15e-3 / DAY;

/// Ammonia nitrogen that stone of an area (m²) can turn over at a temperature (K), kg/s: the rate changes by 7 % a
/// degree (common practice). Range: 4 to 30 °C.
///
/// ```
/// use bywash::formulas::water_quality::nitrifying_capacity;
/// // By hand: 100 m² at 20 °C turn over 15 g a day; 7 % more one degree warmer.
/// assert!((nitrifying_capacity(100.0, 293.15) * 86_400.0 - 0.015).abs() < 1e-12);
/// assert!((nitrifying_capacity(100.0, 294.15) / nitrifying_capacity(100.0, 293.15) - 1.07).abs() < 1e-12);
/// ```
pub fn nitrifying_capacity(area: f64, t: f64) -> f64 {
    NITRIFYING_RATE * not_negative(area) * 1.07f64.powf(within(t, &TEMPERATURE_RANGE) - 293.15)
}

/// How far a fall brings water toward saturation: oxygen deficit above over deficit below,
/// `r = 1 + 0.38·a·b·h·(1 − 0.11·h)·(1 + 0.046·t)`, fall h (m), temperature (K; t in °C).
///
/// Clean water a = 1.6 and a free fall over a straight lip b = 0.6 (from memory). Range: falls to 4 m. Source: Butts &
/// Evans (1983) as in the SWAT+ documentation.
///
/// ```
/// // By hand, 1 m at 20 °C: 1 + 0.38·1.6·0.6·0.89·1.92 = 1.6234.
/// assert!((bywash::formulas::water_quality::deficit_ratio(1.0, 293.15) - 1.6234).abs() < 1e-4);
/// ```
pub fn deficit_ratio(fall: f64, t: f64) -> f64 {
    const WATER: f64 = 1.6;
    const LIP: f64 = 0.6;
    let height = fall.clamp(0.0, 4.0);
    1.0 + 0.38
        * WATER
        * LIP
        * height
        * (1.0 - 0.11 * height)
        * (1.0 + 0.046 * (within(t, &TEMPERATURE_RANGE) - CELSIUS))
}

/// Oxygen that diffused air gives to water, kg/s: flow of free air (m³/s), depth of the diffusers (m), oxygen of the
/// water and its saturation (kg/m³).
///
/// Free air holds 0.278 kg of oxygen a m³ (1.2 kg/m³, 23.2 % by mass); stones of medium bubbles pass 3 % of it for each
/// metre of depth into water without oxygen at 20 °C, and less in the measure that the deficit is less than the 9.09 mg/L
/// of saturation there. Common practice, no source; tests of diffusers give from 2 to 6 % a metre.
///
/// ```
/// use bywash::formulas::water_quality::diffused_oxygen;
/// // By hand: 60 L/min at 1 m, water of 5 mg/L, saturation 8 mg/L: 0.001 · 0.278 · 0.03 · 3/9.09 = 2.75e-6 kg/s.
/// assert!((diffused_oxygen(1e-3, 1.0, 5e-3, 8e-3) / 2.752e-6 - 1.0).abs() < 1e-3);
/// assert_eq!(diffused_oxygen(1e-3, 1.0, 8e-3, 8e-3), 0.0);
/// ```
pub fn diffused_oxygen(air: f64, depth: f64, oxygen: f64, saturation: f64) -> f64 {
    // Not `max`, which takes NaN for zero.
    let deficit = (saturation - oxygen).clamp(0.0, f64::INFINITY);
    0.278 * not_negative(air) * 0.03 * not_negative(depth) * (deficit / 9.09e-3)
}

/// Oxygen taken up through a still surface for each metre a day of deficit: 0.3 m/d (common practice), m/s.
pub const SURFACE_UPTAKE: f64 = 0.3 / DAY;
