//! Digs: the soil that comes out of them.

use super::uplift::ground_outside;
use crate::{
    hydraulics::storage::{self, Storages},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, missing, quantity},
    plan::{Excavation, Given, Plan},
    quantity::Kind,
};

static SPOIL: Definition = Definition::quantity(
    Scope::Excavations,
    "spoil-mass",
    "mass of the excavated soil",
    Kind::Mass,
)
.by(
    "volume of the basin below the ground outside, times the density of soil in place",
    "m = V_out(z_ground)·ρ_soil",
)
.within("the basin’s own shape; overcut and working space come on top");
static HEAP: Definition = Definition::quantity(
    Scope::Excavations,
    "spoil-volume",
    "loose volume of the excavated soil",
    Kind::BulkVolume,
)
.by(
    "volume of the basin below the ground outside, and what the soil bulks when dug",
    "V = V_out(z_ground)·(1 + β)",
)
.within("the basin’s own shape; overcut and working space come on top");

pub(super) static DEFINITIONS: &[&Definition] = &[&SPOIL, &HEAP];

/// Density of soil in place, kg/m³: 120 lb/ft³.
const SOIL: f64 = 1922.0;

/// What soil swells when it is dug.
const SWELL: f64 = 0.25;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for dig in plan.excavations.values() {
        ledger.enter(&SPOIL, &dig.place, |sheet| {
            let volume = dug(sheet, plan, vessels, dig)?;
            let why = "soil in place weighs 120 lb/ft³ (1,920 kg/m³), common practice";
            quantity(volume * sheet.assumed("ρ_soil", SOIL, Kind::Density, why))
        });
        ledger.enter(&HEAP, &dig.place, |sheet| {
            let volume = dug(sheet, plan, vessels, dig)?;
            let why = "dug soil takes a quarter more room than in place (common practice)";
            quantity(volume * (1.0 + sheet.assumed("β", SWELL, Kind::Share, why)))
        });
    }
}

/// Volume of the basin below the ground outside, m³.
fn dug(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    vessels: &Storages,
    dig: &Given<Excavation>,
) -> Result<f64, Gap> {
    let basin = dig.basin.value().and_then(|id| plan.basins.get_key_value(id));
    let (id, basin) = basin.ok_or_else(|| missing(dig.place.child("basin")))?;
    let vessel = storage::of(vessels, id)?;
    sheet.share(&vessel.inputs);
    let ground = ground_outside(sheet, basin)?;
    Ok(vessel.storage.plan_volume(ground))
}
