//! Branch circuits: the voltage that is lost on the way.

use crate::{
    formulas::conductor::Conductor,
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, missing, quantity},
    plan::{Circuit, Given, Plan},
    quantity::Kind,
};

static VOLTAGE_DROP: Definition =
    Definition::quantity(Scope::Circuits, "voltage-drop", "voltage drop", Kind::Share)
        .by(
            "running current times the resistance there and back, in ohm, divided by the voltage",
            "ΔV/V = 2·I·R / V",
        )
        .from(
            "gauges by ASTM B258 with the resistivity of annealed copper by IEC 60028; copper in mm² by IEC 60228 and \
             aluminum, both from memory",
        )
        .within("single phase; stranded wire at 75 °C; reactance left out");

pub(super) static DEFINITIONS: &[&Definition] = &[&VOLTAGE_DROP];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let circuits = plan.electrical.value().map(|electrical| &electrical.circuits);
    for circuit in circuits.into_iter().flat_map(|circuits| circuits.values()) {
        ledger.enter(&VOLTAGE_DROP, &circuit.place, |sheet| {
            voltage_drop(sheet, circuit)
        });
    }
}

fn voltage_drop(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Answer {
    let at = &circuit.place;
    let voltage = sheet.given("V", &circuit.voltage, at, "voltage")?;
    let current = sheet.given("I", &circuit.current, at, "current")?;
    let length = sheet.given("L", &circuit.length, at, "length")?;
    let written = circuit
        .conductor
        .given()
        .ok_or_else(|| missing(at.child("conductor")))?;
    sheet.note_place("conductor", &written.place);
    let conductor = Conductor::parse(&written.value).ok_or_else(|| {
        Gap::NotComputed(
            "the conductor names no size, such as \"12 AWG copper\", \"2.5 mm2\" or \"3G1.5 mm²\"".to_owned(),
        )
    })?;
    sheet.worked("R", conductor.resistance(length), Kind::Ratio);
    quantity(conductor.drop_share(length, current, voltage))
}
