//! Circuits at the water: protection, bonding, cables in the ground, pumps where people bathe.

use super::{
    parts::{all, given, noted, part, said},
    pumps,
};
use crate::{
    ledger::{
        Answer, Definition, Gap, Ledger, Scope, Worksheet, at_most, does_not_apply, missing, no, quantity,
        stated, yes,
    },
    plan::{Basin, CableLaid, Circuit, Given, Mount, Plan, Pump, Shown},
    quantity::{FOOT, INCH, Kind},
    read::Place,
};

static GROUND_FAULT_PROTECTED: Definition = Definition::verdict(
    Scope::Circuits,
    "ground-fault-protected",
    "ground-fault protection, or isolated low voltage",
)
.by(
    "a ground-fault device protects it, or 15 V or less come from an isolating transformer, a battery or a solar panel",
    "",
);
static METAL_BONDED: Definition = Definition::verdict(
    Scope::Plan,
    "metal-bonded",
    "metal and equipment at the water bonded",
)
.by(
    "a bonding detail is given; not where no metal stands at the water",
    "",
);
static CABLE_COVER_NEEDED: Definition = Definition::quantity(
    Scope::Circuits,
    "cable-cover-needed",
    "cover that the cable needs: 6, 12, 18 or 24 in (150, 300, 450 or 600 mm)",
    Kind::Length,
)
.by(
    "30 V or less, or metal conduit 6 in (150 mm); 120 V or less behind a ground-fault device 12 in (300 mm); plastic \
     conduit 18 in (450 mm); direct burial 24 in (600 mm)",
    "c",
)
.from("NFPA 70, table 300.5, in a copy")
.within("outside buildings, away from drives and streets; 12 in for circuits of 20 A or less");
static RECEPTACLE_CLEARANCE: Definition = Definition::quantity(
    Scope::Circuits,
    "receptacle-clearance",
    "distance that keeps a plug out of reach: 6 ft (1.8 m), in SI plans 2 m (6.6 ft)",
    Kind::Length,
)
.by(
    "6 ft (1.8 m) by the US rules for pools; where the plan’s units are SI, 2 m (6.6 ft), the end of zone 1 by IEC 60364-7-702",
    "a",
)
.from("NFPA 70, 680.22(A), in a copy; BS 7671 section 702, in a summary");
static BATHING_PUMP_SAFE: Definition = Definition::verdict(
    Scope::Basins,
    "bathing-pump-safe",
    "no mains voltage in water where people bathe",
)
.by(
    "no pump in the water, or each on 12 V or less from an isolated supply",
    "",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &GROUND_FAULT_PROTECTED,
    &METAL_BONDED,
    &CABLE_COVER_NEEDED,
    &RECEPTACLE_CLEARANCE,
    &BATHING_PUMP_SAFE,
];

/// Highest voltage that an isolated supply may give without ground-fault protection, V.
const LOW_CONTACT_VOLTAGE: f64 = 15.0;
/// The same for direct current, V.
const LOW_CONTACT_DIRECT: f64 = 30.0;
/// Highest voltage in water where people bathe, V.
const BATHING_VOLTAGE: f64 = 12.0;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for circuit in pumps::circuits(plan) {
        let at = &circuit.place;
        ledger.enter(&GROUND_FAULT_PROTECTED, at, |sheet| {
            ground_fault_protected(sheet, circuit)
        });
        ledger.enter(&RECEPTACLE_CLEARANCE, at, |sheet| {
            receptacle_clearance(sheet, plan, circuit)
        });
        ledger.enter(&CABLE_COVER_NEEDED, at, |sheet| {
            cable_cover_needed(sheet, circuit)
        });
    }
    ledger.enter(&METAL_BONDED, &Place::root(), |sheet| metal_bonded(sheet, plan));
    for (id, basin) in &plan.basins {
        ledger.enter(&BATHING_PUMP_SAFE, &basin.place, |sheet| {
            bathing_pump_safe(sheet, plan, id, basin)
        });
    }
}

/// The voltage, where the plan shows one no higher than a limit.
fn no_higher(circuit: &Circuit, limit: f64) -> Option<f64> {
    let voltage = circuit.voltage.value()?.0;
    at_most(voltage, limit).then_some(voltage)
}

/// Only a circuit that shows low voltage is asked whether its supply is isolated.
fn ground_fault_protected(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Answer {
    let at = &circuit.place;
    let protected = said(
        sheet,
        &circuit.ground_fault,
        at,
        "ground_fault",
        "no ground-fault device protects it",
    );
    if protected == yes("said so") || no_higher(circuit, LOW_CONTACT_DIRECT).is_none() {
        return protected;
    }
    let voltage = sheet.given("V", &circuit.voltage, at, "voltage")?;
    if !at_most(voltage, LOW_CONTACT_VOLTAGE) {
        let place = at.child("direct_current");
        let direct = circuit
            .direct_current
            .yes()
            .ok_or_else(|| missing(place.clone()))?;
        sheet.note_place("direct_current", &place);
        if !direct {
            return protected;
        }
    }
    match circuit.isolated.yes() {
        None => Err(missing(at.child("isolated"))),
        Some(true) => {
            sheet.note_place("isolated", &at.child("isolated"));
            yes("low voltage from an isolated supply")
        }
        Some(false) => {
            sheet.note_place("isolated", &at.child("isolated"));
            protected
        }
    }
}

fn metal_bonded(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let electrical = part(&plan.electrical, &Place::root(), "electrical")?;
    let at = &electrical.place;
    let bonded = given(
        sheet,
        &electrical.bonding,
        at,
        "bonding",
        "nothing bonds the metal at the water",
    );
    if electrical.metal.yes() == Some(false) && electrical.bonding.given().is_none() {
        sheet.note_place("metal", &at.child("metal"));
        return Err(does_not_apply("no metal stands at the water"));
    }
    bonded
}

/// Cover as the table gives it in either system, m: 6, 12, 18 and 24 in, or 150, 300, 450 and 600 mm.
fn table_cover(steps: f64) -> Answer {
    stated(6.0 * INCH * steps, 0.150 * steps)
}

fn receptacle_clearance(sheet: &mut Worksheet<'_>, plan: &Plan, circuit: &Given<Circuit>) -> Answer {
    let receptacle = part(&circuit.receptacle, &circuit.place, "receptacle")?;
    sheet.note_place("receptacle", &receptacle.place);
    quantity(if plan.is_in_si() { 2.0 } else { 6.0 * FOOT })
}

fn cable_cover_needed(sheet: &mut Worksheet<'_>, circuit: &Given<Circuit>) -> Answer {
    let buried = part(&circuit.buried, &circuit.place, "buried")?;
    if let (Some(_), Shown::Is(voltage)) = (no_higher(circuit, 30.0), &circuit.voltage) {
        sheet.note_given("V", voltage);
        return table_cover(1.0);
    }
    let laid = noted(sheet, &buried.laid, &buried.place, "laid")?;
    let plain = match laid.value {
        CableLaid::MetalConduit => 1.0,
        CableLaid::PlasticConduit => 3.0,
        CableLaid::DirectBurial => 4.0,
    };
    let guarded = circuit.ground_fault.yes() == Some(true);
    let steps: f64 = match &circuit.voltage {
        Shown::Is(voltage) if guarded && no_higher(circuit, 120.0).is_some() => {
            sheet.note_given("V", voltage);
            sheet.note_place("ground_fault", &circuit.place.child("ground_fault"));
            f64::min(plain, 2.0)
        }
        _ => plain,
    };
    table_cover(steps)
}

fn bathing_pump_safe(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let bathing = basin.place.child("bathing");
    match basin.bathing.yes() {
        None => return Err(missing(bathing)),
        Some(false) => return Err(does_not_apply("nobody bathes in it")),
        Some(true) => sheet.note_place("bathing", &bathing),
    }
    let here = plan.pumps.iter().filter(|(_, pump)| pump.draws_from(id));
    let mut parts = Vec::new();
    for (pump_id, pump) in here {
        let mount = noted(sheet, &pump.mount, &pump.place, "mount")?;
        if mount.value == Mount::Submerged {
            parts.push(fed_safely(sheet, plan, pump_id, pump));
        }
    }
    if parts.is_empty() {
        return Err(does_not_apply("no pump stands in it"));
    }
    all("every pump in it runs on isolated low voltage", parts)
}

/// Whether a pump in the water runs on isolated low voltage.
fn fed_safely(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, pump: &Given<Pump>) -> Answer {
    let feeding = pumps::circuits_of(plan, id, pump);
    if feeding.is_empty() {
        let silent = pumps::silent_circuits(plan);
        return Err(if silent.is_empty() {
            missing(Place::root().child("electrical"))
        } else {
            Gap::NotShown(silent)
        });
    }
    let mut parts = Vec::new();
    for circuit in feeding {
        let at = &circuit.place;
        let voltage = sheet.given("V", &circuit.voltage, at, "voltage")?;
        parts.push(if at_most(voltage, BATHING_VOLTAGE) {
            said(
                sheet,
                &circuit.isolated,
                at,
                "isolated",
                "the supply of a pump in the water is not isolated",
            )
        } else {
            no("a pump in the water runs on more than 12 V", &at.child("voltage"))
        });
    }
    all("it runs on isolated low voltage", parts)
}
