//! What the stone of a bed amounts to: volume, mass and surface, the water among it, the mud it can keep.

use crate::{
    figures::levels::THROUGH_FLOW,
    formulas::bed::{self, Stone},
    hydraulics::storage::{self, Storages},
    hydraulics::{layers, size_at},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, missing, quantity},
    plan::{Basin, Fill, Given, Layer, Measure, Shown},
    quantity::Kind,
};

/// Density of the stone, kg/m³: specific gravity 2.65.
pub(in crate::figures) const STONE_DENSITY: f64 = 2650.0;

static LAYER_TOP: Definition = Definition::quantity(
    Scope::Layers,
    "layer-top",
    "top of the layer, above the benchmark",
    Kind::Level,
)
.by(
    "top of the layer below, or the floor of the basin, and the thickness of the layer",
    "z_top = z_bottom + t",
);
static STONE_VOLUME: Definition = Definition::quantity(
    Scope::Layers,
    "stone-volume",
    "volume of the layer in place",
    Kind::BulkVolume,
)
.by(
    "volume of the basin between bottom and top of the layer, and round the modules below that cover less than the \
     whole",
    "V_layer",
);
pub(crate) static STONE_MASS: Definition =
    Definition::quantity(Scope::Layers, "stone-mass", "mass of the stone", Kind::Mass)
        .by(
            "volume of the layer less its voids, times the density of the stone",
            "m = V_layer·(1 − n)·ρ_s",
        )
        .within("dry stone of specific gravity 2.65");
pub(crate) static STONE_AREA: Definition =
    Definition::quantity(Scope::Layers, "stone-area", "surface of the stone", Kind::Area)
        .by(
            "six times the share of stone divided by its middle size, times the volume of the layer",
            "A = V_layer·6·(1 − n) / d_middle",
        )
        .from("geometry of spheres of one size")
        .within("an even mixture has somewhat more; rough and angular stone more again");
static VOID_CONTACT_TIME: Definition = Definition::quantity(
    Scope::Basins,
    "void-contact-time",
    "pore residence time in the stone",
    Kind::Time,
)
.by(
    "water among the stone of all layers divided by flow",
    "t = V_voids / Q",
);
static MUD_STORE: Definition = Definition::quantity(
    Scope::Basins,
    "mud-store",
    "room for mud below the inlet",
    Kind::Volume,
)
.by(
    "voids between the floor and the level of the inlet, where mud rests below the moving water",
    "V_mud = ∫ n(z)·A(z) dz, z_floor to z_inlet",
);
static FLUSH_VOLUME: Definition =
    Definition::quantity(Scope::Basins, "flush-volume", "volume of one flush", Kind::Volume).by(
        "voids of the modules, or of the lowest layer where there are none, drawn off once",
        "V_flush = ∫ n(z)·A(z) dz, z_floor to z_top",
    );
static FLUSH_TIME: Definition =
    Definition::quantity(Scope::Basins, "flush-time", "duration of one flush", Kind::Time).by(
        "volume of one flush divided by the flushing flow",
        "t = V_flush / Q_flush",
    );
static SPREAD_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "spread-share",
    "share of the bed fed from below by the modules",
    Kind::Share,
)
.by(
    "area of the modules divided by the plan area at their top",
    "r = A_modules / A(z_top)",
)
.within("what lies beside the modules is fed sideways through the coarse stone round them");

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &LAYER_TOP,
    &STONE_VOLUME,
    &STONE_MASS,
    &STONE_AREA,
    &VOID_CONTACT_TIME,
    &MUD_STORE,
    &FLUSH_VOLUME,
    &FLUSH_TIME,
    &SPREAD_SHARE,
];

/// Figures of single stone layers, in beds and in stone-filled reservoirs.
pub(super) fn enter_layers(ledger: &mut Ledger, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    for (index, layer) in basin.layers.values().enumerate() {
        let at = &layer.place;
        ledger.enter(&LAYER_TOP, at, |sheet| {
            let bottom = bottom_of(sheet, vessels, id, basin, index)?;
            quantity(bottom + sheet.given("t", &layer.thickness, at, "thickness")?)
        });
        if !layer.is_stone() {
            continue;
        }
        ledger.enter(&STONE_VOLUME, at, |sheet| {
            let (bottom, top) = reach(sheet, vessels, id, basin, index)?;
            let storage = &storage::of(vessels, id)?.storage;
            let own = storage.plan_volume(top) - storage.plan_volume(bottom);
            quantity(own + round_modules(sheet, vessels, id, basin, index)?)
        });
        ledger.enter(&STONE_MASS, at, |sheet| {
            let volume = sheet.figure("V_layer", &STONE_VOLUME, at)?;
            let porosity = storage::porosity(sheet, layer)?;
            let why = "stone of specific gravity 2.65";
            let density = sheet.assumed("ρ_s", STONE_DENSITY, Kind::Density, why);
            quantity(volume * (1.0 - porosity) * density)
        });
        ledger.enter(&STONE_AREA, at, |sheet| {
            let volume = sheet.figure("V_layer", &STONE_VOLUME, at)?;
            let middle = size_at(sheet, "d", layer, 0.5)?;
            let why = "one middle size stands for the stone of a layer";
            let size = sheet.assumed("d_middle", middle, Kind::Length, why);
            let stone = Stone {
                size,
                sphericity: 1.0,
                porosity: storage::porosity(sheet, layer)?,
            };
            quantity(volume * bed::specific_area(&stone))
        });
    }
}

/// Figures of a whole bed.
pub(super) fn enter(ledger: &mut Ledger, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    let at = &basin.place;
    ledger.enter(&VOID_CONTACT_TIME, at, |sheet| {
        let storage = &storage::of(vessels, id)?.storage;
        let (mut top, mut voids) = (storage.floor(), 0.0);
        for layer in layers(basin)? {
            let bottom = top;
            top += sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
            if layer.is_stone() {
                voids += storage.volume(top) - storage.volume(bottom);
            }
        }
        sheet.assumed(
            "V_voids",
            voids,
            Kind::Volume,
            "water among stone by the porosity of each layer",
        );
        quantity(voids / sheet.figure("Q", &THROUGH_FLOW, at)?)
    });
    if let Some(inlet) = basin.inlet.given() {
        ledger.enter(&MUD_STORE, at, |sheet| {
            sheet.given("z_floor", &basin.floor, at, "floor")?;
            let level = sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?;
            quantity(storage::of(vessels, id)?.storage.volume(level))
        });
    }
    ledger.enter(&FLUSH_VOLUME, at, |sheet| {
        let layers = layers(basin)?;
        let modules = layers
            .iter()
            .rposition(|layer| layer.fill.value() == Some(&Fill::Modules));
        let (_, top) = reach(sheet, vessels, id, basin, modules.unwrap_or(0))?;
        quantity(storage::of(vessels, id)?.storage.volume(top))
    });
    if let Some(flush) = basin.flush.given()
        && matches!(flush.flow, Shown::Is(_))
    {
        ledger.enter(&FLUSH_TIME, at, |sheet| {
            let volume = sheet.figure("V_flush", &FLUSH_VOLUME, at)?;
            quantity(volume / sheet.given("Q_flush", &flush.flow, &flush.place, "flow")?)
        });
    }
    let modules = basin
        .layers
        .values()
        .position(|layer| layer.fill.value() == Some(&Fill::Modules) && matches!(layer.area, Shown::Is(_)));
    if let Some(index) = modules {
        ledger.enter(&SPREAD_SHARE, at, |sheet| {
            spread_share(sheet, vessels, id, basin, index)
        });
    }
}

fn spread_share(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
    index: usize,
) -> Answer {
    let layers = layers(basin)?;
    let modules = layers
        .get(index)
        .ok_or_else(|| missing(basin.place.child("layers")))?;
    let area = sheet.given("A_modules", &modules.area, &modules.place, "area")?;
    let (_, top) = reach(sheet, vessels, id, basin, index)?;
    quantity(area / storage::of(vessels, id)?.storage.plan_area(top))
}

/// Bottom and top of a layer, m above the benchmark.
fn reach(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
    index: usize,
) -> Result<(f64, f64), Gap> {
    let bottom = bottom_of(sheet, vessels, id, basin, index)?;
    let layer = basin.layers.get_index(index);
    let (_, layer) = layer.ok_or_else(|| missing(basin.place.child("layers")))?;
    Ok((bottom, sheet.figure("z_top", &LAYER_TOP, &layer.place)?))
}

/// Bottom of a layer: the top of the one below, or the floor, m above the benchmark.
fn bottom_of(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
    index: usize,
) -> Result<f64, Gap> {
    match layer_below(basin, index) {
        Some(below) => sheet.figure("z_bottom", &LAYER_TOP, &below.place),
        None => Ok(storage::of(vessels, id)?.storage.floor()),
    }
}

/// The layer that another lies on; none for the lowest.
fn layer_below(basin: &Given<Basin>, index: usize) -> Option<&Given<Layer>> {
    let (_, below) = basin.layers.get_index(index.checked_sub(1)?)?;
    Some(below)
}

/// Stone of this layer that lies round modules covering less than the whole plan just below it, m³.
fn round_modules(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
    index: usize,
) -> Result<f64, Gap> {
    let Some(modules) = layer_below(basin, index).filter(|layer| layer.fill.value() == Some(&Fill::Modules))
    else {
        return Ok(0.0);
    };
    let Shown::Is(area) = &modules.area else {
        return Ok(0.0);
    };
    sheet.note_given("A_modules", area);
    let (bottom, top) = reach(sheet, vessels, id, basin, index - 1)?;
    let storage = &storage::of(vessels, id)?.storage;
    let whole = storage.plan_volume(top) - storage.plan_volume(bottom);
    Ok((whole - area.si() * (top - bottom)).max(0.0))
}
