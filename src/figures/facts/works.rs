//! Electrical work and planting.

use super::{
    super::{
        definition::{Definition, Scope},
        ledger::{Answer, Ledger, Sheet, quantity},
        levels::{POWER_OFF_LEVEL, RUNNING_LEVEL},
    },
    FOOT,
    parts::{Measured, all, at_least, missing, no, part, said},
};
use crate::{
    plan::{Circuit, Given, Plan, Shown},
    quantity::Kind,
    read::Place,
};

static DISCONNECT_IN_SIGHT: Definition = Definition::verdict(
    Scope::Circuits,
    "disconnect-in-sight",
    "disconnect in sight, away from the water",
)
.by(
    "in sight of the equipment, and 5 ft (1.5 m) or more from the water",
    "",
);
static GEAR_ABOVE_WATER: Definition = Definition::quantity(
    Scope::Circuits,
    "gear-above-water",
    "gear above the highest water",
    Kind::Length,
)
.by(
    "level of the gear less the highest still, running or power-off level of a basin that a pump draws from",
    "d = z_gear − max(z_still, z_running, z_power-off)",
);
static PLANTING_DENSITY: Definition = Definition::quantity(
    Scope::Plan,
    "planting-density",
    "plants per planted area",
    Kind::PerArea,
)
.by("plants of every species over the planted area", "n = ΣN / A");

pub(super) static DEFINITIONS: &[&Definition] = &[&DISCONNECT_IN_SIGHT, &GEAR_ABOVE_WATER, &PLANTING_DENSITY];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let circuits = plan.electrical.value().map(|electrical| &electrical.circuits);
    for circuit in circuits.into_iter().flat_map(|circuits| circuits.values()) {
        let at = &circuit.place;
        ledger.enter(&DISCONNECT_IN_SIGHT, at, |sheet| {
            disconnect_in_sight(sheet, circuit)
        });
        ledger.enter(&GEAR_ABOVE_WATER, at, |sheet| {
            gear_above_water(sheet, plan, circuit)
        });
    }
    ledger.enter(&PLANTING_DENSITY, &Place::root(), |sheet| {
        planting_density(sheet, plan)
    });
}

fn disconnect_in_sight(sheet: &mut Sheet<'_>, circuit: &Given<Circuit>) -> Answer {
    if let Shown::None(place) = &circuit.disconnect {
        return no("there is no disconnect", place);
    }
    let disconnect = part(&circuit.disconnect, &circuit.place, "disconnect")?;
    let at = &disconnect.place;
    let in_sight = said(
        sheet,
        &disconnect.in_sight,
        at,
        "in_sight",
        "the disconnect is out of sight",
    );
    let distance = Measured {
        symbol: "a",
        value: &disconnect.distance,
        object: at,
        field: "distance",
    };
    let away = distance.passes(
        sheet,
        |a| at_least(a, 5.0 * FOOT),
        "the disconnect is nearer to the water than 5 ft (1.5 m)",
    );
    all("in sight, and away from the water", [in_sight, away])
}

fn gear_above_water(sheet: &mut Sheet<'_>, plan: &Plan, circuit: &Given<Circuit>) -> Answer {
    let gear = sheet.given("z_gear", &circuit.gear_level, &circuit.place, "gear_level")?;
    if plan.pumps.is_empty() {
        return Err(missing(Place::root().child("pumps")));
    }
    let mut highest = f64::NEG_INFINITY;
    for pump in plan.pumps.values() {
        let id = part(&pump.basin, &pump.place, "basin")?;
        let place = Plan::basin_place(&id.value);
        let basin = plan.basins.get(&id.value).ok_or_else(|| missing(place.clone()))?;
        let still = sheet.given("z_still", &basin.still, &place, "still")?;
        let running = sheet.figure("z_running", &RUNNING_LEVEL, &place)?;
        let power_off = sheet.figure("z_power-off", &POWER_OFF_LEVEL, &place)?;
        highest = highest.max(still).max(running).max(power_off);
    }
    quantity(gear - highest)
}

fn planting_density(sheet: &mut Sheet<'_>, plan: &Plan) -> Answer {
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
