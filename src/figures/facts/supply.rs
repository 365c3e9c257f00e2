//! The water supply: make-up and standing tanks.

use super::parts::{Measured, all, any, given, noted, part, said};
use crate::{
    ledger::{
        Answer, Definition, Gap, Ledger, Scope, Worksheet, at_least, does_not_apply, missing, no, stated, yes,
    },
    plan::{Backflow, Given, MakeUp, Plan, Shown},
    quantity::{INCH, Kind, both_trade_lengths},
    read::Place,
};

static AIR_GAP_NEEDED: Definition = Definition::quantity(
    Scope::Plan,
    "air-gap-needed",
    "twice the spout’s bore, three times close to a wall, and 1 in (25 mm) at least",
    Kind::Length,
)
.by(
    "twice the bore of the outlet, three times near a wall, and 1 in (25 mm) at least",
    "g = max(g_min, n·d), n = 2 or 3",
);
static BREAKER_HIGH_ENOUGH: Definition = Definition::verdict(
    Scope::Plan,
    "breaker-high-enough",
    "vacuum breaker high enough over the rim",
)
.by(
    "over the rim of the basin it fills: atmospheric type 6 in (150 mm), pressure type 12 in (300 mm)",
    "z_breaker − z_rim",
);
static TANKS_STOOD: Definition = Definition::verdict(
    Scope::Plan,
    "tanks-stood",
    "fill water stood and aerated for a day",
)
.by("stood 24 h or more, with air blown through", "");
static FILL_TREATED_OR_STOOD: Definition = Definition::verdict(
    Scope::Plan,
    "fill-treated-or-stood",
    "fill water treated, or stood and aerated for a day",
)
.by(
    "a dechlorinator is given, or the standing tanks stood 24 h or more with air blown through",
    "",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &AIR_GAP_NEEDED,
    &BREAKER_HIGH_ENOUGH,
    &TANKS_STOOD,
    &FILL_TREATED_OR_STOOD,
];

/// A day, s.
const DAY: f64 = 86_400.0;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let root = Place::root();
    ledger.enter(&AIR_GAP_NEEDED, &root, |sheet| air_gap_needed(sheet, plan));
    ledger.enter(&BREAKER_HIGH_ENOUGH, &root, |sheet| {
        breaker_high_enough(sheet, plan)
    });
    ledger.enter(&TANKS_STOOD, &root, |sheet| tanks_stood(sheet, plan));
    ledger.enter(&FILL_TREATED_OR_STOOD, &root, |sheet| {
        fill_treated_or_stood(sheet, plan)
    });
}

fn make_up(plan: &Plan) -> Result<&Given<MakeUp>, Gap> {
    let water = part(&plan.water, &Place::root(), "water")?;
    part(&water.make_up, &water.place, "make_up")
}

fn air_gap_needed(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let make_up = make_up(plan)?;
    let at = &make_up.place;
    let bore = sheet.given("d", &make_up.outlet_bore, at, "outlet_bore")?;
    let near_wall = at.child("near_wall");
    let bores = match make_up.near_wall.yes() {
        None => return Err(missing(near_wall)),
        Some(true) => 3.0,
        Some(false) => 2.0,
    };
    sheet.note_place("n", &near_wall);
    let least = sheet.worked("g_min", INCH, Kind::Length);
    stated((bores * bore).max(least), (bores * bore).max(0.025))
}

fn breaker_high_enough(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let make_up = make_up(plan)?;
    let at = &make_up.place;
    let device = noted(sheet, &make_up.backflow, at, "backflow")?;
    let (needed, required) = match device.value {
        Backflow::AtmosphericVacuumBreaker => (0.150, "an atmospheric type needs 6 in (150 mm)"),
        Backflow::PressureVacuumBreaker => (0.300, "a pressure type needs 12 in (300 mm)"),
        _ => return Err(does_not_apply("there is no vacuum breaker")),
    };
    let level = sheet.given("z_breaker", &make_up.breaker_level, at, "breaker_level")?;
    let id = part(&make_up.basin, at, "basin")?;
    let basin = plan
        .basins
        .get(&id.value)
        .ok_or_else(|| missing(Plan::basin_place(&id.value)))?;
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let over = level - rim;
    if at_least(over, needed) {
        yes(format!(
            "the breaker stands {} over the rim; {required}",
            both_trade_lengths(over)
        ))
    } else {
        let stands = if over < 0.0 {
            format!("{} under the rim", both_trade_lengths(-over))
        } else {
            format!("only {} over the rim", both_trade_lengths(over))
        };
        no(
            format!("the breaker stands {stands}; {required}"),
            &at.child("breaker_level"),
        )
    }
}

fn tanks_stood(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let filling = part(&plan.filling, &Place::root(), "filling")?;
    let tanks = part(&filling.standing_tanks, &filling.place, "standing_tanks")?;
    let at = &tanks.place;
    let stood = Measured {
        symbol: "t",
        value: &tanks.stood,
        object: at,
        field: "stood",
    };
    let stood = stood.passes(sheet, |t| at_least(t, DAY), "the tanks stand less than 24 h");
    let aerated = said(
        sheet,
        &tanks.aerated,
        at,
        "aerated",
        "no air is blown through the tanks",
    );
    all("stood and aerated for a day", [stood, aerated])
}

/// Tanks that are filled and emptied again air nothing out.
fn fill_treated_or_stood(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let filling = part(&plan.filling, &Place::root(), "filling")?;
    let neither = "it is neither treated nor stood for a day with air";
    let treated = given(
        sheet,
        &filling.dechlorinator,
        &filling.place,
        "dechlorinator",
        neither,
    );
    let stood = match &filling.standing_tanks {
        Shown::None(place) => no(neither, place),
        _ => tanks_stood(sheet, plan),
    };
    any([treated, stood])
}
