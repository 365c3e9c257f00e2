//! How densely is planted.

use super::parts::part;
use crate::{
    ledger::{Answer, Definition, Ledger, Scope, Worksheet, missing, quantity},
    plan::Plan,
    quantity::Kind,
    read::Place,
};

static PLANTING_DENSITY: Definition = Definition::quantity(
    Scope::Plan,
    "planting-density",
    "plants per planted area",
    Kind::PerArea,
)
.by(
    "plants of every species divided by the planted area",
    "n = ΣN / A",
);

pub(super) static DEFINITIONS: &[&Definition] = &[&PLANTING_DENSITY];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    ledger.enter(&PLANTING_DENSITY, &Place::root(), |sheet| {
        planting_density(sheet, plan)
    });
}

fn planting_density(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let planting = part(&plan.planting, &Place::root(), "planting")?;
    let at = &planting.place;
    if planting.species.is_empty() {
        return Err(missing(at.child("species")));
    }
    let mut plants = 0.0;
    for species in planting.species.values() {
        // A species that is said to number none adds nothing.
        if !species.count.is_none() {
            let count = part(&species.count, &species.place, "count")?;
            let number = f64::from(count.value);
            sheet.note_value("N", number, Kind::Ratio, &count.place);
            plants += number;
        }
    }
    quantity(plants / sheet.given("A", &planting.area, at, "area")?)
}
