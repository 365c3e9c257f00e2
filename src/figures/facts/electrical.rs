//! Electrical work: what stands near the water and above it.

use super::{
    parts::{Measured, all, any, part, said},
    pumps,
};
use crate::{
    figures::levels::{DRAIN_BACK_LEVEL, MAKE_UP_STUCK_LEVEL, POWER_OFF_LEVEL, RUNNING_LEVEL, STORM_LEVEL},
    ledger::{
        Answer, Aside, Definition, Gap, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply,
        greatest, missing, no, quantity,
    },
    plan::{Basin, Circuit, Given, Load, Plan, Pump, Shown},
    quantity::{FOOT, INCH, Kind},
    read::Place,
};

static DISCONNECT_IN_SIGHT: Definition = Definition::verdict(
    Scope::Circuits,
    "disconnect-in-sight",
    "disconnect in sight, away from the water",
)
.by(
    "in sight of the equipment, and 5 ft (1.5 m) or more from the water; not for lighting",
    "",
);
static NEAR_WATER: Definition = Definition::verdict(Scope::Circuits, "near-water", "circuit near the water")
    .by(
        "what it feeds, or its receptacle, stands within 20 ft (6 m) of the water",
        "",
    );
static GEAR_ABOVE_WATER: Definition = Definition::quantity(
    Scope::Circuits,
    "gear-above-water",
    "gear above the highest water beside it",
    Kind::Length,
)
.by(
    "level of the gear less the highest level of the basin beside it: the one its circuit names, else those that the \
     pumps on the circuit draw from, else the only one; still, running, after power-off, and, where they are computed, \
     in the design storm, after draining back and with make-up stuck open, these up to the rim, where the water runs off",
    "d = z_gear − z_highest",
);
/// Least height of gear over the water beside it, m.
const GEAR_CLEARANCE: f64 = 8.0 * INCH;

pub(super) static DEFINITIONS: &[&Definition] = &[&DISCONNECT_IN_SIGHT, &NEAR_WATER, &GEAR_ABOVE_WATER];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let circuits = plan.electrical.value().map(|electrical| &electrical.circuits);
    for circuit in circuits.into_iter().flat_map(|circuits| circuits.values()) {
        let at = &circuit.place;
        ledger.enter(&DISCONNECT_IN_SIGHT, at, |sheet| {
            disconnect_in_sight(sheet, circuit)
        });
        ledger.enter(&NEAR_WATER, at, |sheet| near_water(sheet, circuit));
        ledger.enter(&GEAR_ABOVE_WATER, at, |sheet| {
            gear_above_water(sheet, plan, circuit)
        });
    }
}

fn disconnect_in_sight(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Answer {
    if let Shown::Is(load) = &circuit.load
        && load.value == Load::Lighting
    {
        sheet.note_place("load", &load.place);
        return Err(does_not_apply("it feeds lighting, which needs none in sight"));
    }
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
        |a| at_least(a, 1.5),
        "the disconnect is nearer to the water than 5 ft (1.5 m)",
    );
    all("in sight, and away from the water", [in_sight, away])
}

/// Whichever is nearer decides: a pump far off may be plugged in beside the water.
fn near_water(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Answer {
    let near = |symbol, value, field| Measured {
        symbol,
        value,
        object: &circuit.place,
        field,
    };
    let within = |a: f64| at_most(a, 20.0 * FOOT);
    let far = "farther from the water than 20 ft (6 m)";
    let fed = near("a", &circuit.distance, "distance").passes(sheet, within, far);
    let receptacle = near("a_receptacle", &circuit.receptacle, "receptacle").passes(sheet, within, far);
    any([fed, receptacle])
}

fn gear_above_water(sheet: &mut Worksheet<'_>, plan: &Plan, circuit: &Given<Circuit>) -> Answer {
    let gear = sheet.given("z_gear", &circuit.gear_level, &circuit.place, "gear_level")?;
    let beside = basins_beside(sheet, plan, circuit)?;
    let levels: Vec<_> = beside
        .into_iter()
        .flat_map(|basin| levels_of(sheet, basin))
        .collect();
    let short = |level: f64| !at_least(gear - level, GEAR_CLEARANCE);
    let highest = greatest(sheet, levels, short)?;
    quantity(gear - highest.ok_or_else(|| missing(Place::root().child("basins")))?)
}

/// The basins whose water can reach the gear of a circuit. What spills from a basin that stands higher runs down the
/// ground past it and does not stand there.
fn basins_beside<'p>(
    sheet: &mut Worksheet<'_>,
    plan: &'p Plan,
    circuit: &Given<Circuit>,
) -> Result<Vec<&'p Given<Basin>>, Gap> {
    if let Shown::Is(id) = &circuit.basin {
        sheet.note_place("basin", &id.place);
        return Ok(plan.basins.get(&id.value).into_iter().collect());
    }
    let fed = |(id, pump): (&String, &Given<Pump>)| {
        let on_it = pumps::circuits_of(plan, id, pump);
        on_it.iter().any(|one| one.place == circuit.place)
    };
    let pumps: Vec<_> = plan.pumps.iter().filter(|&(id, pump)| fed((id, pump))).collect();
    let drawn_from = plan
        .basins
        .iter()
        .filter(|(id, _)| pumps.iter().any(|(_, pump)| pump.draws_from(id)));
    let beside: Vec<_> = drawn_from.map(|(_, basin)| basin).collect();
    match beside.as_slice() {
        [] if plan.basins.len() > 1 => Err(missing(circuit.place.child("basin"))),
        [] => Ok(plan.basins.values().collect()),
        _ => Ok(beside),
    }
}

/// The levels that a basin can stand at: those it must have, and those of the failures that are computed.
fn levels_of(sheet: &Worksheet<'_>, basin: &Given<Basin>) -> Vec<Aside> {
    const SYMBOL: &str = "z_highest";
    let at = &basin.place;
    let normal =
        [&RUNNING_LEVEL, &POWER_OFF_LEVEL].map(|level| sheet.aside(|sheet| sheet.figure(SYMBOL, level, at)));
    let failures = [&STORM_LEVEL, &DRAIN_BACK_LEVEL, &MAKE_UP_STUCK_LEVEL].map(|level| {
        let level = sheet.aside(|sheet| sheet.figure(SYMBOL, level, at));
        let rim = sheet.aside(|sheet| sheet.given(SYMBOL, &basin.rim, at, "rim"));
        match (&level.0, &rim.0) {
            (Ok(level), Ok(top)) if level > top => rim,
            _ => level,
        }
    });
    let still = sheet.aside(|sheet| sheet.given(SYMBOL, &basin.still, at, "still"));
    let computed = failures.into_iter().filter(|(level, _)| level.is_ok());
    [still].into_iter().chain(normal).chain(computed).collect()
}
