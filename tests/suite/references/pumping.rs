//! Suction and surge against published forms.

use bywash::formulas::{
    pump::least_submergence,
    water_hammer::{joukowsky, wave_speed},
};

use super::table::close;

const INCH: f64 = 0.0254;
/// US gallon per minute, m³/s.
const GPM: f64 = 231.0 * INCH * INCH * INCH / 60.0;

/// `S = D·(1 + 2.3·F_D)`, Hydraulic Institute 9.8 (read in a copy), computed by hand: 100 gpm into a mouth of 4 and 6 in
/// asks 11.2 and 9.9 in of water.
#[test]
fn reference_suction_submergence() {
    for (inches, water) in [(4.0, 11.2), (6.0, 9.9)] {
        let found = least_submergence(100.0 * GPM, inches * INCH) / INCH;
        close(found, water, 5e-3, &format!("mouth of {inches} in"));
    }
}

/// Joukowsky's rule of thumb for a rigid pipe, about 14 bar for each metre per second stopped (from memory), and the same
/// computed by hand for PVC of D/e 13.4: 1000·√(2.19e6 / (1 + 2.19/2.8·13.4)) Pa per m/s.
#[test]
fn reference_surge_per_velocity_stopped() {
    let rigid = wave_speed(1000.0, f64::INFINITY, 0.05, 0.004);
    close(joukowsky(1000.0, rigid, 1.0), 14e5, 0.06, "rigid pipe");
    let plastic = wave_speed(1000.0, 2.8e9, 13.4, 1.0);
    close(joukowsky(1000.0, plastic, 1.0), 4.3678e5, 1e-3, "PVC");
}
