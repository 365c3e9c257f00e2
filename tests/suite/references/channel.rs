//! Flow in open channels, and the stone it moves.

use bywash::formulas::{
    channel::Section,
    riprap::{self, ISBASH_LOOSE, ISBASH_SET},
};

use super::table::{close, rows};

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;

/// Manning normal depth and critical flow against fluids 1.3.1 (`fluids.open_flow.V_Manning`) with scipy's root finder.
#[test]
fn reference_normal_and_critical_depth() {
    for row in rows("channel/normal_depth.csv") {
        let section = Section {
            bed_width: row.num("b_m"),
            side_slope: row.num("side_slope_H_per_V"),
            slope: row.num("S"),
        };
        let (flow, n) = (row.num("Q_m3_s"), row.num("n"));
        let depth = section.normal_depth(flow, n);
        let critical = section.critical_depth(flow);
        let froude = section.froude(flow, depth);
        for (got, column) in [
            (depth, "y_normal_m"),
            (section.area(depth), "A_m2"),
            (section.perimeter(depth), "P_m"),
            (section.hydraulic_radius(depth), "R_m"),
            (section.top_width(depth), "T_top_m"),
            (flow / section.area(depth), "V_m_s"),
            (froude, "Fr"),
            (critical, "y_crit_m"),
            (flow / section.area(critical), "V_crit_m_s"),
            (section.critical_slope(flow, n), "S_crit"),
            (section.specific_energy(flow, depth), "E_normal_m"),
        ] {
            close(got, row.num(column), 1e-6, column);
        }
        assert_eq!(
            if froude < 1.0 { "sub" } else { "super" },
            row.text("flow_regime")
        );
    }
}

/// Textbook example: b 5 m, y 0.8 m, n 0.015, S 0.0025 gives V 2.387 m/s and Q 9.548 m³/s.
#[test]
fn reference_textbook_flow() {
    let section = Section {
        bed_width: 5.0,
        side_slope: 0.0,
        slope: 0.0025,
    };
    let flow = section.flow(0.8, 0.015);
    close(flow, 9.548, 1e-4, "flow");
    close(flow / section.area(0.8), 2.387, 1e-4, "velocity");
}

/// The example of the fluids documentation (`V_Manning`): R 0.2859 m, S 0.005236, n 0.03 gives 1.04678 m/s. A bed so
/// wide that its hydraulic radius is its depth.
#[test]
fn reference_library_velocity() {
    let section = Section {
        bed_width: 1e7,
        side_slope: 0.0,
        slope: 0.005_236,
    };
    let velocity = section.flow(0.2859, 0.03) / section.area(0.2859);
    close(velocity, 1.04678, 1e-4, "velocity");
}

/// Corps of Engineers (USACE) channel: b 140 ft, 1V:2H, S 0.0017, 13,500 cfs; depths and velocities as printed to
/// a tenth.
#[test]
fn reference_corps_channel() {
    let section = Section {
        bed_width: 140.0 * FOOT,
        side_slope: 2.0,
        slope: 0.0017,
    };
    let flow = 13_500.0 * FOOT.powi(3);
    for (n, depth, velocity) in [(0.034, 10.6, 7.9), (0.036, 11.0, 7.6), (0.038, 11.3, 7.3)] {
        let got = section.normal_depth(flow, n);
        assert!((got / FOOT - depth).abs() < 0.06, "{n}: {} ft", got / FOOT);
        let got = flow / section.area(got) / FOOT;
        assert!((got - velocity).abs() < 0.06, "{n}: {got} ft/s");
    }
}

/// A built stream worked independently: b 2 ft, z 1, S 0.05, 100 gpm.
#[test]
fn reference_small_stream() {
    let section = Section {
        bed_width: 2.0 * FOOT,
        side_slope: 1.0,
        slope: 0.05,
    };
    let flow = 100.0 * 3.785_411_784e-3 / 60.0;
    for (n, depth, velocity) in [(0.05, 1.03, 1.24), (0.10, 1.57, 0.80), (0.20, 2.38, 0.51)] {
        let got = section.normal_depth(flow, n);
        close(got / INCH, depth, 7e-3, "depth");
        close(flow / section.area(got) / FOOT, velocity, 1e-2, "velocity");
    }
}

/// Isbash (1936): S 2.65, 4 ft/s needs 2.45 in loose (C 0.86) and 1.26 in set (C 1.20).
#[test]
fn reference_isbash() {
    let size = |coefficient| riprap::isbash_size(4.0 * FOOT, 2.65, coefficient) / INCH;
    close(size(ISBASH_LOOSE), 2.45, 3e-3, "loose");
    close(size(ISBASH_SET), 1.26, 5e-3, "set");
}

/// HEC-15 shear: d 0.25 ft, S 0.05, F* 0.047, SF 1, SG 2.65 needs 1.93 in.
#[test]
fn reference_hec_15() {
    let size = riprap::hec_15_size(0.25 * FOOT, 0.05, 0.047, 1.0, 2.65).unwrap();
    close(size / INCH, 1.93, 3e-3, "stone");
}

/// Robinson, Rice and Kadavy (1998), from worked sheets after the paper (secondary copies): 0.93 m²/s on 40 % needs 360 mm;
/// by the US form `D50 = (q·S^1.5/4.75·10⁻³)^(1/1.89)` 2 cfs/ft on 5 % needs 2.27 in. The two laws meet at 10 %.
#[test]
fn reference_rock_chutes() {
    close(riprap::chute_size(0.93, 0.40).unwrap(), 0.360, 1e-3, "steep");
    let gentle = riprap::chute_size(2.0 * FOOT * FOOT, 0.05).unwrap();
    close(gentle / INCH, 2.27, 3e-3, "gentle");
    let below = riprap::chute_size(0.2, 0.1 - 1e-9).unwrap();
    close(
        riprap::chute_size(0.2, 0.1).unwrap(),
        below,
        5e-3,
        "where they meet",
    );
    assert!(riprap::chute_size(0.2, 0.01).is_none() && riprap::chute_size(0.2, 0.5).is_none());
}

/// HEC-11: V 1.87 m/s, d 0.1219 m, K 0.8944 needs 0.1315 m.
#[test]
fn reference_hec_11() {
    close(riprap::hec_11_size(1.87, 0.1219, 0.8944), 0.1315, 1e-3, "stone");
}
