//! Mouths of pipes by FHWA HDS-5 against an independent computation.

use bywash::formulas::{
    inlet_control::{Inlet, capacity, headwater},
    part_full::PartFullPipe,
};

use super::table::{close, rows};

/// Constants as in EPA SWMM 5.2, critical depth by scipy.
#[test]
fn reference_headwater_by_hds_5() {
    for row in rows("inlet_control/15_hds5.csv") {
        let inlet = match row.text("inlet") {
            "square edge" => Inlet::SquareEdge,
            "socket in wall" => Inlet::SocketInWall,
            "socket projecting" => Inlet::SocketProjecting,
            "bevelled" => Inlet::Bevelled,
            "thin projecting" => Inlet::ThinProjecting,
            other => panic!("inlet {other}"),
        };
        let pipe = PartFullPipe::new(row.num("D_m"), row.num("slope"));
        let (flow, level) = (row.num("Q_m3_s"), row.num("HW_m"));
        close(headwater(inlet, &pipe, flow), level, 1e-6, "headwater");
        close(capacity(inlet, &pipe, level), flow, 1e-6, "capacity");
    }
}

/// The example printed on HDS-5 chart 1 (from memory): 42 in, 120 cfs, headwater 8.8, 7.4 and 7.7 ft; a nomograph.
#[test]
fn reference_chart_1_example() {
    let pipe = PartFullPipe::new(42.0 * 0.0254, 0.0);
    for (inlet, feet) in [
        (Inlet::SquareEdge, 8.8),
        (Inlet::SocketInWall, 7.4),
        (Inlet::SocketProjecting, 7.7),
    ] {
        let found = headwater(inlet, &pipe, 120.0 * 0.028_316_846_592) / 0.3048;
        close(found, feet, 0.05, &format!("{inlet:?}"));
    }
}
