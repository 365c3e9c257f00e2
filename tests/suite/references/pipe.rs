//! Full pipes and fittings against independent libraries, code tables and worked examples.

use std::f64::consts::PI;

use bywash::formulas::fittings;
use bywash::formulas::pipe::{
    Run, friction_factor, head_loss, head_loss_and_slope, reynolds, velocity, velocity_head,
};
use proptest::prelude::*;

use super::table::{close, rows};

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
/// US gallon per minute, m³/s.
const GPM: f64 = 231.0 * INCH * INCH * INCH / 60.0;
/// Kinematic viscosity at 20 °C, m²/s (IAPWS).
const NU_20C: f64 = 1.0035e-6;

/// Head loss by Hazen–Williams, m: `h = 10.67·L·Q^1.852/(C^1.852·D^4.8704)`, for published tables (SI form of Williams &
/// Hazen 1905, from memory).
fn hazen_williams(flow: f64, diameter: f64, length: f64, c: f64) -> f64 {
    10.67 * length * (flow / c).powf(1.852) / diameter.powf(4.8704)
}

/// fluids 1.3.1, `fluids.friction.Colebrook` (Lambert W form) and 64/Re.
#[test]
fn reference_friction_factor() {
    for row in rows("pipe/02_friction_factor.csv") {
        let f = friction_factor(row.num("Re"), row.num("rel_roughness"));
        if let Some(want) = row.opt("f_ref") {
            close(f, want, 1e-10, "friction factor");
        }
    }
}

/// fluids 1.3.1 friction factor, water by CoolProp 8.0.0.
#[test]
fn reference_straight_pipe_loss() {
    for row in rows("pipe/03_pipe_head_loss.csv") {
        let run = Run::new(row.num("D_m"), row.num("L_m"), row.num("eps_m"));
        let (flow, nu) = (row.num("Q_m3_s"), row.num("nu_m2_s"));
        close(velocity(flow, run.diameter), row.num("v_m_s"), 1e-10, "velocity");
        close(
            reynolds(flow, run.diameter, nu),
            row.num("Re"),
            1e-10,
            "Reynolds number",
        );
        close(head_loss(flow, &run, nu), row.num("hf_dw_m"), 1e-9, "head loss");
        close(
            hazen_williams(flow, run.diameter, run.length, 150.0),
            row.num("hf_hw_C150_m"),
            1e-9,
            "Hazen–Williams",
        );
    }
}

/// fluids 1.3.1: straight pipe and a sum of K.
#[test]
fn reference_minor_losses() {
    for row in rows("pipe/04a_minor_losses.csv") {
        let run = Run::new(row.num("D_m"), row.num("L_m"), row.num("eps_m")).with_k(row.num("K_total"));
        let (flow, nu) = (row.num("Q_m3_s"), row.num("nu_m2_s"));
        let minor = run.minor_k * velocity_head(velocity(flow, run.diameter));
        close(minor, row.num("h_minor_m"), 1e-9, "minor loss");
        close(
            head_loss(flow, &run, nu),
            row.num("h_total_m"),
            1e-9,
            "total loss",
        );
    }
}

/// Illinois Administrative Code title 77, part 906, appendix A, exhibit I: schedule 40 plastic pipe by
/// Hazen–Williams, C 150, ft of head per 100 ft; and our own Darcy–Weisbach at 20 °C with the same pipe,
/// computed by hand beside it. The code's table was printed to a hundredth, with a slightly different
/// constant.
#[test]
fn reference_schedule_40_friction_table() {
    let table = [
        // gpm, inside diameter in inches (outside less twice the wall, ASTM D1785), Hazen–Williams,
        // Darcy–Weisbach
        (10.0, 1.315 - 2.0 * 0.133, 5.50, 5.789),
        (20.0, 1.900 - 2.0 * 0.145, 2.46, 2.554),
        (50.0, 2.375 - 2.0 * 0.154, 3.98, 3.956),
        (100.0, 3.500 - 2.0 * 0.216, 2.09, 2.060),
        (150.0, 4.500 - 2.0 * 0.237, 1.17, 1.158),
        (300.0, 6.625 - 2.0 * 0.280, 0.58, 0.563),
    ];
    for (gpm, inches, by_hazen_williams, by_darcy) in table {
        let run = Run::new(inches * INCH, 100.0, 1.5e-6);
        let flow = gpm * GPM;
        close(
            hazen_williams(flow, run.diameter, 100.0, 150.0),
            by_hazen_williams,
            0.015,
            &format!("Hazen–Williams at {gpm} gpm"),
        );
        close(
            head_loss(flow, &run, NU_20C),
            by_darcy,
            1e-3,
            &format!("Darcy–Weisbach at {gpm} gpm"),
        );
    }
}

/// Crane TP-410 example 7.1: smooth pipe of 50 mm, 200 L/min, water at 30 °C.
#[test]
fn reference_smooth_pipe_example() {
    let re = reynolds(0.2 / 60.0, 0.050, 0.8445e-6);
    close(re, 100_600.0, 2e-3, "Reynolds number");
    close(friction_factor(re, 0.0), 0.0179, 5e-3, "friction factor");
}

/// Crane TP-410 example 7.15, as laid out in a secondary copy: 100 gpm of water at 70 °F through 500 ft of 3
/// in schedule 40 steel, four standard elbows (30·fT), a gate valve (8·fT), a 2½ in lift check valve (600·fT)
/// with its reducers, the exit; lifted 400 ft: 421 ft in all, 15.2 hp at 70 %.
#[test]
fn reference_pumping_head_example() {
    let (diameter, valve) = (3.068 * INCH, 2.469 * INCH);
    let ft = 0.017; // published for 3 in
    let beta: f64 = valve / diameter;
    let narrowing = beta * (0.5 * (1.0 - beta.powi(2)) + (1.0 - beta.powi(2)).powi(2));
    let lift_check = (600.0 * ft + narrowing) / beta.powi(4);
    let run =
        Run::new(diameter, 500.0 * FOOT, 0.0018 * INCH).with_k(ft * (4.0 * 30.0 + 8.0) + lift_check + 1.0);
    let head = 400.0 + head_loss(100.0 * GPM, &run, 0.975e-6) / FOOT;
    close(head, 421.0, 4e-3, "total head");
    let power = 100.0 * GPM * 997.95 * 9.80665 * head * FOOT / 0.70;
    close(power / 745.69987, 15.2, 5e-3, "power");
}

/// fluids 1.3.1, `fluids.fittings` after Crane: n·fT. The library's fT is a fit to the printed table, ours
/// the formula beside it in the file; they differ by less than 5 %.
#[test]
fn reference_crane_fittings() {
    for row in rows("pipe/04b_crane_fittings.csv") {
        let d = row.num("D_m");
        close(
            fittings::crane_friction_factor(d),
            row.num("fT_formula"),
            1e-9,
            "fT",
        );
        close(
            fittings::crane_friction_factor(d),
            row.num("fT_fluids"),
            0.05,
            "fT of the library",
        );
        for (name, column) in [
            ("90 elbow", "K_std_elbow90"),
            ("45 elbow", "K_std_elbow45"),
            ("tee run", "K_tee_through"),
            ("tee branch", "K_tee_branch"),
            ("gate valve", "K_gate_valve"),
            ("ball valve", "K_ball_valve"),
            ("clearway swing check", "K_swing_check_clearway"),
            ("swing check", "K_swing_check_std"),
        ] {
            close(fittings::k(name, d).unwrap(), row.num(column), 0.05, name);
            let by_library = row.num(column) / row.num("fT_fluids") * row.num("fT_formula");
            close(fittings::k(name, d).unwrap(), by_library, 1e-9, name);
        }
    }
}

/// K of entrances and the exit as tabulated beside the minor losses (Crane TP-410; fluids 1.3.1
/// `exit_normal`).
#[test]
fn reference_entrances_and_exit() {
    for row in rows("pipe/04a_minor_losses.csv") {
        let name = match row.text("entrance") {
            "sharp_flush" => "entrance sharp",
            "reentrant" => "entrance projecting",
            "rounded" => "entrance bell",
            other => panic!("entrance {other}"),
        };
        let d = row.num("D_m");
        close(fittings::k(name, d).unwrap(), row.num("K_entrance"), 1e-12, name);
        close(fittings::k("exit", d).unwrap(), row.num("K_exit"), 1e-12, "exit");
    }
}

proptest! {
    /// Head loss rises with flow everywhere, through both ends of the bridge.
    #[test]
    fn loss_is_monotone_in_flow(
        re in 1.0..8000.0f64,
        growth in 1.000_001..1.5f64,
        relative_roughness in 0.0..0.05f64,
        minor_k in 0.0..20.0f64,
        laminar_k in 0.0..20_000.0f64,
    ) {
        let run = Run { diameter: 0.04, length: 10.0, roughness: 0.04 * relative_roughness, minor_k, laminar_k };
        let flow = re * PI * run.diameter * NU_20C / 4.0;
        let (low, low_slope) = head_loss_and_slope(flow, &run, NU_20C);
        let (high, high_slope) = head_loss_and_slope(flow * growth, &run, NU_20C);
        prop_assert!(high > low);
        prop_assert!(low_slope > 0.0 && high_slope > 0.0);
    }

    /// The derivative is that of the loss, with losses that hang on the Reynolds number too, forward and back.
    #[test]
    fn slope_is_the_derivative_of_the_loss_in_any_pipe(
        reynolds in prop_oneof![1.0..1990.0f64, 2010.0..3990.0f64, 4010.0..1e6f64],
        back in any::<bool>(),
        diameter in 0.01..0.3f64,
        length in 0.0..100.0f64,
        minor_k in 0.0..20.0f64,
        laminar_k in 1.0..20_000.0f64,
    ) {
        let run = Run { diameter, length, roughness: 1.5e-6, minor_k, laminar_k };
        let forward = reynolds * PI * diameter * NU_20C / 4.0;
        let flow = if back { -forward } else { forward };
        let step = 1e-5 * forward;
        let secant = (head_loss(flow + step, &run, NU_20C) - head_loss(flow - step, &run, NU_20C)) / (2.0 * step);
        let (loss, slope) = head_loss_and_slope(flow, &run, NU_20C);
        prop_assert!((slope - secant).abs() < 1e-7 * slope, "{slope} and {secant}");
        let mirrored = head_loss(-flow, &run, NU_20C);
        prop_assert!((loss + mirrored).abs() <= 1e-15 * loss.abs());
    }
}
