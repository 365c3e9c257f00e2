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
