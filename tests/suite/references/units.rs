//! Unit conversions against two independent tables.

use bywash::quantity::{Kind, Quantity, Unit};

use super::table::{close, rows};

/// The name a quantity of the reference's unit is written with here.
fn written(reference_unit: &str) -> (Kind, &'static str) {
    match reference_unit {
        "gallon/minute" => (Kind::Flow, "gpm"),
        "gallon/hour" => (Kind::Flow, "gph"),
        "liter/second" => (Kind::Flow, "L/s"),
        "liter/hour" => (Kind::Flow, "L/h"),
        "imperial_gallon/minute" => (Kind::Flow, "imp gpm"),
        "foot" => (Kind::Length, "ft"),
        "inch" => (Kind::Length, "in"),
        "psi" => (Kind::Pressure, "psi"),
        "foot_H2O" => (Kind::Pressure, "ft of water"),
        "bar" => (Kind::Pressure, "bar"),
        "gallon" => (Kind::Volume, "gal"),
        "cubic_yard" => (Kind::Volume, "yd3"),
        "short_ton" => (Kind::Mass, "ton"),
        "pound" => (Kind::Mass, "lb"),
        "horsepower" => (Kind::Power, "hp"),
        "degree_Fahrenheit" => (Kind::Temperature, "°F"),
        other => panic!("no unit for {other}"),
    }
}

/// Source: Pint 0.25.3, default registry. Departure: its foot of water is that of 39.2 °F, ours the
/// conventional 1000 kg/m³, hence 1e-3 there.
#[test]
fn reference_pint_conversions() {
    for row in rows("units/conversions.csv") {
        let (kind, unit) = written(row.text("unit_from"));
        let text = format!("{} {unit}", row.text("value_from"));
        let si = Quantity::parse(&text, kind).unwrap().si;
        let got = match row.text("unit_to") {
            "degree_Celsius" => Unit::find(Kind::Temperature, "°C").unwrap().from_si(si),
            "m^3/s" | "m" | "Pa" | "m^3" | "kg" | "W" => si,
            other => panic!("{other} is not expected"),
        };
        let tolerance = if unit == "ft of water" { 1e-3 } else { 1e-10 };
        close(got, row.num("value_to"), tolerance, &text);
    }
}

/// Source: uom 0.38.0. Its customary factors are rounded to seven digits, or made of such, so that they may be
/// up to 5e-7 off; those that are exact agree to the last bits.
/// Departure: its acre is that of the survey foot, 4e-6 larger.
#[test]
fn reference_uom_factors() {
    macro_rules! agree {
        ($($kind:ident $quantity:ident { $($symbol:literal $module:ident::$unit:ident $tolerance:literal),* $(,)? })*) => {
            $($(
                let unit = Unit::find(Kind::$kind, $symbol).unwrap();
                let want = uom::si::f64::$quantity::new::<uom::si::$module::$unit>(3.0).value;
                close(unit.to_si(3.0), want, $tolerance, $symbol);
            )*)*
        };
    }
    agree! {
        Length Length {
            "in" length::inch 1e-15, "ft" length::foot 1e-15, "yd" length::yard 1e-15, "mi" length::mile 1e-15,
            "mil" length::mil 1e-15, "mm" length::millimeter 1e-15, "µm" length::micrometer 1e-15,
        }
        Area Area {
            "ft2" area::square_foot 1e-15, "in2" area::square_inch 1e-15, "yd2" area::square_yard 1e-15,
            "ha" area::hectare 1e-15, "acre" area::acre 5e-6,
        }
        Volume Volume {
            "gal" volume::gallon 1e-7, "ft3" volume::cubic_foot 2e-7, "yd3" volume::cubic_yard 1e-7,
            "in3" volume::cubic_inch 5e-7, "imp gal" volume::gallon_imperial 1e-15, "L" volume::liter 1e-15,
            "fl oz" volume::fluid_ounce 1e-7, "mL" volume::milliliter 1e-15,
            "ML" volume::megaliter 1e-15,
        }
        Flow VolumeRate {
            "gpm" volume_rate::gallon_per_minute 1e-7, "gpd" volume_rate::gallon_per_day 1e-7,
            "cfs" volume_rate::cubic_foot_per_second 2e-7, "cfm" volume_rate::cubic_foot_per_minute 2e-7,
            "m3/h" volume_rate::cubic_meter_per_hour 1e-15, "L/s" volume_rate::liter_per_second 1e-15,
            "L/min" volume_rate::liter_per_minute 1e-15,
        }
        Velocity Velocity {
            "ft/s" velocity::foot_per_second 1e-15, "in/s" velocity::inch_per_second 1e-15,
            "ft/min" velocity::foot_per_minute 1e-15, "mph" velocity::mile_per_hour 1e-15,
            "mm/s" velocity::millimeter_per_second 1e-15,
        }
        Mass Mass {
            "lb" mass::pound 1e-7, "oz" mass::ounce 2e-7, "ton" mass::ton_short 1e-7, "t" mass::ton 1e-15,
        }
        MassRate MassRate {
            "lb/d" mass_rate::pound_per_day 1e-7, "lb/h" mass_rate::pound_per_hour 1e-7,
            "g/d" mass_rate::gram_per_day 1e-15, "g/h" mass_rate::gram_per_hour 1e-15,
        }
        MassPerArea ArealMassDensity {
            "oz/ft2" areal_mass_density::ounce_per_square_foot 2e-7,
            "g/m2" areal_mass_density::gram_per_square_meter 1e-15,
        }
        Density MassDensity {
            "lb/ft3" mass_density::pound_per_cubic_foot 1e-7, "lb/yd3" mass_density::pound_per_cubic_yard 1e-7,
            "ton/yd3" mass_density::ton_short_per_cubic_yard 1e-7, "t/m3" mass_density::ton_per_cubic_meter 1e-15,
        }
        Concentration MassDensity { "gr/gal" mass_density::grain_per_gallon 1e-7 }
        Pressure Pressure {
            "psi" pressure::pound_force_per_square_inch 1e-7, "psf" pressure::pound_force_per_square_foot 1e-7,
            "bar" pressure::bar 1e-15, "mbar" pressure::millibar 1e-15, "ft of water" pressure::foot_of_water 1e-7,
            "in of water" pressure::inch_of_water 1e-7, "kPa" pressure::kilopascal 1e-15,
        }
        Temperature ThermodynamicTemperature {
            "°F" thermodynamic_temperature::degree_fahrenheit 1e-15,
            "°C" thermodynamic_temperature::degree_celsius 1e-15,
        }
        TemperatureStep TemperatureInterval {
            "°F" temperature_interval::degree_fahrenheit 1e-15,
            "°C" temperature_interval::degree_celsius 1e-15,
        }
        Time Time {
            "min" time::minute 1e-15, "h" time::hour 1e-15, "day" time::day 1e-15,
        }
        Power Power { "hp" power::horsepower 1e-7, "kW" power::kilowatt 1e-15 }
        Energy Energy { "kWh" energy::kilowatt_hour 1e-15, "Wh" energy::watt_hour 1e-15 }
        Angle Angle { "deg" angle::degree 1e-15 }
        PerArea ArealNumberDensity {
            "/ft2" areal_number_density::per_square_foot 1e-15,
            "/yd2" areal_number_density::per_square_yard 1e-15,
        }
    }
}
