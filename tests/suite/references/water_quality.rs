//! Oxygen and ammonia against independent values.

use bywash::formulas::{
    water::atmospheric_pressure,
    water_quality::{
        ammonia_made, nitrifying_alkalinity, nitrifying_oxygen, oxygen_saturation, un_ionised_share,
    },
};

use super::table::{close, rows};

/// Benson & Krause (1984), as in APHA 4500-O and USGS.
#[test]
fn reference_oxygen_saturation() {
    for row in rows("water_quality/11a_do_saturation.csv") {
        let t = row.num("T_C") + 273.15;
        let given = oxygen_saturation(t, row.num("P_used_Pa"));
        close(given, row.num("DO_sat_mg_L"), 1e-5, "at a pressure");
        close(
            oxygen_saturation(t, 101_325.0),
            row.num("DO_1atm_mg_L"),
            1e-5,
            "at one atmosphere",
        );
        let pressure = atmospheric_pressure(row.num("altitude_m"));
        close(
            oxygen_saturation(t, pressure),
            row.num("DO_sat_mg_L"),
            1e-4,
            "at an altitude",
        );
    }
}

/// Printed table, agrees with Benson & Krause (1984) within 0.02 mg/L: at sea level, and at 5,000 ft.
#[test]
fn reference_oxygen_table() {
    let at =
        |celsius: f64, feet: f64| oxygen_saturation(celsius + 273.15, atmospheric_pressure(feet * 0.3048));
    for (celsius, feet, printed) in [
        (0.0, 0.0, 14.62),
        (10.0, 0.0, 11.29),
        (20.0, 0.0, 9.09),
        (25.0, 0.0, 8.26),
        (30.0, 0.0, 7.56),
        (20.0, 5000.0, 7.53),
        (25.0, 5000.0, 6.83),
        (30.0, 5000.0, 6.23),
    ] {
        assert!(
            (at(celsius, feet) - printed).abs() < 0.02,
            "{celsius} °C, {feet} ft: {}",
            at(celsius, feet)
        );
    }
}

/// Emerson et al. (1975), with 273.15 K.
#[test]
fn reference_un_ionised_ammonia() {
    for row in rows("water_quality/11b_unionized_ammonia.csv") {
        let share = un_ionised_share(row.num("T_C") + 273.15, row.num("pH"));
        close(share, row.num("fraction_nh3"), 1e-6, "share");
        close(
            share * row.num("TAN_mg_L"),
            row.num("nh3_n_mg_L"),
            1e-6,
            "ammonia",
        );
    }
}

/// UF/IFAS FA16 prints 0.0502 at pH 8.0 and 24 °C; per cent at 20 °C by pH, computed from the same equation.
#[test]
fn reference_un_ionised_table() {
    close(un_ionised_share(297.15, 8.0), 0.0502, 1e-3, "share at 24 °C");
    for (ph, percent) in [
        (7.0, 0.394),
        (7.5, 1.236),
        (8.0, 3.807),
        (8.5, 11.12),
        (9.0, 28.36),
    ] {
        close(
            100.0 * un_ionised_share(293.15, ph),
            percent,
            2e-3,
            "per cent at 20 °C",
        );
    }
}

/// Computed; factors from memory (0.092, 4.57, 7.14): 20 kg of fish, 1 % a day of feed of 40 % protein.
#[test]
fn reference_feed_to_ammonia() {
    let made = ammonia_made(20.0 * 0.01, 0.40) * 1000.0;
    close(made, 7.36, 1e-3, "ammonia nitrogen, g/d");
    close(nitrifying_oxygen(made), 33.6, 2e-3, "oxygen, g/d");
    close(nitrifying_alkalinity(made), 52.6, 2e-3, "alkalinity, g/d");
}
