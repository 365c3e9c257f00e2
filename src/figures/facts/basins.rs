//! Basins: what they are, what fills them, how they are drained and filled.

use super::{
    edges, outlets,
    parts::{Measured, all, any, given, part, said},
};
use crate::{
    figures::basins::DEEPEST_WATER,
    ledger::{
        Answer, Definition, Found, Gap, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, either,
        missing, no, not, yes,
    },
    plan::{
        Basin, BasinKind, Drain, Fall, Fill, FilterKind, Form, Given, Layer, MakeUp, Plan, Shown,
        connections::{falls_from, falls_left_out},
    },
    quantity::{FOOT, agree},
    read::Place,
};

static BED_PLANNED: Definition =
    Definition::verdict(Scope::Plan, "bed-planned", "bed in the plan").by("a basin is a bed", "");
static NITRIFIES: Definition = Definition::verdict(
    Scope::Plan,
    "nitrification-planned",
    "bed or filter in which ammonia is turned over",
)
.by("a basin is a bed, or has a filter other than a drum", "");
static FLUSH_PLANNED: Definition =
    Definition::verdict(Scope::Basins, "flush-planned", "flushing provided and planned")
        .by("a provision for flushing and an interval are given", "");
static HAS_MODULES: Definition =
    Definition::verdict(Scope::Basins, "has-modules", "void modules in the basin")
        .by("a layer is made of void modules", "");
static NEEDS_OVERFLOW: Definition =
    Definition::verdict(Scope::Basins, "needs-overflow", "basin that needs an overflow").by(
        "no fall leaves it and it is open to rain, or automatic make-up fills it, those that drain into it counted; not \
         where a gravity line leaves it, nor where one that drains into it has an overflow below its rim, nor for rain \
         alone where no pump runs or a frame holds the edge",
        "",
    );
static RAIN_OVER_EDGE: Definition = Definition::verdict(
    Scope::Basins,
    "rain-over-edge",
    "basin whose surplus rain runs over its edge",
)
.by(
    "open to rain, with no fall leaving it, no gravity line at it and no automatic make-up; in a plan without a pump, or \
     with a frame that holds its sides",
    "",
);
static TAKES_WATER_BACK: Definition = Definition::verdict(
    Scope::Basins,
    "takes-water-back",
    "basin that receives the water in flight",
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
static HAS_SHAFT: Definition = Definition::verdict(Scope::Basins, "has-shaft", "shaft over the water").by(
    "a clean-out well is given; a basin that is no bed or reservoir and does not say has none",
    "",
);
static OVERCUT_ENOUGH: Definition = Definition::verdict(
    Scope::Basins,
    "overcut-enough",
    "dig wide enough round the modules",
)
.by(
    "the dig goes 12 in (300 mm) or more beyond the modules all round; not where a frame carries the edge",
    "a ≥ 12 in (300 mm)",
);
static WAY_OUT_NEEDED: Definition = Definition::verdict(
    Scope::Basins,
    "way-out-needed",
    "deep open water with steep sides",
)
.by(
    "a pond, a pool or a reservoir with no layers, over 24 in (0.6 m) deep, its sides steeper than 4:1, or than 2:1 \
     where stone or soil covers them; bowls and contours count as steep",
    "d > 24 in (0.6 m), m < 4",
);
static IN_BED: Definition =
    Definition::verdict(Scope::Layers, "in-bed", "layer of a bed").by("its basin is a bed", "");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &BED_PLANNED,
    &NITRIFIES,
    &FLUSH_PLANNED,
    &HAS_MODULES,
    &NEEDS_OVERFLOW,
    &RAIN_OVER_EDGE,
    &TAKES_WATER_BACK,
    &FILLED_OR_DEWATERED,
    &HAS_SHAFT,
    &OVERCUT_ENOUGH,
    &WAY_OUT_NEEDED,
    &IN_BED,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    ledger.enter(&BED_PLANNED, &Place::root(), |sheet| bed_planned(sheet, plan));
    ledger.enter(&NITRIFIES, &Place::root(), |sheet| nitrifies(sheet, plan));
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&NEEDS_OVERFLOW, at, |sheet| {
            needs_overflow(sheet, plan, id, basin)
        });
        ledger.enter(&RAIN_OVER_EDGE, at, |sheet| {
            rain_over_edge(sheet, plan, id, basin)
        });
        ledger.enter(&TAKES_WATER_BACK, at, |sheet| takes_water_back(sheet, plan, id));
        ledger.enter(&HAS_MODULES, at, |sheet| has_modules(sheet, basin));
        if is_bed(basin) {
            ledger.enter(&FLUSH_PLANNED, at, |sheet| flush_planned(sheet, plan, basin));
            ledger.enter(&OVERCUT_ENOUGH, at, |sheet| overcut_enough(sheet, basin));
        }
        ledger.enter(&WAY_OUT_NEEDED, at, |sheet| way_out_needed(sheet, basin));
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

fn kind_is_bed(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let kind = part(&basin.kind, &basin.place, "kind")?;
    sheet.note_place("kind", &kind.place);
    either(kind.value == BasinKind::Bed, "it is a bed", "it is no bed")
}

fn bed_planned(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    if plan.basins.is_empty() {
        return Err(missing(Place::root().child("basins")));
    }
    any(plan.basins.values().map(|basin| kind_is_bed(sheet, basin)))
}

fn nitrifies(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    for basin in plan.basins.values() {
        if let Shown::Is(filter) = &basin.filter
            && filter.kind.value().is_some_and(|kind| *kind != FilterKind::Drum)
        {
            sheet.note_place("filter", &filter.place);
            return yes("a filter turns ammonia over");
        }
    }
    bed_planned(sheet, plan)
}

fn flush_planned(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Answer {
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

fn has_modules(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let layers = basin.place.child("layers");
    if basin.layers.is_empty() && is_bed(basin) {
        return Err(missing(layers));
    }
    let modules = |fill: &Shown<Fill>| fill.value() == Some(&Fill::Modules);
    if let Some(layer) = basin.layers.values().find(|layer| modules(&layer.fill)) {
        sheet.note_place("fill", &layer.place.child("fill"));
        return yes("it holds void modules");
    }
    if let Some(layer) = basin.layers.values().find(|layer| layer.fill.value().is_none()) {
        return Err(missing(layer.place.child("fill")));
    }
    not("it holds no void modules")
}

fn needs_overflow(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    if let Some(drain) = open_drains(plan).find(|drain| leads(&drain.from, id)) {
        sheet.note_place("from", &drain.place.child("from"));
        return not("a gravity line leaves it");
    }
    let drained = draining_into(plan, id);
    let surplus = takes_surplus(sheet, plan, (id, basin), &drained)?;
    if !matches!(surplus, Found::Verdict { holds: true, .. }) {
        return Ok(surplus);
    }
    for joined in &drained {
        if shares_overflow(sheet, basin, joined)? {
            return not("a basin that drains into it has an overflow below its rim");
        }
    }
    Ok(surplus)
}

/// Whether water comes to a basin that no fall takes off: by make-up, or by rain on it or on one that drains into it.
fn takes_surplus(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    (id, basin): (&str, &Given<Basin>),
    drained: &[&Given<Basin>],
) -> Answer {
    let fills = |basin: &Place| automatic_make_up(plan, basin);
    if let Some(make_up) = fills(&basin.place) {
        sheet.note_place("automatic", &make_up.place.child("automatic"));
        return yes("automatic make-up fills it");
    }
    if let Some(fall) = fall_from(plan, id) {
        sheet.note_place("from", &fall.place.child("from"));
        return not("a fall leaves it");
    }
    if let Some(make_up) = drained.iter().find_map(|drained| fills(&drained.place)) {
        sheet.note_place("automatic", &make_up.place.child("automatic"));
        return yes("automatic make-up fills a basin that drains into it");
    }
    if drained.is_empty() && edge_takes_rain(sheet, plan, basin) {
        return not("rain alone may run over its edge");
    }
    let rain = rain_reaches(sheet, basin, drained);
    match (&rain, falls_left_out(plan)) {
        (Ok(Found::Verdict { holds: true, .. }), Some(falls)) => Err(missing(falls)),
        _ => rain,
    }
}

/// The automatic make-up that fills a basin.
fn automatic_make_up<'p>(plan: &'p Plan, basin: &Place) -> Option<&'p Given<MakeUp>> {
    let make_up = plan.water.value().and_then(|water| water.make_up.given())?;
    let fed = make_up.basin.value().map(|fed| Plan::basin_place(fed));
    (make_up.automatic.yes() == Some(true) && fed.as_ref() == Some(basin)).then_some(make_up)
}

/// Whether rain may run over the edge of a basin: no pump goes on emptying it, or the edge is no earth that washes out.
/// What a catchment sends in is many times the rain on the water and washes out one spot of an edge of earth.
fn edge_takes_rain(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> bool {
    if edges::framed(sheet, basin) {
        return true;
    }
    let catchment = plan.site.value().and_then(|site| site.catchment.given());
    if let Some(catchment) = catchment {
        sheet.note_given("A_catchment", catchment);
    }
    plan.pumps.is_empty() && catchment.is_none()
}

fn rain_over_edge(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    if !edge_takes_rain(sheet, plan, basin) {
        return not("its edge is of earth, and a pump empties the basin or a catchment drains in");
    }
    let joined = |drain: &Given<Drain>| leads(&drain.from, id) || leads(&drain.to, id);
    if open_drains(plan).any(joined) || fall_from(plan, id).is_some() {
        return not("a fall leaves it, or a gravity line joins it");
    }
    if automatic_make_up(plan, &basin.place).is_some() {
        return not("automatic make-up fills it");
    }
    rain_reaches(sheet, basin, &[])
}

/// Whether rain falls on a basin, or on one that drains into it.
fn rain_reaches(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, drained: &[&Given<Basin>]) -> Answer {
    let exposed = [basin].into_iter().chain(drained.iter().copied());
    any(exposed.map(|basin| {
        let place = basin.place.child("open_to_rain");
        let open = basin.open_to_rain.yes().ok_or_else(|| missing(place.clone()))?;
        sheet.note_place("open_to_rain", &place);
        either(open, "the lowest basin, open to rain", "no rain reaches it")
    }))
}

/// Whether the overflow of a basin that drains into this one starts to run below its rim.
fn shares_overflow(
    sheet: &mut Worksheet<'_>,
    basin: &Given<Basin>,
    joined: &Given<Basin>,
) -> Result<bool, Gap> {
    let overflow = match &joined.overflow {
        Shown::Is(overflow) => overflow,
        Shown::None(_) => return Ok(false),
        Shown::NotShown => return Err(missing(joined.place.child("overflow"))),
    };
    let level = sheet.given("z_overflow", &overflow.level, &overflow.place, "level")?;
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    Ok(level < rim && !agree(level, rim))
}

/// The gravity lines in which no valve stands shut.
fn open_drains(plan: &Plan) -> impl Iterator<Item = &Given<Drain>> {
    let shut = |drain: &Drain| drain.run.value().is_some_and(|run| run.shut.yes() == Some(true));
    plan.drains.values().filter(move |drain| !shut(drain))
}

/// Whether an end of a gravity line is at a basin.
fn leads(end: &Shown<String>, id: &str) -> bool {
    end.value().is_some_and(|at| at == id)
}

/// The basins whose water runs into one by gravity lines, one after another.
fn draining_into<'p>(plan: &'p Plan, id: &'p str) -> Vec<&'p Given<Basin>> {
    let mut ids = vec![id];
    let mut next = 0;
    while let Some(&to) = ids.get(next) {
        next += 1;
        for drain in open_drains(plan).filter(|drain| leads(&drain.to, to)) {
            if let Some(from) = drain.from.value()
                && !ids.contains(&from.as_str())
            {
                ids.push(from);
            }
        }
    }
    let upstream = ids.into_iter().skip(1);
    upstream.filter_map(|id| plan.basins.get(id)).collect()
}

fn takes_water_back(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str) -> Answer {
    if let Some(fall) = fall_from(plan, id) {
        sheet.note_place("from", &fall.place.child("from"));
        return not("a fall leaves it");
    }
    match falls_left_out(plan) {
        Some(falls) => Err(missing(falls)),
        None => yes("no fall leaves it"),
    }
}

/// A fall that leaves a basin.
pub(super) fn fall_from<'p>(plan: &'p Plan, id: &str) -> Option<&'p Given<Fall>> {
    falls_from(plan, id).next()
}

fn overcut_enough(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let (modules, _) = sheet.aside(|sheet| has_modules(sheet, basin));
    if matches!(modules, Ok(Found::Verdict { holds: false, .. })) {
        return Err(does_not_apply("it holds no void modules"));
    }
    if edges::framed(sheet, basin) {
        return Err(does_not_apply("a frame carries its edge"));
    }
    let overcut = Measured {
        symbol: "a",
        value: &basin.overcut,
        object: &basin.place,
        field: "overcut",
    };
    overcut.passes(
        sheet,
        |a| at_least(a, FOOT),
        "the dig goes less than 12 in (300 mm) beyond the modules",
    )
}

fn way_out_needed(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let kind = part(&basin.kind, &basin.place, "kind")?;
    sheet.note_place("kind", &kind.place);
    if kind.value == BasinKind::Bed {
        return not("a bed is filled with stone");
    }
    if kind.value == BasinKind::Reservoir && !basin.layers.is_empty() {
        return not("it is filled with stone or modules");
    }
    let depth = sheet.figure("d", &DEEPEST_WATER, &basin.place)?;
    if at_most(depth, 2.0 * FOOT) {
        return not("no deeper than 24 in (0.6 m)");
    }
    match even_slope(sheet, basin)? {
        Some(slope) if at_least(slope, 4.0) => not("its sides are 4:1 or flatter"),
        Some(slope) if at_least(slope, 2.0) && covered(basin) => not("stone or soil gives hold on its sides"),
        _ => yes("deep, with steep sides"),
    }
}

/// Whether stone or soil covers the whole basin, where a bare sheet would give no hold.
fn covered(basin: &Basin) -> bool {
    let covers = |layer: &Given<Layer>| {
        matches!(layer.fill.value(), Some(Fill::Stone | Fill::Soil)) && matches!(layer.area, Shown::NotShown)
    };
    basin.layers.values().any(covers)
}

/// Horizontal per vertical of the sides; none where the shape has no even slope.
fn even_slope(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<Option<f64>, Gap> {
    if matches!(basin.contours, Shown::Is(_)) {
        return Ok(None);
    }
    let shape = part(&basin.shape, &basin.place, "shape")?;
    if shape.form.value() == Some(&Form::Bowl) {
        return Ok(None);
    }
    sheet
        .given("m", &shape.side_slope, &shape.place, "side_slope")
        .map(Some)
}

fn filled_or_dewatered(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    let because = "it is neither filled the day the stone is in nor dewatered until then";
    let filled = said(sheet, &basin.filled_at_once, at, "filled_at_once", because);
    let dewatered = given(sheet, &basin.dewatered, at, "dewatered", because);
    any([filled, dewatered])
}

/// Any shaft counts; only a bed or reservoir, which is built with one, is asked for it.
fn has_shaft(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
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
        BasinKind::Pond | BasinKind::Pool => not("a pond or pool has none unless it shows one"),
    }
}
