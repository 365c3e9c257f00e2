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
