//! Puncture: the lowest stone that presses on a cushioned membrane.

use super::beds::stone::{STONE_DENSITY, STONE_MASS};
use crate::{
    formulas::{
        lining::Puncture,
        storage::Storage,
        water::{NOMINAL_DENSITY, STANDARD_GRAVITY},
    },
    hydraulics::storage::{self, Storages},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Basin, Fill, Given, Layer, Lining, Material, Plan, Shown, StoneShape},
    quantity::Kind,
};

static PUNCTURE: Definition = Definition::quantity(
    Scope::Basins,
    "puncture-factor",
    "puncture strength as a multiple of the load",
    Kind::Ratio,
)
.by(
    "pressure that a cushioned sheet withstands under stones that protrude by half their size, divided by the \
    weight of stone and water on the floor: p_allowed = (50 + 0.00045·M/(D/2)²) kPa / (MF_S·RF), M in g/m², D in \
    m",
    "FS = p_allowed / p",
)
.from("Koerner, Narejo and Wilson-Fahmy (1996), from memory")
.within(
    "HDPE of 60 mil (1.5 mm) or more, cushions of 8 to 65 oz/yd² (270 to 2200 g/m²), stones that protrude 1/4 to \
    2 in (6 to 50 mm); other sheets have no published method",
);

pub(super) static DEFINITIONS: &[&Definition] = &[&PUNCTURE];

/// Thinnest sheet the method was made for, m.
const SHEET: f64 = 1.5e-3;

/// Reductions for creep and for chemistry, each.
const REDUCTION: f64 = 1.5;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for (id, basin) in &plan.basins {
        if let Shown::Is(lining) = &basin.lining
            && basin.layers.values().any(|layer| layer.is_stone())
        {
            ledger.enter(&PUNCTURE, &basin.place, |sheet| {
                puncture(sheet, vessels, id, basin, lining)
            });
        }
    }
}

fn puncture(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
    lining: &Given<Lining>,
) -> Answer {
    fits(sheet, lining)?;
    let storage = &storage::of(vessels, id)?.storage;
    let stone = touching(sheet, basin, storage)?;
    let stones = Puncture {
        cushion: cushion(sheet, lining)?,
        protrusion: sheet.given("D", &stone.largest, &stone.place, "largest")? / 2.0,
        shape: shape(sheet, stone)?,
    };
    if let Some(why) = stones.outside() {
        return Err(Gap::NotComputed(why.to_owned()));
    }
    let why =
        "creep and chemistry each take a third off what the sheet withstands (1.5 each, common practice)";
    let reduction = sheet.assumed("RF", REDUCTION * REDUCTION, Kind::Ratio, why);
    let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
    let mut load = NOMINAL_DENSITY * (still - storage.floor());
    for layer in basin.layers.values().filter(|layer| layer.is_stone()) {
        // The water it stands in is counted above.
        let under_water = 1.0 - NOMINAL_DENSITY / STONE_DENSITY;
        let mass = sheet.figure("m_stone", &STONE_MASS, &layer.place)?;
        load += mass * under_water / storage.plan_area(still);
    }
    let allowed = sheet.worked("p_allowed", stones.allowed(reduction), Kind::Pressure);
    quantity(allowed / sheet.worked("p", load * STANDARD_GRAVITY, Kind::Pressure))
}

/// Whether the sheet is one that the method was made for.
fn fits(sheet: &mut Worksheet<'_>, lining: &Given<Lining>) -> Result<(), Gap> {
    let membrane = lining
        .membrane
        .given()
        .ok_or_else(|| missing(lining.place.child("membrane")))?;
    let elsewhere = || does_not_apply("the method was made for HDPE of 60 mil (1.5 mm) and more");
    if membrane.material.value() != Some(&Material::Hdpe) {
        return Err(elsewhere());
    }
    // 60 mil is 1.524 mm; sheets are sold by either number.
    if sheet.given("t", &membrane.thickness, &membrane.place, "thickness")? < SHEET {
        return Err(elsewhere());
    }
    Ok(())
}

/// The stone that lies on the sheet: the lowest layer, or the one round modules that cover less than the floor.
fn touching<'p>(
    sheet: &mut Worksheet<'_>,
    basin: &'p Given<Basin>,
    storage: &Storage,
) -> Result<&'p Given<Layer>, Gap> {
    for layer in basin.layers.values() {
        match layer.fill.value() {
            Some(Fill::Stone) => return Ok(layer),
            Some(Fill::Modules) => {
                let area = sheet.given("A_modules", &layer.area, &layer.place, "area")?;
                if area >= storage.plan_area(storage.floor()) {
                    break;
                }
            }
            Some(Fill::Fabric) => {}
            Some(Fill::Soil) => break,
            None => return Err(missing(layer.place.child("fill"))),
        }
    }
    Err(does_not_apply("no stone lies on the sheet"))
}

/// Mass of the cushion, kg/m².
fn cushion(sheet: &mut Worksheet<'_>, lining: &Given<Lining>) -> Result<f64, Gap> {
    match &lining.cushion {
        Shown::Is(cushion) => sheet.given("M", &cushion.mass, &cushion.place, "mass"),
        Shown::None(_) => Err(does_not_apply("the sheet has no cushion")),
        Shown::NotShown => Err(missing(lining.place.child("cushion"))),
    }
}

/// How hard stone of a shape presses, of what angular stone does.
fn shape(sheet: &mut Worksheet<'_>, stone: &Given<Layer>) -> Result<f64, Gap> {
    let shape = stone
        .shape
        .given()
        .ok_or_else(|| missing(stone.place.child("shape")))?;
    sheet.note_place("shape", &shape.place);
    Ok(match shape.value {
        StoneShape::Angular => 1.0,
        StoneShape::Subangular => 0.5,
        StoneShape::Round => 0.25,
    })
}
