//! The falling sheet against the closed form of a thrown body.

use bywash::formulas::{nappe, weir::brink_depth};

use super::table::close;

/// The sheet has, on its way, the energy it left the brink with: checked against the closed form of a thrown body.
#[test]
fn reference_thrown_sheet() {
    let (flow, drop) = (0.012, 0.8);
    let velocity = nappe::brink_velocity(flow);
    let time = nappe::throw(flow, drop) / velocity;
    let fallen = 9.80665 * time * time / 2.0;
    close(fallen, drop + brink_depth(flow) / 2.0, 1e-12, "height fallen");
}
