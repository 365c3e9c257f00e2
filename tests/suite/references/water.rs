//! Properties of water and air against independent libraries.

use bywash::formulas::water::{
    atmospheric_pressure, density, dynamic_viscosity, kinematic_viscosity, vapour_pressure,
};

use super::table::{close, rows};

/// CoolProp 8.0.0 (IAPWS-95, viscosity IAPWS 2008) and iapws 1.5.5 at 101 325 Pa.
#[test]
fn reference_water_properties() {
    for row in rows("water/01_water_properties.csv") {
        let t = row.num("T_C") + 273.15;
        close(density(t), row.num("rho_kg_m3"), 2e-6, "density");
        close(
            dynamic_viscosity(t),
            row.num("mu_Pa_s"),
            5e-3,
            "dynamic viscosity",
        );
        close(
            kinematic_viscosity(t),
            row.num("nu_m2_s"),
            5e-3,
            "kinematic viscosity",
        );
        close(vapour_pressure(t), row.num("p_vap_Pa"), 1e-4, "vapour pressure");
    }
}

/// ISO 2533 standard atmosphere: 5 000 ft is 84.31 kPa, 1 000 m is 89.875 kPa.
#[test]
fn reference_standard_atmosphere() {
    close(atmospheric_pressure(0.0), 101_325.0, 1e-12, "sea level");
    close(atmospheric_pressure(1000.0), 89_874.6, 1e-4, "1000 m");
    close(atmospheric_pressure(1524.0), 84_307.0, 1e-4, "5000 ft");
}
