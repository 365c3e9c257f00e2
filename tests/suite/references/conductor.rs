//! Conductors against published tables.

use bywash::formulas::conductor::Conductor;

use super::table::close;

/// NEC Chapter 9, Table 8 (from memory), stranded uncoated copper at 75 °C, Ω per 1000 ft: 12 AWG 1.98,
/// 10 AWG 1.24, 8 AWG 0.778.
#[test]
fn reference_resistance_of_copper() {
    for (size, ohms) in [("12 AWG copper", 1.98), ("10 AWG", 1.24), ("8 AWG Cu", 0.778)] {
        let conductor = Conductor::parse(size).unwrap();
        close(conductor.resistance(304.8), ohms, 1e-2, size);
    }
}

/// IEC 60228 (from memory), greatest resistance at 20 °C, Ω/km: 1.5 mm² 12.1 stranded and 13.3 flexible, 2.5 mm² 7.41 and
/// 7.98; at 75 °C by copper's 0.393 % a kelvin 1.2162 times as much. Worked: 3G1.5 rubber cord, 25 m, 4 A, 230 V:
/// 2 × 4 A × 13.3 mΩ/m × 1.2162 × 25 m = 3.235 V, 1.41 %.
#[test]
fn reference_resistance_of_metric_cables() {
    for (size, ohms) in [
        ("3G1.5 mm²", 12.1),
        ("H07RN-F 3G1.5", 13.3),
        ("NYM-J 3x2,5", 7.41),
        ("H05RN-F 3G2.5 mm2", 7.98),
    ] {
        let conductor = Conductor::parse(size).unwrap();
        close(conductor.resistance(1000.0), ohms * 1.21615, 1e-4, size);
    }
    let cord = Conductor::parse("H07RN-F 3G1.5 mm²").unwrap();
    close(cord.drop_share(25.0, 4.0, 230.0), 3.235 / 230.0, 1e-3, "cord");
}
