//! Digs: the soil that comes out of them.

use super::uplift::ground_outside;
use crate::{
    formulas::storage::{Bank, Outline, Profile, Storage},
    hydraulics::storage::{self, Storages},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Basin, Excavation, Form, Given, Plan, Protection, Shown},
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

static BACKFILL: Definition = Definition::quantity(
    Scope::Excavations,
    "backfill-volume",
    "backfill between dig and lining",
    Kind::BulkVolume,
)
.by(
    "the dig with its sloped sides over the floor of the basin, less the basin, both below the ground outside",
    "V = V_dig − V_out",
)
.within("sides that slope from the edge of the floor; bowls and surveyed contours are not worked out");
static LOOSE_BACKFILL: Definition = Definition::quantity(
    Scope::Excavations,
    "backfill-loose-volume",
    "loose volume of the backfill",
    Kind::BulkVolume,
)
.by(
    "backfill in place, and what soil takes more room while it is loose",
    "V = V_fill·(1 + β)",
)
.within("as for the backfill");

pub(super) static DEFINITIONS: &[&Definition] = &[&SPOIL, &HEAP, &BACKFILL, &LOOSE_BACKFILL];

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
        ledger.enter(&BACKFILL, &dig.place, |sheet| backfill(sheet, plan, vessels, dig));
        ledger.enter(&LOOSE_BACKFILL, &dig.place, |sheet| {
            let volume = sheet.figure("V_fill", &BACKFILL, &dig.place)?;
            let why = "loose soil takes a quarter more room than in place (common practice)";
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
    let (id, basin) = basin_of(plan, dig)?;
    let vessel = storage::of(vessels, id)?;
    sheet.share(&vessel.inputs);
    let ground = ground_outside(sheet, basin)?;
    Ok(vessel.storage.plan_volume(ground))
}

/// The basin that a dig is for.
fn basin_of<'p>(plan: &'p Plan, dig: &Given<Excavation>) -> Result<(&'p String, &'p Given<Basin>), Gap> {
    let basin = dig.basin.value().and_then(|id| plan.basins.get_key_value(id));
    basin.ok_or_else(|| missing(dig.place.child("basin")))
}

fn backfill(sheet: &mut Worksheet<'_>, plan: &Plan, vessels: &Storages, dig: &Given<Excavation>) -> Answer {
    match dig.protection.value() {
        Some(Protection::Sloped) => {}
        Some(_) => return Err(does_not_apply("the sides of the dig do not slope")),
        None => return Err(missing(dig.place.child("protection"))),
    }
    let (_, basin) = basin_of(plan, dig)?;
    let inside = dug(sheet, plan, vessels, dig)?;
    let outside = sloped(sheet, basin, dig)?;
    if outside <= inside {
        return Err(does_not_apply(
            "the basin’s own sides are as flat as those of the dig",
        ));
    }
    let outside = sheet.worked("V_dig", outside, Kind::BulkVolume);
    quantity(outside - sheet.worked("V_out", inside, Kind::BulkVolume))
}

/// Volume of a dig whose sides slope up from the edge of the basin’s floor to the ground outside, m³.
fn sloped(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, dig: &Given<Excavation>) -> Result<f64, Gap> {
    let odd = || Gap::NotComputed("worked out for rectangles, ellipses and circles".to_owned());
    let (Shown::NotShown, Some(shape)) = (&basin.contours, basin.shape.given()) else {
        return Err(odd());
    };
    let outline = match shape.form.value() {
        Some(Form::Rectangle) => Outline::Rectangle,
        Some(Form::Ellipse | Form::Circle) => Outline::Ellipse,
        _ => return Err(odd()),
    };
    let floor = sheet.given("z_floor", &basin.floor, &basin.place, "floor")?;
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let slope = sheet.given("s", &shape.side_slope, &shape.place, "side_slope")?;
    let mut taken = slope * (rim - floor);
    for shelf in shape.shelves.values() {
        taken += sheet.given("w_shelf", &shelf.width, &shelf.place, "width")?;
    }
    let length = sheet.given("L", &shape.length, &shape.place, "length")?;
    let width = if shape.form.value() == Some(&Form::Circle) {
        length
    } else {
        sheet.given("W", &shape.width, &shape.place, "width")?
    };
    let bank = Bank {
        height: ground_outside(sheet, basin)? - floor,
        slope: sheet.given("s_dig", &dig.slope, &dig.place, "slope")?,
        shelf: 0.0,
    };
    let profile = Profile::from_floor(outline, floor, length - 2.0 * taken, width - 2.0 * taken, &[bank]);
    let profile = profile.map_err(|error| Gap::NotComputed(error.to_string()))?;
    Ok(Storage::open(&profile).plan_volume(floor + bank.height))
}
