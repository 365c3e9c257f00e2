//! Evaporation of open water by the weather.

use super::{
    units::CELSIUS,
    validity::{at_least, not_negative, within},
    water::{TEMPERATURE_RANGE, vapour_pressure},
};

/// Share of an active pool's evaporation that a still surface out of doors has (ASHRAE, as quoted with the example of
/// [`from_weather`]).
pub const STILL_POOL: f64 = 0.74;
/// The same of an unoccupied indoor pool (ASHRAE activity factor, from memory).
pub const STILL_INDOORS: f64 = 0.5;

/// Evaporation of open water, kg/(m²·s), after ASHRAE (Carrier 1918): `w = (p_w − p_a)·(0.089 + 0.0782·V)/Y`.
///
/// Arguments: saturation pressure at the water's temperature `p_w` and vapour pressure of the air `p_a`, Pa; wind over the
/// water `V`, m/s; latent heat `Y`, kJ/kg. None where the air is damper than that: dew is not counted. Range: an active
/// pool; a still one has [`STILL_POOL`] or [`STILL_INDOORS`] of it. Source: ASHRAE Handbook, HVAC Applications.
///
/// ```
/// use bywash::formulas::evaporation::evaporation;
/// // By hand: (3000 − 1500) Pa in still air, 2442 kJ/kg: 1.5·0.089/2442 = 5.467·10⁻⁵.
/// assert!((evaporation(3000.0, 1500.0, 0.0, 2442.0) - 5.467e-5).abs() < 1e-8);
/// ```
pub fn evaporation(water_pressure: f64, air_pressure: f64, wind: f64, latent_heat: f64) -> f64 {
    at_least(water_pressure - air_pressure, 0.0) / 1000.0 * (0.089 + 0.0782 * not_negative(wind))
        / latent_heat
}

/// [`evaporation`] by the weather, kg/(m²·s).
///
/// Arguments: temperature of the water and of the air, K; relative humidity of the air, 0 to 1; wind, m/s. `NaN` outside the
/// range of liquid water.
///
/// ```
/// use bywash::formulas::evaporation::from_weather;
/// // ASHRAE (1998), seen: water 78 °F, air 85 °F, half saturated, 5 mph: 0.447 in a day.
/// let kelvin = |fahrenheit: f64| (fahrenheit - 32.0) / 1.8 + 273.15;
/// let rate = from_weather(kelvin(78.0), kelvin(85.0), 0.5, 5.0 * 0.44704);
/// let inches_a_day = rate / 997.0 * 86_400.0 / 0.0254;
/// assert!((inches_a_day / 0.447 - 1.0).abs() < 0.01, "{inches_a_day}");
/// ```
pub fn from_weather(water: f64, air: f64, humidity: f64, wind: f64) -> f64 {
    let humidity = within(humidity, &(0.0..=1.0));
    evaporation(
        vapour_pressure(water),
        humidity * vapour_pressure(air),
        wind,
        latent_heat(water),
    )
}

/// Latent heat of evaporation, kJ/kg, at a temperature in K: `Y = 2501 − 2.361·t`, t in °C (from memory; within 0.2 % of the
/// steam tables from 0 to 50 °C).
///
/// ```
/// // Steam tables: 2441.7 kJ/kg at 25 °C.
/// assert!((bywash::formulas::evaporation::latent_heat(298.15) - 2441.7).abs() < 1.0);
/// ```
pub fn latent_heat(t: f64) -> f64 {
    2501.0 - 2.361 * (within(t, &TEMPERATURE_RANGE) - CELSIUS)
}
