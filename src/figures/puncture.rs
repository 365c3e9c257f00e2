//! Puncture: the lowest stone that presses on a cushioned membrane.

use super::{
    beds::stone::STONE_MASS,
    definition::{Definition, Scope},
    ledger::{Answer, Gap, Ledger, Sheet, quantity},
    vessel::{self, Vessels},
};
use crate::{
    formulas::{lining::Puncture, water::STANDARD_GRAVITY},
    plan::{Basin, Fill, Given, Layer, Lining, Material, Plan, Shown, StoneShape},
    quantity::Kind,
};

static PUNCTURE: Definition = Definition::quantity(
    Scope::Basins,
    "puncture-factor",
    "pressure the sheet stands over the load on it",
    Kind::Ratio,
)
.by(
    "pressure that a cushioned sheet stands under stones that stand out by half their size, over the weight of stone and \
     water on the floor",
    "FS = p_allowed / p",
)
.from("Koerner, Narejo and Wilson-Fahmy (1996), from memory")
.within("HDPE of 60 mil (1.5 mm) or more with a cushion; other sheets have no published method");

pub(super) static DEFINITIONS: &[&Definition] = &[&PUNCTURE];

/// Thinnest sheet the method was made for, m.
const SHEET: f64 = 1.5e-3;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Vessels) {
    for (id, basin) in &plan.basins {
        let lowest = basin
            .layers
            .values()
            .find(|layer| layer.fill.value() == Some(&Fill::Stone));
        if let (Shown::Is(lining), Some(stone)) = (&basin.lining, lowest) {
            ledger.enter(&PUNCTURE, &basin.place, |sheet| {
                puncture(sheet, vessels, id, basin, lining, stone)
            });
        }
    }
}

fn puncture(
    sheet: &mut Sheet<'_>,
    vessels: &Vessels,
    id: &str,
    basin: &Given<Basin>,
    lining: &Given<Lining>,
    stone: &Given<Layer>,
) -> Answer {
    let membrane = lining
        .membrane
        .given()
        .ok_or_else(|| Gap::NotShown(vec![lining.place.child("membrane")]))?;
    let elsewhere =
        || Gap::DoesNotApply("the method was made for HDPE of 60 mil (1.5 mm) and more".to_owned());
    if membrane.material.value() != Some(&Material::Hdpe) {
        return Err(elsewhere());
    }
    // 60 mil is 1.524 mm; sheets are sold by either number.
    if sheet.given("t", &membrane.thickness, &membrane.place, "thickness")? < SHEET {
        return Err(elsewhere());
    }
    let cushion = match &lining.cushion {
        Shown::Is(cushion) => sheet.given("M", &cushion.mass, &cushion.place, "mass")?,
        Shown::None(_) => return Err(Gap::DoesNotApply("the sheet has no cushion".to_owned())),
        Shown::NotShown => return Err(Gap::NotShown(vec![lining.place.child("cushion")])),
    };
    let size = sheet.given("D", &stone.largest, &stone.place, "largest")?;
    let shape = stone
        .shape
        .given()
        .ok_or_else(|| Gap::NotShown(vec![stone.place.child("shape")]))?;
    sheet.note_place("shape", &shape.place);
    let allowed = Puncture {
        cushion,
        protrusion: size / 2.0,
        shape: match shape.value {
            StoneShape::Angular => 1.0,
            StoneShape::Subangular => 0.5,
            StoneShape::Round => 0.25,
        },
    }
    .allowed();
    let storage = &vessel::of(vessels, id)?.storage;
    let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
    let mut load = 1000.0 * (still - storage.floor());
    for layer in basin
        .layers
        .values()
        .filter(|layer| layer.fill.value() == Some(&Fill::Stone))
    {
        load += sheet.figure("m_stone", &STONE_MASS, &layer.place)? / storage.plan_area(still);
    }
    quantity(allowed / (load * STANDARD_GRAVITY))
}
