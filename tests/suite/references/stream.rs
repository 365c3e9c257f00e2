//! Resistance of shallow flow over stone: two published forms of one law.

use bywash::formulas::stream::variable_power;

use super::table::close;

const G: f64 = 9.80665;

/// Rickenmann & Recking (2011): equation 10a in the depth, with Ferguson's 6.5 and 2.5, against their equation 22 in the flow,
/// `V** = 1.443·q**^0.60·(1 + (q**/43.78)^0.8214)^−0.2435`, a fit of its own to the same measurements (copies: the source of a
/// bedload model). Both for a wide channel.
#[test]
fn reference_two_forms_of_the_variable_power_law() {
    for slope in [0.01_f64, 0.05, 0.12] {
        for submergence in [0.3, 0.5, 1.0, 2.0, 4.0, 8.0, 15.0] {
            let (d84, depth) = (0.1, 0.1 * submergence);
            let velocity = variable_power(submergence) * (G * depth * slope).sqrt();
            let flow = velocity * depth / (G * slope * d84 * d84 * d84).sqrt();
            let growth = (1.0 + (flow / 43.78).powf(0.8214)).powf(-0.2435);
            let by_flow = 1.443 * (G * slope * d84).sqrt() * flow.powf(0.60) * growth;
            close(velocity, by_flow, 0.01, &format!("R/D84 {submergence}"));
        }
    }
}
