//! Part-full round pipes against the usual table of elements.

use bywash::formulas::part_full::PartFullPipe;

use super::table::close;

/// Chow, Open-Channel Hydraulics (1959), appendix A (from memory): y/D, A/D², R/D, T/D.
#[test]
#[allow(clippy::approx_constant, reason = "as printed")]
fn reference_elements_of_circular_sections() {
    let pipe = PartFullPipe::new(1.0, 0.01);
    for (depth, area, radius, width) in [
        (0.1, 0.0409, 0.0635, 0.6000),
        (0.3, 0.1982, 0.1709, 0.9165),
        (0.5, 0.3927, 0.2500, 1.0000),
        (0.7, 0.5872, 0.2962, 0.9165),
        (0.9, 0.7445, 0.2980, 0.6000),
        (1.0, 0.7854, 0.2500, 0.0000),
    ] {
        let what = format!("y/D {depth}");
        close(pipe.area(depth), area, 1e-3, &what);
        close(pipe.hydraulic_radius(depth), radius, 1e-3, &what);
        assert!((pipe.top_width(depth) - width).abs() < 5e-5, "{what}");
    }
}

/// Capacity of concrete pipe flowing full at 1 %, n 0.013, as the usual tables print it (from memory): 12 in 3.56 cfs, 24 in 22.6 cfs,
/// 36 in 66.7 cfs.
#[test]
fn reference_capacity_of_concrete_pipe() {
    for (inches, cfs) in [(12.0, 3.56), (24.0, 22.6), (36.0, 66.7)] {
        let flow = PartFullPipe::new(inches * 0.0254, 0.01).full_flow(0.013) / 0.028_316_846_592;
        close(flow, cfs, 3e-3, &format!("{inches} in"));
    }
}

/// Critical depth by `1.01/D^0.26·(Q²/g)^0.25`, a fit for 0.02 < y/D < 0.85 (Straub 1978, from memory): within 3 %.
#[test]
fn reference_critical_depth_by_a_fit() {
    let pipe = PartFullPipe::new(0.6, 0.01);
    for flow in [0.08_f64, 0.15, 0.25, 0.35] {
        let fit = 1.01 / 0.6_f64.powf(0.26) * (flow * flow / 9.80665).powf(0.25);
        close(pipe.critical_depth(flow), fit, 0.03, &format!("{flow} m³/s"));
    }
}
