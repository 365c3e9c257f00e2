//! Water hammer against published forms.

use bywash::formulas::water_hammer::{joukowsky, wave_speed};

use super::table::close;

/// Joukowsky's rule of thumb for a rigid pipe, about 14 bar for each metre per second stopped (from memory), and the same
/// computed by hand for PVC of D/e 13.4: 1000·√(2.19e6 / (1 + 2.19/2.8·13.4)) Pa per m/s.
#[test]
fn reference_water_hammer_per_velocity_stopped() {
    let rigid = wave_speed(1000.0, f64::INFINITY, 0.05, 0.004);
    close(joukowsky(1000.0, rigid, 1.0), 14e5, 0.06, "rigid pipe");
    let plastic = wave_speed(1000.0, 2.8e9, 13.4, 1.0);
    close(joukowsky(1000.0, plastic, 1.0), 4.3678e5, 1e-3, "PVC");
}
