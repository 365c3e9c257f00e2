//! The head-flow curve of a pump.

use super::piece::{Piece, piece};
use crate::{
    formulas::pump::Curve,
    ledger::{Gap, Notes},
    plan::{Duty, Given, Measure, Pump, Shown},
    quantity::Kind,
};

/// The curve of a pump: as given, or through its one duty point by the usual assumption.
pub(crate) fn curve(pump: &Given<Pump>) -> Result<Piece<Curve>, Gap> {
    piece(|sheet| {
        let points = match (&pump.curve, &pump.duty) {
            (Shown::Is(curve), _) => {
                sheet.note_place("H(Q)", &curve.place);
                curve.iter().map(|(flow, head)| (flow.si(), head.si())).collect()
            }
            (_, Shown::Is(duty)) => through(sheet, duty)?,
            _ => return Err(Gap::NotShown(vec![pump.place.child("curve")])),
        };
        Curve::new(&points).map_err(|fault| Gap::NotComputed(fault.to_string()))
    })
}

/// A curve through one duty point: a parabola with the shut-off head at 4/3 of the duty head and no head at twice
/// the duty flow.
fn through(sheet: &mut Notes, duty: &Given<Duty>) -> Result<Vec<(f64, f64)>, Gap> {
    let flow = sheet.given("Q_duty", &duty.flow, &duty.place, "flow")?;
    let head = sheet.given("H_duty", &duty.head, &duty.place, "head")?;
    sheet.assumed(
        "H_0",
        4.0 / 3.0 * head,
        Kind::Length,
        "a pump given by one duty point follows a parabola with 4/3 of the duty head at shut-off and none at twice the duty flow",
    );
    let points = 0..=10;
    Ok(points
        .map(|i| {
            let share = f64::from(i) / 5.0;
            (share * flow, head * (4.0 - share * share) / 3.0)
        })
        .collect())
}
