//! Digs: the soil that comes out of them.

use super::{
    definition::{Definition, Scope},
    ledger::{Answer, Gap, Ledger, Sheet, quantity},
    uplift::ground_outside,
    vessel::{self, Vessels},
};
use crate::{
    plan::{Excavation, Given, Plan},
    quantity::Kind,
};

static SPOIL: Definition = Definition::quantity(
    Scope::Excavations,
    "spoil-mass",
    "soil out of the dig",
    Kind::Mass,
)
.by(
    "volume of the basin below the ground outside, times the density of soil in place",
    "m = V_out(z_ground)·ρ_soil",
)
.within("the basin's own shape; overcut and working space come on top; dug soil takes a quarter more room than in place");

pub(super) static DEFINITIONS: &[&Definition] = &[&SPOIL];

/// Density of soil in place, kg/m³: 120 lb/ft³.
const SOIL: f64 = 1922.0;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Vessels) {
    for dig in plan.excavations.values() {
        ledger.enter(&SPOIL, &dig.place, |sheet| spoil(sheet, plan, vessels, dig));
    }
}

fn spoil(sheet: &mut Sheet<'_>, plan: &Plan, vessels: &Vessels, dig: &Given<Excavation>) -> Answer {
    let basin = dig.basin.value().and_then(|id| plan.basins.get_key_value(id));
    let (id, basin) = basin.ok_or_else(|| Gap::NotShown(vec![dig.place.child("basin")]))?;
    let vessel = vessel::of(vessels, id)?;
    sheet.take(&vessel.inputs);
    let ground = ground_outside(sheet, basin)?;
    let why = "soil in place weighs 120 lb/ft³ (common practice)";
    let density = sheet.assumed("ρ_soil", SOIL, Kind::Density, why);
    quantity(vessel.storage.plan_volume(ground) * density)
}
