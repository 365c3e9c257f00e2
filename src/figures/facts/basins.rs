//! Basins: what they are, what fills them, how they are drained and filled.

use super::{
    super::{
        definition::{Definition, Scope},
        ledger::{Answer, Ledger, Sheet},
    },
    outlets,
    parts::{all, any, either, given, missing, no, not, part, said, yes},
};
use crate::{
    plan::{Basin, BasinKind, Fill, Given, Plan, Shown},
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
static FILLED_OR_DEWATERED: Definition = Definition::verdict(
    Scope::Basins,
    "filled-or-dewatered",
    "basin filled at once, or dewatered until it is",
)
.by(
    "filled the day the stone is in, or groundwater held down until then",
    "",
);
static HAS_SHAFT: Definition = Definition::verdict(Scope::Basins, "has-shaft", "shaft over the water").by(
    "a clean-out well is given; a basin that is no bed or reservoir and does not say has none",
    "",
);
static IN_BED: Definition =
    Definition::verdict(Scope::Layers, "in-bed", "layer of a bed").by("its basin is a bed", "");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &BED_PLANNED,
    &FLUSH_PLANNED,
    &HAS_MODULES,
    &NEEDS_OVERFLOW,
    &FILLED_OR_DEWATERED,
    &HAS_SHAFT,
    &IN_BED,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    ledger.enter(&BED_PLANNED, &Place::root(), |sheet| bed_planned(sheet, plan));
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&NEEDS_OVERFLOW, at, |sheet| {
            needs_overflow(sheet, plan, id, basin)
        });
        ledger.enter(&HAS_MODULES, at, |sheet| has_modules(sheet, basin));
        if is_bed(basin) {
            ledger.enter(&FLUSH_PLANNED, at, |sheet| flush_planned(sheet, plan, basin));
        }
        ledger.enter(&FILLED_OR_DEWATERED, at, |sheet| {
            filled_or_dewatered(sheet, basin)
        });
        ledger.enter(&HAS_SHAFT, at, |sheet| has_shaft(sheet, basin));
        outlets::enter(ledger, plan, id, basin);
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
    if let Some(fall) = plan.falls.values().find(|fall| fall.from.value() == Some(id)) {
        sheet.note_place("from", &fall.place.child("from"));
        return either(false, "", "a fall leaves it");
    }
    let place = basin.place.child("open_to_rain");
    let open = basin.open_to_rain.yes().ok_or_else(|| missing(place.clone()))?;
    sheet.note_place("open_to_rain", &place);
    either(open, "the lowest basin, open to rain", "no rain reaches it")
}

fn filled_or_dewatered(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    let because = "it is neither filled the day the stone is in nor dewatered until then";
    let filled = said(sheet, &basin.filled_at_once, at, "filled_at_once", because);
    let dewatered = given(sheet, &basin.dewatered, at, "dewatered", because);
    any([filled, dewatered])
}

/// Any shaft counts; only a bed or reservoir, which is built with one, is asked for it.
fn has_shaft(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    match &basin.clean_out_well {
        Shown::Is(well) => {
            sheet.note_place("clean_out_well", &well.place);
            return yes("it has a clean-out well");
        }
        Shown::None(place) => {
            sheet.note_place("clean_out_well", place);
            return no("it has no clean-out well", place);
        }
        Shown::NotShown => {}
    }
    let kind = part(&basin.kind, &basin.place, "kind")?;
    sheet.note_place("kind", &kind.place);
    match kind.value {
        BasinKind::Bed | BasinKind::Reservoir => Err(missing(basin.place.child("clean_out_well"))),
        BasinKind::Pond | BasinKind::Pool => not("it shows no shaft"),
    }
}
