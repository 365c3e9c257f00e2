//! Water on its way up through a bed: head lost in the layers, what settles under them, flush.

use super::{
    direction::{across, direction, rises},
    stone::STONE_DENSITY,
};
use crate::{
    figures::levels::THROUGH_FLOW,
    formulas::{bed, settling},
    hydraulics::{
        layers, open_when_fouled, stones,
        storage::{self, Storages},
        temperature,
    },
    ledger::{Answer, Definition, Gap, Input, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Basin, FlowDirection, Given, Plan, Shown},
    quantity::Kind,
};

const ERGUN: &str = "Ergun 1952, layer by layer";
const ERGUN_RANGE: &str = "Reynolds number of the stone up to 2,500; one middle size stands for each layer";

pub(super) static UPFLOW_RATE: Definition =
    Definition::quantity(Scope::Basins, "upflow-rate", "upflow rate", Kind::UpflowRate)
        .by(
            "flow through while running divided by open surface; of a bed that is crossed from end to end, by its width \
             times its depth of water",
            "u = Q / A",
        )
        .from(
            "the plan’s own arithmetic; bands: Endut et al., Bioresource Technology (2009, read in a copy), \
            Wegelin on roughing filters (SANDEC 2/96), Finazzi and Di Bernardo on upflow gravel (ABES congress, \
            read in a copy)",
        )
        .within(
            "three bands to compare with, none of them a limit: planted-bed research 0.022 gpm/ft² (0.053 m/h); \
             roughing filters 0.12 to 0.61 gpm/ft² (0.3 to 1.5 m/h); gravel pilot tests 1.2 to 2.9 gpm/ft² (3.0 to \
             7.1 m/h), where a bed at one turnover an hour stands",
        );
pub(super) static HEAD_LOSS: Definition = Definition::quantity(
    Scope::Basins,
    "bed-head-loss",
    "head loss in the clean stone",
    Kind::Length,
)
.by(
    "each stone layer’s head loss at the upflow rate, summed; modules cost none. Where a line feeds the bed under \
    water, its pump lifts against it",
    "h: h = Σ t·(150·μ·(1−n)²·u / (n³·(φ·d)²) + 1.75·(1−n)·ρ·u² / (n³·φ·d)) / (ρ·g)",
)
.from(ERGUN)
.within(ERGUN_RANGE);
static HEAD_LOSS_FOULED: Definition = Definition::quantity(
    Scope::Basins,
    "bed-head-loss-fouled",
    "head loss in the fouled stone",
    Kind::Length,
)
.by(
    "as clean, with part of the voids filled by mud",
    "h: the sum for clean stone, its voids times 0.6",
)
.from(ERGUN)
.within(ERGUN_RANGE);
static FLUIDISING_VELOCITY: Definition = Definition::quantity(
    Scope::Basins,
    "fluidising-velocity",
    "upflow rate that fluidizes the finest stone",
    Kind::UpflowRate,
)
.by(
    "minimum fluidization velocity of the smallest stone in any layer",
    "u_mf: u_mf = Re·μ / (ρ·d_min), Re = √(33.7² + 0.0408·Ar) − 33.7",
)
.from("Wen and Yu 1966")
.within("near-spherical stone of specific gravity 2.65; other models differ by tens of percent");
static FLUIDISING_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "fluidising-share",
    "upflow as a share of the fluidization velocity",
    Kind::Share,
)
.by(
    "the higher of running and flush rate divided by the minimum fluidization velocity of the finest stone",
    "r = max(u, u_flush) / u_mf",
)
.from("Wen and Yu 1966: Re_mf = √(33.7² + 0.0408·Ar) − 33.7")
.within("near-spherical stone of specific gravity 2.65");
static FLUSH_RATE: Definition = Definition::quantity(
    Scope::Basins,
    "flush-rate",
    "upflow rate while flushing",
    Kind::UpflowRate,
)
.by(
    "flushing flow divided by open surface",
    "u_flush = Q_flush / A_open",
);
static PLENUM_RATE: Definition = Definition::quantity(
    Scope::Basins,
    "plenum-rate",
    "rate at which water rises below the stone",
    Kind::UpflowRate,
)
.by(
    "flow through while running divided by the plan area of the lowest layer",
    "u = Q / A_floor",
);
static SETTLED_SIZE: Definition = Definition::quantity(
    Scope::Basins,
    "settled-size",
    "finest mineral grain that settles below the stone",
    Kind::Length,
)
.by(
    "the size whose settling velocity is the rate at which water rises below the stone",
    "d: v_settling(d, ρ_s) = u",
)
.from("Schiller and Naumann 1933")
.within("single spheres; natural grains settle more slowly");
static SETTLED_FLOC: Definition = Definition::quantity(
    Scope::Basins,
    "settled-floc",
    "smallest flake of mud that settles below the stone",
    Kind::Length,
)
.by(
    "the size whose settling velocity is the rate at which water rises below the stone, at the density of wet mud",
    "d: v_settling(d, ρ_mud) = u",
)
.from("Schiller and Naumann 1933; density of flakes from memory")
.within("single compact flakes; loose ones settle more slowly");

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &HEAD_LOSS,
    &HEAD_LOSS_FOULED,
    &FLUIDISING_VELOCITY,
    &FLUSH_RATE,
    &FLUIDISING_SHARE,
    &PLENUM_RATE,
    &SETTLED_SIZE,
    &SETTLED_FLOC,
];

/// Density of a flake of fish and plant mud, kg/m³.
const MUD_DENSITY: f64 = 1050.0;

/// The rate at which the water passes the bed.
pub(super) fn enter_rate(ledger: &mut Ledger, basin: &Given<Basin>) {
    let at = &basin.place;
    ledger.enter(&UPFLOW_RATE, at, |sheet| {
        let area = if direction(basin) == FlowDirection::Horizontal {
            across(sheet, basin)?
        } else {
            sheet.given("A", &basin.open_surface, at, "open_surface")?
        };
        quantity(sheet.figure("Q", &THROUGH_FLOW, at)? / area)
    });
}

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    let at = &basin.place;
    let water = bed::Water::at(temperature(plan).item);
    ledger.enter(&HEAD_LOSS, at, |sheet| head_loss(sheet, basin, &water, 1.0));
    ledger.enter(&HEAD_LOSS_FOULED, at, |sheet| {
        let open = open_when_fouled(sheet);
        head_loss(sheet, basin, &water, open)
    });
    ledger.enter(&FLUIDISING_VELOCITY, at, |sheet| {
        let finest = finest_stone(sheet, basin)?;
        quantity(bed::minimum_fluidising_velocity(finest, STONE_DENSITY, &water))
    });
    let flush = basin.flush.given();
    let flush = flush.filter(|flush| matches!(flush.flow, Shown::Is(_)));
    let flushed = flush.is_some();
    if let Some(flush) = flush {
        ledger.enter(&FLUSH_RATE, at, |sheet| {
            let flow = sheet.given("Q_flush", &flush.flow, &flush.place, "flow")?;
            quantity(flow / sheet.given("A_open", &basin.open_surface, at, "open_surface")?)
        });
    }
    ledger.enter(&FLUIDISING_SHARE, at, |sheet| {
        rises(basin)?;
        let mut rate = sheet.figure("u", &UPFLOW_RATE, at)?;
        if flushed {
            rate = rate.max(sheet.figure("u_flush", &FLUSH_RATE, at)?);
        }
        quantity(rate / sheet.figure("u_mf", &FLUIDISING_VELOCITY, at)?)
    });
    ledger.enter(&PLENUM_RATE, at, |sheet| {
        let storage = &storage::of(vessels, id)?.storage;
        let thickness = match layers(basin)?.first() {
            Some(lowest) => sheet.given("t", &lowest.thickness, &lowest.place, "thickness")?,
            None => return Err(missing(at.child("layers"))),
        };
        let area = storage.plan_area(storage.floor() + thickness);
        sheet.assumed(
            "A_floor",
            area,
            Kind::Area,
            "water rises evenly over the plan area of the lowest layer",
        );
        quantity(sheet.figure("Q", &THROUGH_FLOW, at)? / area)
    });
    for (definition, symbol, density, why) in [
        (
            &SETTLED_SIZE,
            "ρ_s",
            STONE_DENSITY,
            "mineral grains have a specific gravity of 2.65",
        ),
        (
            &SETTLED_FLOC,
            "ρ_mud",
            MUD_DENSITY,
            "flakes of fish and plant mud weigh 65.5 lb/ft³ (1,050 kg/m³) (from memory)",
        ),
    ] {
        ledger.enter(definition, at, |sheet| {
            let rate = sheet.figure("u", &PLENUM_RATE, at)?;
            sheet.assumed(symbol, density, Kind::Density, why);
            let size = settling::finest_settled(rate, density, &water);
            quantity(size.ok_or_else(|| Gap::NotComputed("nothing up to 4 in (0.1 m) settles".to_owned()))?)
        });
    }
}

/// The smallest stone of any layer, m; only its own size is noted.
fn finest_stone(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<f64, Gap> {
    let mut finest: Option<(f64, Vec<Input>)> = None;
    for layer in layers(basin)?.into_iter().filter(|layer| layer.is_stone()) {
        let (size, inputs) =
            sheet.aside(|aside| aside.given("d_min", &layer.smallest, &layer.place, "smallest"));
        let size = size?;
        if finest.as_ref().is_none_or(|(finest, _)| size < *finest) {
            finest = Some((size, inputs));
        }
    }
    let (size, inputs) = finest.ok_or_else(|| does_not_apply("the bed has no stone"))?;
    sheet.take(&inputs);
    Ok(size)
}

/// Head lost in all stone layers, with a share of their clean voids open.
fn head_loss(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, water: &bed::Water, open: f64) -> Answer {
    let rate = sheet.figure("u", &UPFLOW_RATE, &basin.place)?;
    let stones = stones(sheet, basin, open)?;
    let too_fast =
        |(_, stone): &(f64, bed::Stone)| bed::ergun_reynolds(rate, stone, water) > bed::ERGUN_REYNOLDS_MOST;
    if stones.iter().any(too_fast) {
        return Err(Gap::NotComputed(
            "the water is too fast for Ergun’s law (Reynolds number above 2,500)".to_owned(),
        ));
    }
    let losses = stones.iter();
    let losses = losses.map(|(thickness, stone)| bed::ergun_head_loss(rate, *thickness, stone, water));
    quantity(losses.sum())
}
