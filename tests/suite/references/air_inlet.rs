//! Air into a siphon against a closed form.

use bywash::formulas::air_inlet::{AIR_DENSITY, air_flow, least_bore};

use super::table::close;

/// Torricelli for air: `v = √(2·ρ_w·g·h/ρ_a)`, contracted to 0.6 of the hole (by hand): 10 mm under 100 mm of water passes 1.903 L/s;
/// and the standard atmosphere's density of air, 101 325 Pa/(287.05 J/(kg·K)·293.15 K).
#[test]
fn reference_air_through_a_hole() {
    close(AIR_DENSITY, 101_325.0 / (287.05 * 293.15), 4e-3, "density of air");
    close(air_flow(0.010, 0.1, 998.2), 1.9034e-3, 2e-3, "air");
    close(least_bore(1.9034e-3, 0.1, 998.2), 0.010, 1e-3, "bore");
}
