//! Water that comes back: over lips, through the mouths of pipes, and up through a bed.

use bywash::formulas::{
    bed::upflow_rate,
    nappe,
    weir::{Crest, Edge, FRANCIS, brink_depth, head_for_flow},
};

use super::table::close;

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
/// US gallon per minute, m³/s.
const GPM: f64 = 231.0 * INCH * INCH * INCH / 60.0;

/// Colorado mine-reclamation file: 5.7 cfs over 12 ft with C 2.5 stand 0.33 ft deep.
#[test]
fn reference_spillway_of_rough_stone() {
    let crest = Crest::in_open_water(Edge::RoughStone, 12.0 * FOOT);
    let head = head_for_flow(&crest, 5.7 * FOOT.powi(3)) / FOOT;
    close(head, 0.33, 0.01, "head in ft");
}

/// Sharp crest with C 3.33 ft^½/s, computed by hand: 0.79, 1.25, 1.98 and 2.59 in at 25, 50, 100 and 150 gpm per ft.
#[test]
fn reference_head_over_a_sharp_lip() {
    for (gpm, inches) in [(25.0, 0.79), (50.0, 1.25), (100.0, 1.98), (150.0, 2.59)] {
        let head = (gpm * GPM / FOOT / FRANCIS).powf(2.0 / 3.0) / INCH;
        close(head, inches, 8e-3, &format!("{gpm} gpm/ft"));
    }
}

/// A depth read on the brink passes about 2.8 times the flow of the same head upstream: Rouse's brink depth
/// against a sharp crest.
#[test]
fn reference_brink_depth_is_not_upstream_head() {
    let flow = 0.01;
    let brink = brink_depth(flow);
    close(
        flow / (FRANCIS * brink.powf(1.5)),
        2.8,
        0.01,
        "flow of the same number",
    );
}

/// The sheet has, on its way, the energy it left the brink with: checked against the closed form of a thrown body.
#[test]
fn reference_thrown_sheet() {
    let (flow, drop) = (0.012, 0.8);
    let velocity = nappe::brink_velocity(flow);
    let time = nappe::throw(flow, drop) / velocity;
    let fallen = 9.80665 * time * time / 2.0;
    close(fallen, drop + brink_depth(flow) / 2.0, 1e-12, "height fallen");
}

/// A pond 0.914 m deep over a bed of 20 % of its area, turned over in 1, 2 and 4 h, computed by hand: 4.57, 2.29 and
/// 1.14 m/h.
#[test]
fn reference_upflow_of_a_turnover() {
    for (hours, metres_per_hour) in [(1.0, 4.57), (2.0, 2.29), (4.0, 1.14)] {
        let (pond, depth) = (100.0, 0.914);
        let rate = upflow_rate(pond * depth / (hours * 3600.0), 0.2 * pond);
        close(rate * 3600.0, metres_per_hour, 3e-3, &format!("{hours} h"));
    }
}
