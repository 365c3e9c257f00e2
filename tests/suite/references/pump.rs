//! Pumps against independent operating points and published worked examples.

use bywash::formulas::{
    network::{Link, LinkId, Network, NoSolution, Node, NodeId, Solution},
    pipe::Run,
    pump::{Curve, Duty, Suction, brake_power, least_submergence, npsh_available},
};

use super::table::{Row, close, rows};

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
/// US gallon per minute, m³/s.
const GPM: f64 = 231.0 * INCH * INCH * INCH / 60.0;
/// Mechanical horsepower, W (550 ft·lbf/s).
const HP: f64 = 745.699_871_582_270_22;
/// Pound-force per square inch, Pa.
const PSI: f64 = 6_894.757_293_168;

/// A pump lifting through one pipe from a level at zero.
fn one_line(curve: &Curve, row: &Row) -> (Result<Solution, NoSolution>, LinkId, NodeId) {
    let mut network = Network::new(row.num("nu_m2_s"));
    let sump = network.add_node(Node::Fixed { head: 0.0 });
    let joint = network.add_node(Node::Junction);
    let top = network.add_node(Node::Fixed {
        head: row.num("H_static_m"),
    });
    let run = Run::new(row.num("D_m"), row.num("L_m"), row.num("eps_m")).with_k(row.num("K_total"));
    let pump = network.add_link(Link::pump(sump, joint, curve.clone(), 1));
    network.add_link(Link::pipe(joint, top, run));
    (network.solve(), pump, joint)
}

/// `H = H0 − a·Q²` as a dense table, from no flow to no head.
pub fn parabola(shut_off: f64, a: f64) -> Curve {
    const STEPS: u32 = 4000;
    let last = (shut_off / a).sqrt();
    let points: Vec<(f64, f64)> = (0..=STEPS)
        .map(|i| last * f64::from(i) / f64::from(STEPS))
        .map(|flow| (flow, shut_off - a * flow * flow))
        .collect();
    Curve::new(&points).unwrap()
}

/// Straight lines between points of (flow, head), as a table so dense that the monotone cubics follow them.
pub fn straight_pieces(points: &[(f64, f64)]) -> Curve {
    const STEPS: u32 = 1000;
    let mut dense = vec![points[0]];
    for pair in points.windows(2) {
        let ((q0, h0), (q1, h1)) = (pair[0], pair[1]);
        dense.extend((1..=STEPS).map(|i| {
            let t = f64::from(i) / f64::from(STEPS);
            (q0 + t * (q1 - q0), h0 + t * (h1 - h0))
        }));
    }
    Curve::new(&dense).unwrap()
}

/// scipy 1.17.1 `brentq` on H0 − aQ² against the system curve, fluids 1.3.1 Colebrook.
#[test]
fn reference_operating_point_on_a_parabola() {
    for row in rows("pump/05a_pump_operating_point_quadratic.csv") {
        let shut_off = row.num("H0_m");
        let (solved, pump, joint) = one_line(&parabola(shut_off, row.num("a_s2_m5")), &row);
        match row.text("status") {
            "ok" => {
                let solution = solved.unwrap();
                close(solution.flow(pump).unwrap(), row.num("Q_m3_s"), 1e-6, "flow");
                close(solution.head(joint).unwrap(), row.num("H_m"), 1e-6, "head");
            }
            "no_flow" => match solved {
                Err(NoSolution::PumpCannotLift {
                    pump: named,
                    needed,
                    available,
                }) => {
                    assert_eq!(named, pump);
                    close(available, shut_off, 1e-12, "head available");
                    close(needed, row.num("H_static_m"), 1e-9, "head needed");
                }
                other => panic!("{other:?}"),
            },
            other => panic!("status {other}"),
        }
    }
}

/// scipy 1.17.1 `PchipInterpolator` against the system curve, fluids 1.3.1 Colebrook.
#[test]
fn reference_operating_point_on_a_table() {
    for row in rows("pump/05b_pump_operating_point_table.csv") {
        let points: Vec<(f64, f64)> = row
            .text("curve")
            .split(';')
            .map(|pair| {
                let (flow, head) = pair.split_once(':').unwrap();
                (flow.parse().unwrap(), head.parse().unwrap())
            })
            .collect();
        let curve = Curve::new(&points).unwrap();
        let (solved, pump, joint) = one_line(&curve, &row);
        match (row.text("status"), solved) {
            ("ok", Ok(solution)) => {
                close(
                    solution.flow(pump).unwrap(),
                    row.num("Q_pchip_m3_s"),
                    1e-6,
                    "flow",
                );
                close(solution.head(joint).unwrap(), row.num("H_pchip_m"), 1e-6, "head");
            }
            ("no_flow", Err(NoSolution::PumpCannotLift { .. })) => {}
            ("beyond_curve", Err(NoSolution::BeyondCurve { flow, to, .. })) => {
                assert!(flow > to);
                assert_eq!(to, curve.ends().1);
            }
            (status, solved) => panic!("{status}: {solved:?}"),
        }
    }
}

/// Crane TP-410, example 7.32: 5 psi above the atmosphere, 25 ft lift, 6 ft loss, 60 °F. Vapour pressure and density
/// there: 0.2563 psi, 62.364 lb/ft³ (saturated water at 60 °F, handbook value, from memory); atmosphere 14.696 psi.
#[test]
fn reference_npsh_available() {
    let suction = Suction {
        surface_pressure: (14.696 + 5.0) * PSI,
        vapour_pressure: 0.2563 * PSI,
        density: 62.364 * 0.453_592_37 / FOOT.powi(3),
        lift: 25.0 * FOOT,
        loss: 6.0 * FOOT,
    };
    close(npsh_available(&suction) / FOOT, 13.887, 3e-4, "NPSH available");
}

/// Crane TP-410, example 7.33: 3500 to 1700 rpm.
#[test]
fn reference_affinity_laws() {
    let duty = Duty {
        flow: 400.0 * GPM,
        head: 126.0 * FOOT,
        power: 17.5 * HP,
    };
    let slow = duty.at_speed_ratio(1700.0 / 3500.0);
    close(slow.flow / GPM, 194.29, 3e-5, "flow");
    close(slow.head / FOOT, 29.73, 2e-4, "head");
    close(slow.power / HP, 2.005, 3e-4, "power");
}

/// Crane TP-410, example 7.34: 107.06 bhp; the customary constant 3960 gives 107.01.
#[test]
fn reference_brake_power() {
    let density = 62.364 * 0.453_592_37 / FOOT.powi(3);
    let power = brake_power(density, 700.0 * GPM, 428.0 * FOOT, 0.707);
    close(power / HP, 107.06, 1e-3, "brake power");
}

/// `S = D·(1 + 2.3·F_D)`, Hydraulic Institute 9.8 (read in a copy), computed by hand: 100 gpm into a mouth of 4 and 6 in
/// asks 11.2 and 9.9 in of water.
#[test]
fn reference_suction_submergence() {
    for (inches, water) in [(4.0, 11.2), (6.0, 9.9)] {
        let found = least_submergence(100.0 * GPM, inches * INCH) / INCH;
        close(found, water, 5e-3, &format!("mouth of {inches} in"));
    }
}
