//! Evaporation of open water on a warm day, whether make-up keeps up with it, and how long a basin lasts without.

use super::{levels::RUNNING_LEVEL, living_water::water_of};
use crate::{
    formulas::{
        evaporation::{STILL_POOL, evaporation},
        water,
    },
    hydraulics::storage::{self, Storages},
    ledger::{Answer, Definition, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Given, Measure, Plan, Pump, Shown, connections::falls_from},
    quantity::Kind,
    read::Place,
};

static EVAPORATION: Definition = Definition::quantity(
    Scope::Plan,
    "evaporation",
    "evaporation of all open water on a warm day",
    Kind::Flow,
)
.by(
    "evaporation of each square metre at the warmest water, times the open surface of basins and the beds of streams: \
     share of an active pool’s, pressure of the vapour wanting in the air, wind and latent heat",
    "E = w·ΣA / ρ, w = f·p_w·(1 − φ)·(0.089 + 0.0782·V) / Y",
)
.from("ASHRAE Handbook, HVAC Applications (from memory); a still pool has 0.74 of it, indoors 0.5")
.within(
    "air as warm as the water; half saturated and with a wind of 5 mph (2.2 m/s) where the site tells neither; splash and \
     wicking come on top",
);
static MAKE_UP_SHARE: Definition = Definition::quantity(
    Scope::Plan,
    "make-up-over-evaporation",
    "make-up as a multiple of the evaporation",
    Kind::Ratio,
)
.by("flow of the make-up divided by the evaporation", "r = Q / E")
.comparing("{Q} of make-up against {E} of evaporation");
static RESERVE_TIME: Definition = Definition::quantity(
    Scope::Pumps,
    "reserve-time",
    "time to the cut-off without make-up",
    Kind::Time,
)
.by(
    "water between the running level of the pump’s basin and its cut-off, or the least cover of its intake where \
    it has none, and that of the basins that drain into it down to their mouths; divided by the evaporation",
    "t = ΣV / E",
)
.within("a basin that no fall leaves: what all others lose is left_out there");

pub(super) static DEFINITIONS: &[&Definition] = &[&EVAPORATION, &MAKE_UP_SHARE, &RESERVE_TIME];

/// Least cover of an intake without a cut-off, m: 2 in.
const COVER: f64 = 0.0508;
/// Latent heat of evaporation near 25 °C, kJ/kg (steam tables).
const LATENT_HEAT: f64 = 2442.0;
/// 5 mph, m/s.
const WIND: f64 = 5.0 * 0.447_04;
/// Share of an active pool's evaporation that a still one has indoors.
const STILL_POOL_INDOORS: f64 = 0.5;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    let root = Place::root();
    ledger.enter(&EVAPORATION, &root, |sheet| evaporated(sheet, plan, vessels));
    if let Some(Shown::Is(make_up)) = plan.water.value().map(|water| &water.make_up) {
        ledger.enter(&MAKE_UP_SHARE, &root, |sheet| {
            let flow = sheet.given("Q", &make_up.flow, &make_up.place, "flow")?;
            quantity(flow / sheet.figure("E", &EVAPORATION, &Place::root())?)
        });
    }
    for pump in plan.pumps.values() {
        ledger.enter(&RESERVE_TIME, &pump.place, |sheet| {
            reserve_time(sheet, plan, vessels, pump)
        });
    }
}

fn reserve_time(sheet: &mut Worksheet<'_>, plan: &Plan, storages: &Storages, pump: &Given<Pump>) -> Answer {
    let left_out = || missing(pump.place.child("basin"));
    let id = pump.basin.value().ok_or_else(left_out)?;
    let at = Plan::basin_place(id);
    if falls_from(plan, id).next().is_some() {
        return Err(does_not_apply("a fall leaves its basin, which stays full"));
    }
    let running = sheet.figure("z_running", &RUNNING_LEVEL, &at)?;
    let stop = if let Shown::Is(cut_off) = &pump.low_level_cut_off {
        sheet.note_given("z_stop", cut_off);
        cut_off.si()
    } else {
        let intake = sheet.given("z_intake", &pump.intake, &pump.place, "intake")?;
        let why = "2 in (50 mm) of water over an intake without a cut-off (common practice)";
        let cover = sheet.assumed("s_min", COVER, Kind::Length, why);
        sheet.worked("z_stop", intake + cover, Kind::Level)
    };
    let storage = &storage::of(storages, id)?.storage;
    let mut reserve = sheet.worked("V", storage.volume(running) - storage.volume(stop), Kind::Volume);
    for drain in plan.drains.values().filter(|drain| drain.to.value() == Some(id)) {
        let Some((joined, basin)) = drain
            .from
            .value()
            .and_then(|from| plan.basins.get_key_value(from))
        else {
            return Err(missing(drain.place.child("from")));
        };
        let mouth = drain.mouth.given();
        let mouth = mouth.ok_or_else(|| missing(drain.place.child("mouth")))?;
        let mouth = sheet.given("z_mouth", &mouth.level, &mouth.place, "level")?;
        let level = sheet.figure("z_running", &RUNNING_LEVEL, &basin.place)?;
        let storage = &storage::of(storages, joined)?.storage;
        let above = storage.volume(level) - storage.volume(stop.max(mouth));
        reserve += sheet.worked("V", above.max(0.0), Kind::Volume);
    }
    quantity(reserve / sheet.figure("E", &EVAPORATION, &Place::root())?)
}

fn evaporated(sheet: &mut Worksheet<'_>, plan: &Plan, vessels: &Storages) -> Answer {
    let supply = water_of(plan)?;
    let warmest = sheet.given("T", &supply.warmest, &supply.place, "warmest")?;
    let mut area = 0.0;
    // Water under stone does not meet the wind.
    for (id, basin) in plan.basins.iter().filter(|(_, basin)| basin.layers.is_empty()) {
        let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
        area += storage::of(vessels, id)?.storage.area(still);
    }
    for stream in plan.streams.values() {
        for reach in stream.reaches.values() {
            let length = sheet.given("L", &reach.length, &reach.place, "length")?;
            area += length * sheet.given("b", &reach.bed_width, &reach.place, "bed_width")?;
        }
    }
    if area <= 0.0 {
        return Err(does_not_apply("no basin or stream has open water"));
    }
    let pressure = water::vapour_pressure(warmest);
    let site = plan.site.value();
    let (wind, still) = match site.map(|site| &site.wind) {
        Some(Shown::Is(wind)) => {
            sheet.note_given("V", wind);
            (wind.si(), STILL_POOL)
        }
        Some(Shown::None(place)) => {
            sheet.note_value("V", 0.0, Kind::Velocity, place);
            (0.0, STILL_POOL_INDOORS)
        }
        _ => {
            let why = "a wind of 5 mph (2.2 m/s) over the water";
            (sheet.assumed("V", WIND, Kind::Velocity, why), STILL_POOL)
        }
    };
    let humidity = match site.map(|site| &site.humidity) {
        Some(Shown::Is(humidity)) => {
            sheet.note_given("φ", humidity);
            humidity.si()
        }
        _ => sheet.assumed("φ", 0.5, Kind::Share, "air half saturated"),
    };
    let rate = still * evaporation(pressure, humidity * pressure, wind, LATENT_HEAT);
    quantity(rate * area / water::density(warmest))
}
