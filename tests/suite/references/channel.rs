//! Uniform flow in open channels.

use bywash::formulas::channel::Section;

use super::table::{close, rows};

/// Manning normal depth against fluids 1.3.1 (`fluids.open_flow.V_Manning`) with scipy's root finder.
#[test]
fn reference_normal_depth() {
    for row in rows("channel/normal_depth.csv") {
        let section = Section {
            bed_width: row.num("b_m"),
            side_slope: row.num("side_slope_H_per_V"),
            slope: row.num("S"),
        };
        let depth = section.normal_depth(row.num("Q_m3_s"), row.num("n"));
        close(depth, row.num("y_normal_m"), 1e-6, "normal depth");
        close(section.area(depth), row.num("A_m2"), 1e-6, "area");
        close(section.perimeter(depth), row.num("P_m"), 1e-6, "perimeter");
    }
}

/// Textbook example: b 5 m, y 0.8 m, n 0.015, S 0.0025 gives Q 9.548 m³/s.
#[test]
fn reference_textbook_flow() {
    let section = Section {
        bed_width: 5.0,
        side_slope: 0.0,
        slope: 0.0025,
    };
    close(section.flow(0.8, 0.015), 9.548, 1e-4, "flow");
}
