//! How evenly the stone of a bed spreads what comes in below it.

use super::{direction::rises, passage::HEAD_LOSS};
use crate::{
    figures::{levels::THROUGH_FLOW, pumping::runs::RUN_VELOCITY},
    formulas::pipe,
    hydraulics::layers,
    hydraulics::storage::{self, Storages},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Basin, Fill, Given, Layer, Plan, Shown, connections::runs_into},
    quantity::Kind,
};

static INFLOW_HEAD_RATIO: Definition = Definition::quantity(
    Scope::Basins,
    "inflow-head-ratio",
    "velocity head of the inflow as a multiple of the head lost in the stone",
    Kind::Ratio,
)
.by(
    "velocity head of the water as it crosses the modules, or of the jet from the pipe where nothing spreads it, \
    divided by the head loss in the clean stone: the less, the more evenly the stone is fed over its surface",
    "r = v² / (2·g·h)",
)
.from("practice for manifolds and perforated pipes, even to about 5 % where the ratio is at most a tenth (from memory)")
.within("steady upflow in clean stone, the layers level and alike all over");

pub(crate) static DEFINITIONS: &[&Definition] = &[&INFLOW_HEAD_RATIO];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    ledger.enter(&INFLOW_HEAD_RATIO, &basin.place, |sheet| {
        rises(basin)?;
        let velocity = match basin.inlet.given().map(|inlet| (&inlet.distribution, inlet)) {
            Some((Shown::None(place), _)) => {
                sheet.note_place("distribution", place);
                jet(sheet, plan, id)?
            }
            Some((Shown::Is(how), _)) => {
                sheet.note_place("distribution", &how.place);
                crossing(sheet, vessels, id, basin)?
            }
            Some((Shown::NotShown, inlet)) => {
                return Err(missing(inlet.place.child("distribution")));
            }
            None => return Err(missing(basin.place.child("inlet"))),
        };
        let lost = sheet.figure("h", &HEAD_LOSS, &basin.place)?;
        if lost <= 0.0 {
            return Err(does_not_apply("no head is lost in the stone"));
        }
        quantity(pipe::velocity_head(velocity) / lost)
    });
}

/// Velocity of the fastest jet that lines send into the bed, m/s.
fn jet(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str) -> Result<f64, Gap> {
    let mut fastest: Option<f64> = None;
    for run in runs_into(plan, id) {
        let velocity = sheet.figure("v", &RUN_VELOCITY, &run.place)?.abs();
        fastest = Some(fastest.map_or(velocity, |fastest| fastest.max(velocity)));
    }
    fastest.ok_or_else(|| does_not_apply("no line feeds the bed"))
}

/// Velocity of the water as it crosses the modules from one side, m/s.
fn crossing(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
) -> Result<f64, Gap> {
    let modules = layers(basin)?.into_iter();
    let mut modules = modules.filter(|layer| layer.fill.value() == Some(&Fill::Modules));
    let modules = modules.next().ok_or_else(|| {
        does_not_apply("pipes laid in stone spread the water: no modules let it cross freely")
    })?;
    let thickness = sheet.given("t", &modules.thickness, &modules.place, "thickness")?;
    let voids = storage::porosity(sheet, modules)?;
    let area = area(sheet, vessels, id, modules)?;
    let flow = sheet.figure("Q", &THROUGH_FLOW, &basin.place)?;
    let why = "all the water of a bed crosses its modules from one side, and they lie in a square";
    let velocity = flow / (area.sqrt() * thickness * voids);
    Ok(sheet.assumed("v", velocity, Kind::Velocity, why))
}

/// Plan area of the modules, m²: as given, else the floor of the bed.
fn area(sheet: &mut Worksheet<'_>, vessels: &Storages, id: &str, modules: &Given<Layer>) -> Result<f64, Gap> {
    if matches!(modules.area, Shown::NotShown) {
        let storage = &storage::of(vessels, id)?.storage;
        let why = "modules whose area is not shown cover the floor of the bed";
        let floor = storage.plan_area(storage.floor());
        return Ok(sheet.assumed("A_modules", floor, Kind::Area, why));
    }
    sheet.given("A_modules", &modules.area, &modules.place, "area")
}
