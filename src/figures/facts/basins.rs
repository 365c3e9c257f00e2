//! Basins: what they are, what fills them, how they are drained and filled.

use super::{
    super::{
        definition::{Definition, Scope},
        ledger::{Answer, Ledger, Sheet},
    },
    FOOT,
    parts::{Measured, all, any, at_least, either, given, missing, not, part, said, yes},
};
use crate::{
    plan::{Basin, BasinKind, Fall, Fill, Given, Plan, Shown},
    read::Place,
};

static BED_PLANNED: Definition =
    Definition::verdict(Scope::Plan, "bed-planned", "bed in the plan").by("a basin is a bed", "");
static FLUSH_PLANNED: Definition =
    Definition::verdict(Scope::Basins, "flush-planned", "flushing provided and planned")
        .by("a provision for flushing and an interval are given", "");
static HAS_MODULES: Definition =
    Definition::verdict(Scope::Basins, "has-modules", "void modules in the basin")
        .by("a layer is made of void modules", "");
static NEEDS_OVERFLOW: Definition =
    Definition::verdict(Scope::Basins, "needs-overflow", "basin that needs an overflow").by(
        "no fall leaves it and it is open to rain, or automatic make-up fills it",
        "",
    );
static TAKES_WATER_BACK: Definition = Definition::verdict(
    Scope::Basins,
    "takes-water-back",
    "basin that the water in flight comes back to",
)
.by("no fall leaves it, whether or not a drain does", "");
static FILLED_OR_DEWATERED: Definition = Definition::verdict(
    Scope::Basins,
    "filled-or-dewatered",
    "basin filled at once, or dewatered until it is",
)
.by(
    "filled the day the stone is in, or groundwater held down until then",
    "",
);
static SUCTION_OUTLET_SAFE: Definition = Definition::verdict(
    Scope::Basins,
    "suction-outlet-safe",
    "suction outlet with a cover and a second outlet",
)
.by(
    "a cover is given, and a second outlet 3 ft (0.9 m) or more away",
    "",
);
static IN_BED: Definition =
    Definition::verdict(Scope::Layers, "in-bed", "layer of a bed").by("its basin is a bed", "");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &BED_PLANNED,
    &FLUSH_PLANNED,
    &HAS_MODULES,
    &NEEDS_OVERFLOW,
    &TAKES_WATER_BACK,
    &FILLED_OR_DEWATERED,
    &SUCTION_OUTLET_SAFE,
    &IN_BED,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    ledger.enter(&BED_PLANNED, &Place::root(), |sheet| bed_planned(sheet, plan));
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&NEEDS_OVERFLOW, at, |sheet| {
            needs_overflow(sheet, plan, id, basin)
        });
        ledger.enter(&TAKES_WATER_BACK, at, |sheet| takes_water_back(sheet, plan, id));
        ledger.enter(&HAS_MODULES, at, |sheet| has_modules(sheet, basin));
        if is_bed(basin) {
            ledger.enter(&FLUSH_PLANNED, at, |sheet| flush_planned(sheet, plan, basin));
        }
        ledger.enter(&FILLED_OR_DEWATERED, at, |sheet| {
            filled_or_dewatered(sheet, basin)
        });
        ledger.enter(&SUCTION_OUTLET_SAFE, at, |sheet| {
            suction_outlet_safe(sheet, basin)
        });
        for layer in basin.layers.values() {
            ledger.enter(&IN_BED, &layer.place, |sheet| kind_is_bed(sheet, basin));
        }
    }
}

/// Whether a basin is said to be a bed.
pub(super) fn is_bed(basin: &Basin) -> bool {
    basin.kind.value() == Some(&BasinKind::Bed)
}

fn kind_is_bed(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let kind = part(&basin.kind, &basin.place, "kind")?;
    sheet.note_place("kind", &kind.place);
    either(kind.value == BasinKind::Bed, "it is a bed", "it is no bed")
}

fn bed_planned(sheet: &mut Sheet<'_>, plan: &Plan) -> Answer {
    if plan.basins.is_empty() {
        return Err(missing(Place::root().child("basins")));
    }
    any(plan.basins.values().map(|basin| kind_is_bed(sheet, basin)))
}

fn flush_planned(sheet: &mut Sheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Answer {
    let provided = given(
        sheet,
        &basin.flush,
        &basin.place,
        "flush",
        "there is no provision for flushing",
    );
    let planned = part(&plan.upkeep, &Place::root(), "upkeep").and_then(|upkeep| {
        given(
            sheet,
            &upkeep.flush_interval,
            &upkeep.place,
            "flush_interval",
            "no interval is planned",
        )
    });
    all("provision and interval are given", [provided, planned])
}

fn has_modules(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let layers = basin.place.child("layers");
    if basin.layers.is_empty() && is_bed(basin) {
        return Err(missing(layers));
    }
    let modules = |fill: &Shown<Fill>| fill.value() == Some(&Fill::Modules);
    if let Some(layer) = basin.layers.values().find(|layer| modules(&layer.fill)) {
        sheet.note_place("fill", &layer.place.child("fill"));
        return yes("it holds void modules");
    }
    either(false, "", "it holds no void modules")
}

fn needs_overflow(sheet: &mut Sheet<'_>, plan: &Plan, id: &String, basin: &Given<Basin>) -> Answer {
    let make_up = plan.water.value().and_then(|water| water.make_up.given());
    let filled = make_up.filter(|m| m.basin.value() == Some(id) && m.automatic.yes() == Some(true));
    if let Some(make_up) = filled {
        sheet.note_place("automatic", &make_up.place.child("automatic"));
        return yes("automatic make-up fills it");
    }
    if let Some(fall) = fall_from(plan, id) {
        sheet.note_place("from", &fall.place.child("from"));
        return not("a fall leaves it");
    }
    let place = basin.place.child("open_to_rain");
    let open = basin.open_to_rain.yes().ok_or_else(|| missing(place.clone()))?;
    sheet.note_place("open_to_rain", &place);
    either(open, "the lowest basin, open to rain", "no rain reaches it")
}

fn takes_water_back(sheet: &mut Sheet<'_>, plan: &Plan, id: &str) -> Answer {
    if let Some(fall) = fall_from(plan, id) {
        sheet.note_place("from", &fall.place.child("from"));
        return not("a fall leaves it");
    }
    yes("no fall leaves it")
}

/// A fall that leaves a basin.
pub(super) fn fall_from<'p>(plan: &'p Plan, id: &str) -> Option<&'p Given<Fall>> {
    let mut falls = plan.falls.values();
    falls.find(|fall| fall.from.value().is_some_and(|from| from == id))
}

fn filled_or_dewatered(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    let because = "it is neither filled the day the stone is in nor dewatered until then";
    let filled = said(sheet, &basin.filled_at_once, at, "filled_at_once", because);
    let dewatered = given(sheet, &basin.dewatered, at, "dewatered", because);
    any([filled, dewatered])
}

fn suction_outlet_safe(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let drain = part(&basin.bottom_drain, &basin.place, "bottom_drain")?;
    let at = &drain.place;
    let covered = given(sheet, &drain.cover, at, "cover", "the outlet has no cover");
    let second = Measured {
        symbol: "d",
        value: &drain.second_outlet,
        object: at,
        field: "second_outlet",
    };
    let second = second.passes(
        sheet,
        |d| at_least(d, 3.0 * FOOT),
        "no second outlet lies 3 ft (0.9 m) or more away",
    );
    all("covered, with a second outlet", [covered, second])
}
