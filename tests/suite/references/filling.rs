//! Mixing, dilution and doses against independent values.

use bywash::formulas::filling::{
    ammonia_of_chloramine, mixed_temperature, staged_dilution, stages_needed, thiosulfate,
};

use super::table::{close, rows};

/// Balance of enthalpies by `CoolProp` 8.0.0: within 0.02 K.
#[test]
fn reference_mixed_temperature() {
    for row in rows("filling/10a_mixing_temperature.csv") {
        let water = |n: u8| (row.num(&format!("m{n}_kg")), row.num(&format!("T{n}_C")) + 273.15);
        let mixed = mixed_temperature(water(1), water(2)) - 273.15;
        let want = row.num("T_enthalpy_C");
        assert!((mixed - want).abs() < 0.02, "{mixed}, not {want}");
    }
}

/// Stages that each take out a share and fill up.
#[test]
fn reference_staged_dilution() {
    for row in rows("filling/10b_staged_dilution.csv") {
        let (start, source, share) = (row.num("C0_mg_L"), row.num("Cs_mg_L"), row.num("x_fraction"));
        let stages = row.num("n_stages");
        let left = staged_dilution(start, source, share, stages as u32);
        close(left, row.num("C_staged_mg_L"), 1e-9, "staged");
        if let (Some(target), Some(needed)) = (row.opt("C_target_mg_L"), row.opt("n_required_exact")) {
            close(
                stages_needed(start, source, share, target),
                needed,
                1e-9,
                "stages",
            );
        }
    }
}

/// AWWA field guide: 1.9 mg of thiosulfate to a mg of chlorine; computed: 2 mg/L in 10 % of 25.5 m³ is 5.1 g of chlorine,
/// 9.7 g and 35.7 g of thiosulfate.
#[test]
fn reference_thiosulfate() {
    let chlorine = 2.0 * 0.10 * 25.5;
    close(chlorine, 5.1, 1e-9, "chlorine, g");
    let (least, most) = thiosulfate(chlorine);
    close(least, 9.7, 5e-3, "least, g");
    close(most, 35.7, 1e-3, "most, g");
}

/// Computed: a tenth of new water 10 °F colder moves the pond by 1.0 °F.
#[test]
fn reference_tenth_of_cold_water() {
    let pond = 298.15;
    let mixed = mixed_temperature((0.1, pond - 10.0 / 1.8), (0.9, pond));
    close((pond - mixed) * 1.8, 1.0, 1e-9, "°F");
}

/// Molar masses of nitrogen and chlorine (IUPAC): a mg of residual as chlorine holds 0.1975 mg of nitrogen.
#[test]
fn reference_nitrogen_of_chloramine() {
    close(ammonia_of_chloramine(1.0), 0.1975, 1e-3, "share");
}
