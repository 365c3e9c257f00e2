//! Evaporation against a published worked example.

use bywash::formulas::evaporation::from_weather;

use super::table::close;

/// ASHRAE 1998 (seen): water 78 °F, air 85 °F at 50 %, wind 5 mph: 0.447 in a day.
#[test]
fn reference_evaporation_of_a_pool() {
    let kelvin = |fahrenheit: f64| (fahrenheit - 32.0) / 1.8 + 273.15;
    let rate = from_weather(kelvin(78.0), kelvin(85.0), 0.5, 5.0 * 0.447_04);
    close(rate / 997.0 * 86_400.0 / 0.0254, 0.447, 0.01, "inches a day");
}
