//! What holds the edge of a basin, and whether the ground is dug for it.

use super::parts::given;
use crate::{
    ledger::{Answer, Definition, Found, Ledger, Scope, Worksheet, at_least, does_not_apply, not, yes},
    plan::{Basin, Given, Plan, Shown, Wall},
    quantity::FOOT,
    read::Place,
};

static EARTH_EDGE: Definition =
    Definition::verdict(Scope::Basins, "earth-edge", "edge of earth, which settles").by(
        "no poured or precast frame holds the sides; a basin that shows none has an edge of earth",
        "",
    );
static EARTH_BANK: Definition = Definition::verdict(
    Scope::Basins,
    "earth-bank",
    "bank of earth that holds the water above the ground",
)
.by(
    "no frame holds the sides, and no wall of the basin is as tall as its water stands above the ground",
    "",
);
static GROUND_DUG: Definition = Definition::verdict(
    Scope::Plan,
    "ground-dug",
    "ground that is dug, or levels set out from a mark",
)
.by(
    "an excavation is shown, or a basin reaches below the ground outside it",
    "",
);

static BANK_DESIGNED: Definition = Definition::verdict(
    Scope::Basins,
    "bank-designed",
    "bank that holds deep water above the ground designed by somebody named",
)
.by(
    "where a bank of earth holds water 3 ft (0.9 m) or more above the ground: the basin names who designed it",
    "h ≥ 3 ft (0.9 m)",
)
.from("NRCS Conservation Practice Standard 378, from memory");

pub(super) static DEFINITIONS: &[&Definition] = &[&EARTH_EDGE, &EARTH_BANK, &GROUND_DUG, &BANK_DESIGNED];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    ledger.enter(&GROUND_DUG, &Place::root(), |sheet| ground_dug(sheet, plan));
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&EARTH_EDGE, at, |sheet| {
            if framed(sheet, basin) {
                not("a frame holds its sides")
            } else {
                yes("no frame holds its sides")
            }
        });
        ledger.enter(&EARTH_BANK, at, |sheet| earth_bank(sheet, plan, id, basin));
        ledger.enter(&BANK_DESIGNED, at, |sheet| bank_designed(sheet, plan, id, basin));
    }
}

/// Whether a poured or precast frame holds the sides of a basin.
pub(super) fn framed(sheet: &mut Worksheet<'_>, basin: &Basin) -> bool {
    match &basin.frame {
        Shown::Is(frame) => {
            sheet.note_place("frame", &frame.place);
            true
        }
        Shown::None(place) => {
            sheet.note_place("frame", place);
            false
        }
        Shown::NotShown => false,
    }
}

fn bank_designed(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    if basin.impounded.given().is_none() {
        return Err(does_not_apply("no water is said to stand above the ground"));
    }
    let raised = sheet.given("h", &basin.impounded, at, "impounded")?;
    if !at_least(raised, 3.0 * FOOT) {
        return Err(does_not_apply(
            "the water stands less than 3 ft (0.9 m) above the ground",
        ));
    }
    let (bank, _) = sheet.aside(|sheet| earth_bank(sheet, plan, id, basin));
    if !matches!(bank, Ok(Found::Verdict { holds: true, .. })) {
        return Err(does_not_apply("no bank of earth holds it"));
    }
    given(
        sheet,
        &basin.engineer,
        at,
        "engineer",
        "nobody is named who designed the bank that holds the water above the ground",
    )
}

fn earth_bank(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    if framed(sheet, basin) {
        return not("a frame holds its sides");
    }
    let Shown::Is(impounded) = &basin.impounded else {
        return yes("no frame holds its sides");
    };
    let tall = |wall: &&Given<Wall>| {
        let here = wall.basin.value().is_some_and(|at| at == id);
        here && wall
            .height
            .value()
            .is_some_and(|height| at_least(height.0, impounded.value.0))
    };
    match plan.walls.values().find(tall) {
        Some(wall) => {
            sheet.note_place("wall", &wall.place);
            not("a wall as tall as the water stands above the ground holds it")
        }
        None => yes("no frame and no wall holds it"),
    }
}

/// A container on the ground is dug for nowhere; any other basin lies in the ground, at least in part.
fn ground_dug(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    if let Some(dig) = plan.excavations.values().next() {
        sheet.note_place("excavation", &dig.place);
        return yes("an excavation is shown");
    }
    let stands = |basin: &Given<Basin>| match (&basin.impounded, &basin.still, &basin.floor) {
        (Shown::Is(impounded), Shown::Is(still), Shown::Is(floor)) => {
            at_least(impounded.value.0, still.value.0 - floor.value.0)
        }
        _ => false,
    };
    match plan.basins.values().find(|basin| !stands(basin)) {
        Some(basin) => {
            sheet.note_place("impounded", &basin.place.child("impounded"));
            yes("a basin reaches below the ground, or does not say that it stands on it")
        }
        None if plan.basins.is_empty() => yes("no basin is shown that would stand on the ground"),
        None => not("every basin stands on the ground"),
    }
}
