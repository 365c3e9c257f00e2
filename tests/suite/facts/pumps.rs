//! A pump that is known at one point only, run far off it.

use bywash::ledger::Found;

use super::{answer, hold};

const NO_CURVE: &str = "/pumps/main/curve=null";
const POINT: &str = "/pumps/main/duty={\"flow\":\"2000 gph\",\"head\":\"6 ft\"}";

fn found(changes: &[&str], name: &str) -> f64 {
    match answer(changes, "/pumps/main", name) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("no {name}: {other:?}"),
    }
}

/// Metric pipe by its standard. PVC-U PN 10 of 63 mm has a least wall of 3.0 mm (EN ISO 1452-2, series S 10), on average
/// 1.06 of it: 63 − 2 × 3.18 = 56.64 mm. PE 100 SDR 17 of 63 mm has 3.8 mm (EN 12201-2): 63 − 2 × 4.028 = 54.94 mm. The run's
/// velocity is its flow over that bore.
#[test]
fn metric_pipe_is_read_by_size_and_pressure_class() {
    for (class, bore) in [("PVC-U PN 10", 0.05664), ("PE 100 SDR 17", 0.05494)] {
        let pipe = format!(
            "/lines/feed/runs/riser/pipe={{\"size\":\"63 mm\",\"class\":\"{class}\",\"material\":\"PVC\"}}"
        );
        let at = "/lines/feed/runs/riser";
        let value = |name: &str| match answer(&[&pipe], at, name) {
            Some(Ok(Found::Quantity(si))) => si,
            other => panic!("no {name}: {other:?}"),
        };
        let wanted = value("run-flow") / (std::f64::consts::FRAC_PI_4 * bore * bore);
        let found = value("run-velocity");
        assert!(
            (found / wanted - 1.0).abs() < 2e-3,
            "{class}: {found}, not {wanted}"
        );
    }
}

/// A stated roughness takes the place of the table's: 0.046 mm is that of new steel (EPANET 2.2 manual), and a rough bore
/// carries less.
#[test]
fn a_pipe_is_as_rough_as_the_plan_states() {
    let stated = |roughness: &str| {
        let pipe = format!("/lines/feed/runs/riser/pipe/roughness={roughness}");
        found(&[&pipe], "duty-flow")
    };
    let steel = found(&["/lines/feed/runs/riser/pipe/material=steel"], "duty-flow");
    assert!((stated("0.046 mm") / steel - 1.0).abs() < 1e-9, "{steel}");
    let plastic = found(&[], "duty-flow");
    assert!((stated("0.0015 mm") / plastic - 1.0).abs() < 1e-9, "{plastic}");
    assert!(stated("1 mm") < 0.95 * steel, "{}", stated("1 mm"));
}

/// 2,000 gph are 2.1030e-3 m³/s: 2,000 × 3.785412 L / 3,600 s.
#[test]
fn a_pump_of_one_duty_point_is_held_against_its_flow() {
    let duty = 2000.0 * 3.785_412e-3 / 3600.0;
    let flow = found(&[NO_CURVE, POINT], "duty-flow");
    let off = found(&[NO_CURVE, POINT], "off-duty-point");
    assert!((off - (flow - duty).abs() / duty).abs() < 1e-6, "{off} of {flow}");
    // Two alike share the flow.
    let two = [NO_CURVE, POINT, "/pumps/main/count=2"];
    let (flow, off) = (found(&two, "duty-flow"), found(&two, "off-duty-point"));
    assert!(
        (off - (flow / 2.0 - duty).abs() / duty).abs() < 1e-6,
        "{off} of {flow}"
    );
    hold(&[(&[POINT], "/pumps/main", "off-duty-point", "not entered")]);
}
