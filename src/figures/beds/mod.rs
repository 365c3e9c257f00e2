//! Upflow beds: rates, layers, the stone over the modules.

mod direction;
pub(super) mod passage;
pub(super) mod spread;
pub(super) mod stone;

use self::direction::{direction, rises};
use super::levels::THROUGH_FLOW;
use crate::{
    formulas::water::STANDARD_GRAVITY,
    hydraulics::{
        layers, size_at,
        storage::{self, Storages},
    },
    ledger::{
        Answer, Definition, Gap, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, missing, no,
        quantity, yes,
    },
    plan::{
        Basin, BasinKind, Fill, FlowDirection, Given, Layer, MouthForm, Plan, Shown,
        connections::{drains_from, falls_from, falls_left_out, pumps_in},
    },
    quantity::{INCH, Kind},
    read::Place,
};

static OPEN_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "open-share",
    "open share of the bed’s surface",
    Kind::Share,
)
.by(
    "open surface divided by plan area at still level",
    "r = A_open / A_still",
);
static CONTACT_TIME: Definition = Definition::quantity(
    Scope::Basins,
    "contact-time",
    "empty-bed contact time in the stone",
    Kind::Time,
)
.by(
    "whole volume of the stone layers, their mean area by their thickness, divided by flow",
    "t = A·Σt_stone / Q",
);
static LAYERS_BELOW_CREST: Definition = Definition::quantity(
    Scope::Basins,
    "layers-below-crest",
    "top of the layers against the crest",
    Kind::Length,
)
.by(
    "floor level plus all layers, less the lowest crest, or the lowest mouth of a gravity line where no fall leaves it",
    "d = z_floor + Σt − z_crest",
);
static WELL_ABOVE_FLOOR: Definition = Definition::quantity(
    Scope::Basins,
    "well-above-floor",
    "bottom of the well above the floor",
    Kind::Length,
)
.by(
    "level of the well’s bottom opening less floor level",
    "d = z_well − z_floor",
);
static INLET_BELOW_MODULES: Definition = Definition::quantity(
    Scope::Basins,
    "inlet-below-modules",
    "inlet below the top of the modules",
    Kind::Length,
)
.by(
    "top of the void modules, or a third of the bed’s depth where there are none, less the inlet level",
    "d = z_top − z_inlet",
);
static COARSE_BELOW: Definition =
    Definition::verdict(Scope::Basins, "coarse-below", "coarse stone below fine").by(
        "each stone layer’s middle size is at least that of the layer above",
        "(d_min + d_max) / 2 falling upward",
    );
static UPFLOW_CLEAR: Definition =
    Definition::verdict(Scope::Basins, "upflow-clear", "no clogging layer across the flow")
        .by("no soil or fabric layer", "");
static FINISHING_LAYER: Definition = Definition::verdict(
    Scope::Basins,
    "finishing-layer",
    "top layer of gravel, thick enough",
)
.by(
    "the top layer is stone from 3/8 to 2 in (10 to 50 mm), at least 3 in (75 mm) thick",
    "",
);
static STEP_RATIO: Definition = Definition::quantity(
    Scope::Layers,
    "step-ratio",
    "step to the layer below",
    Kind::Ratio,
)
.by(
    "size that 15 % of the layer below is finer than, divided by the size that 85 % of this one is finer than",
    "r = D15_below / D85",
)
.within("sizes taken as evenly spread between smallest and largest");
static STONE_OVER_OPENING: Definition = Definition::quantity(
    Scope::Layers,
    "stone-over-opening",
    "smallest stone as a multiple of the module opening",
    Kind::Ratio,
)
.by(
    "smallest stone divided by the widest opening of the modules it touches, above or below",
    "r = d_min / w",
);
static STRENGTH_SHARE: Definition = Definition::quantity(
    Scope::Layers,
    "strength-share",
    "strength of the modules as a multiple of their load",
    Kind::Ratio,
)
.by(
    "long-term strength divided by the weight of people and of each layer of stone and water above: \
     p_layer = ((1 − n)·ρ_s + n·ρ_w)·g·t",
    "r = σ / (p + Σp_layer)",
)
.within("stone of specific gravity 2.65, its voids full, as just after the modules are pumped down");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &passage::UPFLOW_RATE,
    &OPEN_SHARE,
    &CONTACT_TIME,
    &LAYERS_BELOW_CREST,
    &WELL_ABOVE_FLOOR,
    &INLET_BELOW_MODULES,
    &COARSE_BELOW,
    &UPFLOW_CLEAR,
    &FINISHING_LAYER,
    &STEP_RATIO,
    &STONE_OVER_OPENING,
    &STRENGTH_SHARE,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for (id, basin) in &plan.basins {
        enter_layers(ledger, basin);
        stone::enter_layers(ledger, vessels, id, basin);
        if basin.kind.value() == Some(&BasinKind::Bed) {
            enter_rates(ledger, vessels, id, basin);
            enter_build(ledger, plan, basin);
            passage::enter(ledger, plan, vessels, id, basin);
            spread::enter(ledger, plan, vessels, id, basin);
            stone::enter(ledger, vessels, id, basin);
        }
    }
}

fn enter_rates(ledger: &mut Ledger, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    let at = &basin.place;
    let open = |sheet: &mut Worksheet<'_>| sheet.given("A_open", &basin.open_surface, at, "open_surface");
    passage::enter_rate(ledger, basin);
    ledger.enter(&OPEN_SHARE, at, |sheet| {
        let open = open(sheet)?;
        let still = sheet.given("z_still", &basin.still, at, "still")?;
        let vessel = storage::of(vessels, id)?;
        sheet.share(&vessel.inputs);
        let area = sheet.worked("A_still", vessel.storage.plan_area(still), Kind::Area);
        quantity(open / area)
    });
    ledger.enter(&CONTACT_TIME, at, |sheet| {
        let storage = &storage::of(vessels, id)?.storage;
        let (mut bottom, mut stone, mut thickness) = (storage.floor(), 0.0, 0.0);
        for layer in layers(basin)? {
            let symbol = if layer.is_stone() { "t_stone" } else { "t" };
            let top = bottom + sheet.given(symbol, &layer.thickness, &layer.place, "thickness")?;
            if layer.is_stone() {
                stone += storage.plan_volume(top) - storage.plan_volume(bottom);
                thickness += top - bottom;
            }
            bottom = top;
        }
        if thickness > 0.0 {
            sheet.worked("A", stone / thickness, Kind::Area);
        }
        quantity(stone / sheet.figure("Q", &THROUGH_FLOW, at)?)
    });
}

fn enter_build(ledger: &mut Ledger, plan: &Plan, basin: &Given<Basin>) {
    let at = &basin.place;
    ledger.enter(&LAYERS_BELOW_CREST, at, |sheet| {
        if matches!(direction(basin), FlowDirection::Downward | FlowDirection::Suction) {
            return Err(Gap::DoesNotApply("water stands over its stone".to_owned()));
        }
        let mut top = sheet.given("z_floor", &basin.floor, at, "floor")?;
        for layer in layers(basin)?.into_iter().filter(|layer| !shades(layer)) {
            top += sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
        }
        quantity(top - lowest_crest(sheet, plan, basin)?)
    });
    if let Shown::Is(well) = &basin.clean_out_well {
        ledger.enter(&WELL_ABOVE_FLOOR, at, |sheet| {
            let opening = sheet.given("z_well", &well.floor, &well.place, "floor")?;
            quantity(opening - sheet.given("z_floor", &basin.floor, at, "floor")?)
        });
    }
    ledger.enter(&INLET_BELOW_MODULES, at, |sheet| {
        rises(basin)?;
        let inlet = basin.inlet.given().ok_or_else(|| missing(at.child("inlet")))?;
        let inlet = sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?;
        let floor = sheet.given("z_floor", &basin.floor, at, "floor")?;
        let mut modules = None;
        let mut top = floor;
        for layer in layers(basin)? {
            top += sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
            if layer.fill.value() == Some(&Fill::Modules) {
                modules = Some(top);
            }
        }
        let top = modules.unwrap_or(floor + (top - floor) / 3.0);
        quantity(sheet.worked("z_top", top, Kind::Level) - inlet)
    });
    ledger.enter(&COARSE_BELOW, at, |sheet| coarse_below(sheet, basin));
    ledger.enter(&UPFLOW_CLEAR, at, |_| {
        let clogging = |layer: &&&Given<Layer>| matches!(layer.fill.value(), Some(Fill::Soil | Fill::Fabric));
        let layers = layers(basin)?;
        match layers.iter().find(clogging) {
            Some(layer) => no(
                "a layer of soil or fabric lies across the flow",
                &layer.place.child("fill"),
            ),
            None => yes("only stone and modules"),
        }
    });
    ledger.enter(&FINISHING_LAYER, at, |sheet| finishing_layer(sheet, basin));
}

/// Figures of single layers, in beds and in stone-filled reservoirs.
fn enter_layers(ledger: &mut Ledger, basin: &Given<Basin>) {
    let layers: Vec<_> = basin.layers.values().collect();
    for (index, layer) in layers.iter().enumerate() {
        let below = index.checked_sub(1).and_then(|below| layers.get(below));
        let at = &layer.place;
        if layer.is_stone()
            && !shades(layer)
            && let Some(below) = below
            && below.is_stone()
        {
            ledger.enter(&STEP_RATIO, at, |sheet| {
                let coarse = size_at(sheet, "d_below", below, 0.15)?;
                let coarse = sheet.worked("D15_below", coarse, Kind::Length);
                let fine = size_at(sheet, "d", layer, 0.85)?;
                quantity(coarse / sheet.worked("D85", fine, Kind::Length))
            });
        }
        let touching = below.into_iter().chain(layers.get(index + 1));
        let touching: Vec<_> = touching.copied().filter(|next| is_modules(next)).collect();
        if layer.is_stone() && !touching.is_empty() {
            ledger.enter(&STONE_OVER_OPENING, at, |sheet| {
                stone_over_opening(sheet, layer, &touching)
            });
        }
        if is_modules(layer) {
            let above = layers.get(index + 1..).unwrap_or_default();
            ledger.enter(&STRENGTH_SHARE, at, |sheet| strength_share(sheet, layer, above));
        }
    }
}

fn stone_over_opening(sheet: &mut Worksheet<'_>, stone: &Given<Layer>, modules: &[&Given<Layer>]) -> Answer {
    let mut widest: f64 = 0.0;
    for layer in modules {
        widest = widest.max(sheet.given("w", &layer.opening, &layer.place, "opening")?);
    }
    quantity(sheet.given("d_min", &stone.smallest, &stone.place, "smallest")? / widest)
}

fn strength_share(sheet: &mut Worksheet<'_>, modules: &Given<Layer>, above: &[&Given<Layer>]) -> Answer {
    let strength = sheet.given(
        "σ",
        &modules.long_term_strength,
        &modules.place,
        "long_term_strength",
    )?;
    let mut load = sheet.given("p", &modules.people_load, &modules.place, "people_load")?;
    for layer in above {
        let thickness = sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
        let porosity = storage::porosity(sheet, layer)?;
        let layer =
            ((1.0 - porosity) * stone::STONE_DENSITY + porosity * 1000.0) * STANDARD_GRAVITY * thickness;
        load += sheet.worked("p_layer", layer, Kind::Pressure);
    }
    quantity(strength / load)
}

fn is_modules(layer: &Layer) -> bool {
    layer.fill.value() == Some(&Fill::Modules)
}

/// Whether a layer is a shading course, which is no part of the filter.
fn shades(layer: &Layer) -> bool {
    layer.shading.yes() == Some(true)
}

fn coarse_below(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    if direction(basin) == FlowDirection::Horizontal {
        let why = "the water crosses it from end to end";
        return Err(Gap::DoesNotApply(why.to_owned()));
    }
    let mut below: Option<f64> = None;
    let filter = |layer: &&Given<Layer>| layer.is_stone() && !shades(layer);
    for layer in layers(basin)?.into_iter().filter(filter) {
        let middle = size_at(sheet, "d", layer, 0.5)?;
        if below.is_some_and(|below| !at_most(middle, below)) {
            return no(
                "a layer is coarser than the one below it",
                &layer.place.child("smallest"),
            );
        }
        below = Some(middle);
    }
    yes("each layer is at least as coarse as the one above")
}

/// Limits of a finishing layer, m.
const FINISHING_SIZE: (f64, f64) = (0.375 * INCH, 2.0 * INCH);
const FINISHING_THICKNESS: f64 = 3.0 * INCH;

fn finishing_layer(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let layers = layers(basin)?;
    let Some(top) = layers.iter().rfind(|layer| !shades(layer)) else {
        return Err(missing(basin.place.child("layers")));
    };
    if !top.is_stone() {
        return no("the top layer is not stone", &top.place.child("fill"));
    }
    let smallest = sheet.given("d_min", &top.smallest, &top.place, "smallest")?;
    let largest = sheet.given("d_max", &top.largest, &top.place, "largest")?;
    let thickness = sheet.given("t", &top.thickness, &top.place, "thickness")?;
    if !at_least(smallest, FINISHING_SIZE.0) {
        no(
            "its stone is finer than 3/8 in (10 mm)",
            &top.place.child("smallest"),
        )
    } else if !at_most(largest, FINISHING_SIZE.1) {
        no(
            "its stone is coarser than 2 in (50 mm)",
            &top.place.child("largest"),
        )
    } else if !at_least(thickness, FINISHING_THICKNESS) {
        no("it is thinner than 3 in (75 mm)", &top.place.child("thickness"))
    } else {
        yes("size and thickness fit")
    }
}

/// The level the water of a bed leaves by: its lowest crest, or the lowest mouth of a gravity line.
fn lowest_crest(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Result<f64, Gap> {
    let id = basin.place.key();
    let mut levels = Vec::new();
    for fall in falls_from(plan, &id) {
        levels.push(sheet.given("z_crest", &fall.crest, &fall.place, "crest")?);
    }
    let drains: Vec<_> = drains_from(plan, &id).collect();
    if levels.is_empty() {
        for drain in &drains {
            let left_out = || missing(drain.place.child("mouth"));
            let mouth = drain.mouth.given().ok_or_else(left_out)?;
            // A drain in the floor says nothing of the level the water stands at.
            if mouth.form.value() != Some(&MouthForm::BottomDrain) {
                levels.push(sheet.given("z_crest", &mouth.level, &mouth.place, "level")?);
            }
        }
    }
    let lowest = levels.into_iter().reduce(f64::min);
    lowest.ok_or_else(|| {
        if let Some(place) = falls_left_out(plan) {
            return missing(place);
        }
        let pumped = pumps_in(plan, &id).any(|pump| pump.draws_from(&id));
        if pumped || !drains.is_empty() || !plan.falls.is_empty() {
            does_not_apply("no fall leaves it")
        } else {
            missing(Place::root().child("falls"))
        }
    })
}
