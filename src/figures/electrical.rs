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

static CONDUCTOR_RATING: Definition = Definition::quantity(
    Scope::Circuits,
    "conductor-rating",
    "greatest current that the conductor may carry",
    Kind::Current,
)
.by(
    "copper 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A; 1.5 mm² 16 A, 2.5 mm² 20 A, 4 mm² 25 A, 6 mm² 32 A; larger by the tables",
    "I_max",
)
.from("NFPA 70, 240.4(D), read in a copy, and 310.16, from memory; metric sizes as usual in buildings")
.within("copper in a usual size, from 18 AWG (0.75 mm²)");

pub(super) static DEFINITIONS: &[&Definition] = &[&VOLTAGE_DROP, &CONDUCTOR_RATING];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let circuits = plan.electrical.value().map(|electrical| &electrical.circuits);
    for circuit in circuits.into_iter().flat_map(|circuits| circuits.values()) {
        ledger.enter(&VOLTAGE_DROP, &circuit.place, |sheet| {
            voltage_drop(sheet, circuit)
        });
        ledger.enter(&CONDUCTOR_RATING, &circuit.place, |sheet| {
            let most = conductor_of(sheet, circuit)?.greatest_current();
            quantity(most.ok_or_else(|| {
                Gap::NotComputed("no rating is kept for a conductor of this size or metal".to_owned())
            })?)
        });
    }
}

fn voltage_drop(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Answer {
    let at = &circuit.place;
    let voltage = sheet.given("V", &circuit.voltage, at, "voltage")?;
    let current = sheet.given("I", &circuit.current, at, "current")?;
    let length = sheet.given("L", &circuit.length, at, "length")?;
    let conductor = conductor_of(sheet, circuit)?;
    sheet.worked("R", conductor.resistance(length), Kind::Ratio);
    quantity(conductor.drop_share(length, current, voltage))
}

fn conductor_of(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Result<Conductor, Gap> {
    let at = &circuit.place;
    let written = circuit
        .conductor
        .given()
        .ok_or_else(|| missing(at.child("conductor")))?;
    sheet.note_place("conductor", &written.place);
    Conductor::parse(&written.value).ok_or_else(|| {
        Gap::NotComputed(
            "the conductor names no size, such as \"12 AWG copper\", \"2.5 mm2\" or \"3G1.5 mm²\"".to_owned(),
        )
    })
}
