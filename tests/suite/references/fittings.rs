//! Minor losses by Hooper's 2-K and Darby's 3-K, and sudden changes of size, against an independent library.

use bywash::formulas::{
    fittings::{
        self, find,
        methods::{Method, Size, ThreeK, TwoK, three_k, two_k},
        sudden_contraction, sudden_expansion,
    },
    pipe::{Run, flow_under_head, head_loss, head_loss_and_slope, velocity, velocity_head},
};

use super::table::{Row, close, rows};

/// Our name for a row, where both constants of the file are those our table holds for it.
fn our_name(row: &Row) -> Option<&'static str> {
    match row.text("darby_name") {
        "Elbow, 90°, threaded, standard, (r/D = 1)" => Some("90 elbow"),
        "Elbow, 90°, threaded, long radius, (r/D = 1.5)" => Some("sweep 90"),
        "Tee, Through-branch, (as elbow), threaded, (r/D = 1)" => Some("tee branch"),
        "Tee, Run-through, threaded, (r/D = 1)" => Some("tee run"),
        "Valve, Gate valve, standard, β = 1" => Some("gate valve"),
        "Valve, Swing check" => Some("swing check"),
        _ => None,
    }
}

/// The constants of a row.
fn constants(row: &Row) -> (TwoK, ThreeK) {
    let two = TwoK {
        laminar: row.num("hooper_K1"),
        turbulent: row.num("hooper_Kinf"),
    };
    let three = ThreeK {
        laminar: row.num("darby_K1"),
        turbulent: row.num("darby_Ki"),
        size: row.num("darby_Kd"),
    };
    (two, three)
}

/// fluids 1.3.1, `fluids.fittings.Hooper2K` and `Darby3K` with the constants of each row.
#[test]
fn reference_two_k_and_three_k() {
    for row in rows("pipe/04c_hooper2K_darby3K.csv") {
        let (re, diameter, nominal) = (row.num("Re"), row.num("D_m"), row.num("NPS_inch"));
        let (two, three) = constants(&row);
        close(two.loss(diameter).k(re), row.num("K_hooper"), 1e-9, "2-K");
        close(three.loss(nominal).k(re), row.num("K_darby"), 1e-9, "3-K");
    }
}

/// The same through our own table of constants, by the name a plan gives.
#[test]
fn reference_two_k_and_three_k_by_name() {
    let mut names = std::collections::BTreeSet::new();
    for row in rows("pipe/04c_hooper2K_darby3K.csv") {
        let Some(name) = our_name(&row) else { continue };
        names.insert(name);
        let size = Size {
            inside_diameter: row.num("D_m"),
            nominal: row.num("NPS_inch"),
        };
        for (method, k) in [(Method::TwoK, "K_hooper"), (Method::ThreeK, "K_darby")] {
            let loss = method.loss(name, &size).unwrap();
            close(loss.k(row.num("Re")), row.num(k), 1e-9, name);
        }
    }
    assert_eq!(names.len(), 6);
}

/// The same K in the head loss of a whole run, beside its friction: fluids 1.3.1, `fluids.fittings.Hooper2K` and
/// `Darby3K`. The flow that the loss leaves is found again, and the loss of the fitting alone needs no friction.
#[test]
fn reference_two_k_and_three_k_in_a_run() {
    const NU: f64 = 1.0035e-6;
    let mut slowest = f64::INFINITY;
    for row in rows("pipe/04c_hooper2K_darby3K.csv") {
        let (re, diameter, nominal) = (row.num("Re"), row.num("D_m"), row.num("NPS_inch"));
        let (two, three) = constants(&row);
        slowest = re.min(slowest);
        let flow = re * std::f64::consts::PI * diameter * NU / 4.0;
        let straight = Run::new(diameter, 7.0, 1.5e-6).with_k(0.0);
        let losses = [
            (two.loss(diameter), row.num("K_hooper")),
            (three.loss(nominal), row.num("K_darby")),
        ];
        for (loss, k) in losses {
            let whole = Run {
                minor_k: 3.0 * loss.turbulent,
                laminar_k: 3.0 * loss.laminar,
                ..straight
            };
            let fittings = 3.0 * k * velocity_head(velocity(flow, diameter));
            let wanted = head_loss(flow, &straight, NU) + fittings;
            let (found, slope) = head_loss_and_slope(flow, &whole, NU);
            close(found, wanted, 1e-9, "head loss of a run with its fittings");
            close(flow_under_head(wanted, &whole, NU), flow, 1e-9, "flow");
            assert!(slope > 0.0);
            let alone = Run { length: 0.0, ..whole };
            close(
                head_loss(flow, &alone, NU),
                fittings,
                1e-9,
                "loss of the fittings",
            );
        }
    }
    assert!(slowest < 2000.0, "no row of laminar flow");
}

/// Constants not reached by a row of that file, against the tables of fluids 1.3.1 (`fluids.fittings.Hooper`,
/// `fluids.fittings.Darby`).
#[test]
fn reference_constants_of_other_fittings() {
    for (name, hooper, darby) in [
        ("45 elbow", Some((500.0, 0.2)), Some((500.0, 0.071, 4.2))),
        ("ball valve", None, Some((300.0, 0.017, 3.5))),
        ("butterfly valve", Some((800.0, 0.25)), None),
        ("globe valve", Some((1500.0, 4.0)), Some((1500.0, 1.7, 3.6))),
        ("angle valve", Some((1000.0, 2.0)), Some((1000.0, 0.69, 4.0))),
        ("lift check", Some((2000.0, 10.0)), Some((2000.0, 2.85, 3.8))),
    ] {
        let fitting = find(name).unwrap();
        assert_eq!(two_k(fitting).map(|c| (c.laminar, c.turbulent)), hooper, "{name}");
        assert_eq!(
            three_k(fitting).map(|c| (c.laminar, c.turbulent, c.size)),
            darby,
            "{name}"
        );
    }
}

/// fluids 1.3.1, `fluids.fittings.diffuser_sharp` (Borda–Carnot) and Crane's narrowing; the library's own default
/// narrowing (Rennels 2012) stays within 0.13 of it.
#[test]
fn reference_sudden_changes_of_size() {
    for row in rows("pipe/04d_expansion_contraction.csv") {
        let (small, large) = (row.num("D_small_m"), row.num("D_large_m"));
        let head = velocity_head(row.num("v_small_m_s"));
        let (wider, narrower) = (sudden_expansion(small, large), sudden_contraction(small, large));
        close(wider, row.num("K_expansion"), 1e-9, "K of widening");
        close(narrower, row.num("K_contraction_crane"), 1e-9, "K of narrowing");
        close(wider * head, row.num("h_expansion_m"), 1e-9, "loss of widening");
        close(
            narrower * head,
            row.num("h_contraction_crane_m"),
            1e-9,
            "loss of narrowing",
        );
        assert!((narrower - row.num("K_contraction_rennels")).abs() < 0.13);
    }
}

/// Bends by radius, Crane TP-410: fluids 1.3.1 `bend_rounded(method='Crane')`, which fits the printed table; its f_T is a fit too, so
/// that K is compared over f_T.
#[test]
fn reference_bends_by_radius() {
    // r/D, K of the library at 50 mm, its f_T.
    let friction = 0.019_065_302_1;
    for (ratio, k, tolerance) in [
        (1.0, 0.381_306, 1e-6),
        (1.5, 0.268_066, 0.01),
        (2.0, 0.226_588, 0.02),
        (3.0, 0.231_095, 0.02),
        (10.0, 0.572_567, 0.01),
        (20.0, 0.953_265, 1e-6),
    ] {
        let found = fittings::bend(ratio * 0.05, 0.05, 90.0) / fittings::crane_friction_factor(0.05);
        close(found, k / friction, tolerance, &format!("r/D {ratio}"));
    }
    assert!(
        fittings::bend(0.02, 0.05, 90.0).is_nan(),
        "sharper than the table"
    );
}

/// Rounded entrances, Crane TP-410: fluids 1.3.1 `entrance_rounded(method='Crane')`.
#[test]
fn reference_rounded_entrances() {
    for (ratio, k) in [
        (0.0, 0.5),
        (0.02, 0.28),
        (0.04, 0.24),
        (0.06, 0.15),
        (0.10, 0.09),
        (0.15, 0.04),
        (0.3, 0.04),
    ] {
        let form = fittings::Entrance::Rounded { radius: ratio * 0.1 };
        close(fittings::entrance(form, 0.1), k, 1e-9, &format!("r/d {ratio}"));
    }
}
