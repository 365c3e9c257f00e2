//! Weirs against independent libraries and worked examples.

use bywash::formulas::{
    water::STANDARD_GRAVITY as G,
    weir::{
        BROAD, Crest, Edge, Equation, FRANCIS, Notch, StoneEdge, brink_depth, broad_crested, cipolletti,
        cipolletti_head, critical_depth, discharge, francis, head_for_flow, outside, villemonte,
        with_velocity_of_approach,
    },
};

use super::table::{Row, close, rows};

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
/// Cubic foot per second, m³/s.
const CFS: f64 = FOOT * FOOT * FOOT;
/// US gallon per minute, m³/s.
const GPM: f64 = 231.0 * INCH * INCH * INCH / 60.0;

/// Below this head our Kindsvater–Carter runs to zero by a rule of its own.
const MEASURED_HEAD: f64 = 0.03;

fn thin_lip(row: &Row, approach_width: f64) -> Crest {
    Crest {
        edge: Edge::ThinLip,
        width: row.num("b_m"),
        height: row.num("p_m"),
        approach_width,
    }
}

/// Full-width sharp crests, ISO 1438 forms by scipy; fluids 1.3.1 with its own rounding of the constants.
#[test]
fn reference_suppressed_weir() {
    for row in rows("weir/07a_weir_suppressed.csv") {
        let (b, h, p) = (row.num("b_m"), row.num("h_m"), row.num("p_m"));
        let flow = row.num("Q_given_m3_s");
        close(francis(b, h, 0), row.num("Q_francis184_m3_s"), 1e-9, "Francis");
        close(rehbock(b, h, p), row.num("Q_rehbock_m3_s"), 1e-9, "Rehbock");
        let crest = thin_lip(&row, b);
        if h >= MEASURED_HEAD {
            close(
                discharge(&crest, h),
                row.num("Q_kc_m3_s"),
                1e-9,
                "Kindsvater–Carter",
            );
        }
        let head = row.num("h_from_Q_kc_m");
        if head >= MEASURED_HEAD {
            close(head_for_flow(&crest, flow), head, 1e-8, "Kindsvater–Carter head");
        }
        // The table marks the range of ISO 1438 with Rehbock's least width, 0.3 m.
        let in_range = outside(Equation::KindsvaterCarter, &crest, h).is_empty() && b >= 0.3;
        assert_eq!(in_range, row.text("iso_range") == "true");
        if in_range {
            let found = discharge(&crest, h);
            close(found, row.num("Q_fluids_kc_m3_s"), 2e-3, "fluids K–C");
            close(found, rehbock(b, h, p), 0.025, "Rehbock beside Kindsvater–Carter");
        }
    }
}

/// Suppressed sharp-crested weir by Rehbock (1929), as in ISO 1438, m³/s (constants from memory): an independent law.
fn rehbock(width: f64, head: f64, height: f64) -> f64 {
    2.0 / 3.0 * (2.0 * G).sqrt() * (0.602 + 0.083 * head / height) * width * (head + 0.0012).powf(1.5)
}

/// The same by Ackers and others (1978), m³/s, as in the documentation of fluids 1.3.1.
fn ackers(width: f64, head: f64, height: f64) -> f64 {
    0.564 * (1.0 + 0.150 * head / height) * width * G.sqrt() * (head + 0.001).powf(1.5)
}

/// A thin lip in a channel.
fn in_channel(width: f64, height: f64, approach_width: f64) -> Crest {
    Crest {
        edge: Edge::ThinLip,
        width,
        height,
        approach_width,
    }
}

/// Contracted sharp crests, USBR constants, by scipy.
#[test]
fn reference_contracted_weir() {
    for row in rows("weir/07b_weir_contracted.csv") {
        let (b, h) = (row.num("b_m"), row.num("h_m"));
        close(
            francis(b, h, 2),
            row.num("Q_francis_n2_m3_s"),
            1e-9,
            "two contractions",
        );
        close(
            francis(b, h, 1),
            row.num("Q_francis_n1_m3_s"),
            1e-9,
            "one contraction",
        );
        // The ratio as tabulated, since the printed widths are rounded.
        let crest = thin_lip(&row, b / row.num("b_over_B"));
        if h >= MEASURED_HEAD {
            close(
                discharge(&crest, h),
                row.num("Q_kc_m3_s"),
                1e-6,
                "Kindsvater–Carter",
            );
        }
        let head = row.num("h_from_Q_kc_m");
        if head >= MEASURED_HEAD {
            let got = head_for_flow(&crest, row.num("Q_given_m3_s"));
            close(got, head, 1e-6, "Kindsvater–Carter head");
        }
        let in_range = outside(Equation::Francis, &crest, h).is_empty();
        assert_eq!(in_range, row.text("in_range") == "true");
    }
}

/// V-notches by scipy; Kindsvater & Shen also against `fluids.open_flow.Q_weir_V_Shen` of fluids 1.3.1, scaled by the
/// factor that function leaves out.
#[test]
fn reference_v_notch() {
    for row in rows("weir/07c_weir_vnotch.csv") {
        let notch = Notch {
            angle: row.num("theta_deg"),
        };
        let (h, flow) = (row.num("h_m"), row.num("Q_given_m3_s"));
        close(notch.coefficient(), row.num("Ce"), 1e-9, "C_e");
        close(notch.head_correction(), row.num("kh_m"), 1e-9, "k_h");
        close(
            notch.discharge(h),
            row.num("Q_kindsvater_shen_m3_s"),
            1e-9,
            "Kindsvater–Shen",
        );
        close(
            notch.head_for_flow(flow),
            row.num("h_from_Q_kindsvater_shen_m"),
            1e-8,
            "its head",
        );
        if let Some(rounded) = row.opt("Q_1365_m3_s") {
            // `Q = 1.365·h^2.5` for 90 degrees.
            if h >= Notch::LEAST_HEAD {
                close(notch.discharge(h), rounded, 0.03, "rounded form against the law");
            }
        }
        let in_range = h >= Notch::LEAST_HEAD;
        assert_eq!(in_range, row.text("in_range") == "true");
        if in_range && Notch::ANGLES.contains(&notch.angle) {
            close(
                notch.discharge(h),
                row.num("Q_fluids_shen_scaled_m3_s"),
                4e-3,
                "fluids",
            );
        }
    }
}

/// Broad crests, C 1.705 and the theory's constant.
#[test]
fn reference_broad_crested_weir() {
    for row in rows("weir/07d_weir_broad_crested.csv") {
        let (b, h) = (row.num("b_m"), row.num("h_m"));
        let crest = Crest::in_open_water(Edge::BroadStone, b);
        close(discharge(&crest, h), row.num("Q_1705_m3_s"), 1e-9, "C 1.705");
        let theory = (2.0f64 / 3.0).powf(1.5) * 9.80665f64.sqrt();
        close(
            broad_crested(theory, b, h),
            row.num("Q_theory_m3_s"),
            1e-9,
            "theory",
        );
        let head = head_for_flow(&crest, row.num("Q_given_m3_s"));
        close(head, row.num("h_from_Q_1705_m"), 1e-9, "head");
        let depth = critical_depth(broad_crested(theory, 1.0, h));
        close(depth, row.num("y_crit_m"), 1e-9, "critical depth");
    }
}

/// A university examination paper: broad crest, C 3.09 (ft), 20 ft wide, head 0.8 ft: 44.22 cfs.
#[test]
fn reference_broad_weir_examination() {
    close(
        broad_crested(BROAD, 20.0 * FOOT, 0.8 * FOOT) / CFS,
        44.22,
        2e-3,
        "discharge",
    );
}

/// A worked contracted weir, channel 4 ft, crest 1 ft high and 2 ft wide, head 0.45 ft: 1.920 cfs by Francis;
/// 1.961 cfs by Kindsvater–Carter with the constants of the USBR Water Measurement Manual, k_h rounded to
/// 0.003 ft.
#[test]
fn reference_contracted_weir_example() {
    close(francis(2.0 * FOOT, 0.45 * FOOT, 2) / CFS, 1.920, 2e-3, "Francis");
    let flow = discharge(&in_channel(2.0 * FOOT, FOOT, 4.0 * FOOT), 0.45 * FOOT);
    close(flow / CFS, 1.961, 2e-3, "Kindsvater–Carter");
}

/// Documentation of fluids: h 0.3, p 0.4, b 2 m: Rehbock 0.648686, Kindsvater–Carter 0.641560, Ackers 0.648962 m³/s, with
/// constants rounded otherwise than ISO's; and the worked example of Çengel & Cimbala printed there, h 0.9, p 0.6, b 5 m:
/// 9.25194 m³/s by Ackers. Our law is held to the three.
#[test]
fn reference_suppressed_weir_examples() {
    let crest = in_channel(2.0, 0.4, 2.0);
    close(discharge(&crest, 0.3), 0.641560, 2e-3, "Kindsvater–Carter");
    for (law, printed) in [
        (rehbock(2.0, 0.3, 0.4), 0.648686),
        (ackers(2.0, 0.3, 0.4), 0.648962),
    ] {
        close(law, printed, 2e-3, "as printed");
        close(discharge(&crest, 0.3), printed, 0.015, "beside it");
    }
    close(ackers(5.0, 0.9, 0.6), 9.25194, 1e-6, "Ackers");
    close(
        discharge(&in_channel(5.0, 0.6, 5.0), 0.9),
        9.25194,
        0.03,
        "beside it",
    );
}

/// Spillway of a Colorado mine-reclamation file: 5.7 cfs over 12 ft of rough crest, C 2.5 (ft): 0.33 ft of
/// head.
#[test]
fn reference_rough_spillway() {
    let head = head_for_flow(&Crest::in_open_water(Edge::RoughStone, 12.0 * FOOT), 5.7 * CFS);
    close(head / FOOT, 0.33, 0.01, "head");
}

/// Villemonte's share at half submergence, computed by hand.
#[test]
fn reference_villemonte() {
    close(villemonte(0.2, 0.1, 1.5), 0.8454, 1e-4, "half submerged");
}

/// Head of a thin sheet at 25, 50, 100 and 150 gpm per foot with C 3.33, computed by hand: 0.79, 1.25, 1.98,
/// 2.59 in. Kindsvater–Carter in open water stays within 4 % of it.
#[test]
fn reference_sheet_head() {
    for (gpm, inches) in [(25.0, 0.79), (50.0, 1.25), (100.0, 1.98), (150.0, 2.59)] {
        let width = 2.0 * FOOT;
        let flow = 2.0 * gpm * GPM;
        let by_francis = (flow / (FRANCIS * width)).powf(2.0 / 3.0);
        close(by_francis / INCH, inches, 8e-3, "Francis");
        let crest = Crest::in_open_water(Edge::ThinLip, width);
        close(
            head_for_flow(&crest, flow) / INCH,
            inches,
            0.04,
            "Kindsvater–Carter",
        );
    }
}

/// A depth read on the brink passes about 2.8 times what the same upstream head over a sharp crest does.
#[test]
fn reference_brink_depth() {
    let depth = brink_depth(0.01);
    close(0.01 / francis(1.0, depth, 0), 2.8, 0.02, "ratio");
}

/// USBR Water Measurement Manual, section 7-12 (seen): `Q = 3.367·L·h^1.5` in feet; 1 ft under 0.2, 0.3 and 0.33 ft.
#[test]
fn reference_cipolletti() {
    for head in [0.2, 0.3, 0.33] {
        let cfs = 3.367 * f64::powf(head, 1.5);
        close(cipolletti(FOOT, head * FOOT) / CFS, cfs, 1e-4, "discharge");
        close(cipolletti_head(FOOT, cfs * CFS) / FOOT, head, 1e-4, "head");
    }
}

/// Francis with the velocity of approach against Kindsvater–Carter, which has it in its coefficient: a suppressed weir of 1 m,
/// crest 0.3 to 1 m high, heads to half of that; they agree within 3 %, Francis without it by up to 9 % less.
#[test]
fn reference_velocity_of_approach() {
    for height in [0.3, 0.6, 1.0] {
        for head in [0.25 * height, 0.5 * height] {
            let by_law = discharge(&in_channel(1.0, height, 1.0), head);
            let counted = with_velocity_of_approach(FRANCIS, 1.0, head, head + height);
            close(counted, by_law, 0.03, &format!("p {height}, h {head}"));
            assert!(counted > francis(1.0, head, 0));
        }
    }
}

/// No stone passes more than ideal flow.
#[test]
fn reference_stone_edges_lie_below_ideal_flow() {
    for edge in [
        StoneEdge::RoundedNose,
        StoneEdge::SmoothDressed,
        StoneEdge::NaturalFlat,
        StoneEdge::RoughStone,
    ] {
        let (least, usual, most) = edge.coefficients();
        assert!(least < usual && usual < most && most <= BROAD, "{edge:?}");
    }
    let (_, dressed, _) = StoneEdge::SmoothDressed.coefficients();
    close(
        dressed,
        0.864 * BROAD,
        5e-3,
        "ISO 3846 basic coefficient 0.864 (from memory)",
    );
}
