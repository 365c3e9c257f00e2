//! Uplift of lined basins: empty, stoned, filled; against groundwater and against a dig that rain has filled.

use super::{basins::STILL_VOLUME, beds::stone::STONE_MASS};
use crate::{
    formulas::{uplift::Ballast, water::NOMINAL_DENSITY},
    hydraulics::storage::{self, Storages},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity, verdict},
    plan::{Basin, Fill, Given, Measure, Plan, Shown},
    quantity::Kind,
    read::Place,
};

const FORM: &str =
    "weight of all that stands inside divided by the full uplift, the form of USACE EM 1110-2-2100, eq. 3-2";
const RANGE: &str =
    "no friction, no anchors, no soil on ledges: on the safe side; the factor belongs to this definition";

/// Density of the water on both sides of the lining, kg/m³.
const WATER: f64 = NOMINAL_DENSITY;
const WATER_WHY: &str = "water of 62.4 lb/ft³ (1,000 kg/m³) on both sides of the lining";
/// Factor a filled basin is asked for, and one without water.
const FILLED: f64 = 1.1;
const STONED: f64 = 1.2;

static UPLIFT: Definition = Definition::quantity(
    Scope::Basins,
    "groundwater-uplift",
    "uplift of the groundwater",
    Kind::Mass,
)
.by(
    "the water that the basin displaces below the highest groundwater",
    "U = ρ·V_out(z_gw)",
);
static EMPTY_HELD: Definition = Definition::verdict(
    Scope::Basins,
    "empty-held-down",
    "empty basin protected against flotation",
)
.by(
    "nothing but the sheet stands inside, which weighs next to nothing: the groundwater is held down until it is full",
    "",
);
static STONED_FACTOR: Definition = factor_of(
    "uplift-factor-stoned",
    "safety factor against uplift, stoned and not filled",
)
.by(
    "mass of the stone divided by the uplift; void modules weigh next to nothing",
    "FS = ΣW_stone / U",
);
static FILLED_FACTOR: Definition = factor_of("uplift-factor-filled", "safety factor against uplift, filled")
    .by(
        "stone and water at still level divided by the uplift",
        "FS = (ΣW_stone + ρ·V) / U",
    );
static SAFE_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "uplift-safe-level",
    "level to fill to before the groundwater is let up",
    Kind::Level,
)
.by(
    "the level at which stone and water weigh 1.1 times the uplift",
    "z: ΣW_stone + ρ·V(z) = 1.1·U",
)
.from(FORM);
static BALLAST_WANTING: Definition = Definition::quantity(
    Scope::Basins,
    "ballast-wanting",
    "stone still missing to stand empty of water",
    Kind::Mass,
)
.by(
    "1.2 times the uplift less the mass of the stone, none where it suffices",
    "m = 1.2·U − ΣW_stone",
)
.from(FORM);
static RAIN_FACTOR: Definition = factor_of(
    "uplift-factor-rain",
    "safety factor against uplift, stoned, the dig full of rain",
)
.by(
    "mass of the stone divided by the water displaced below the ground outside",
    "FS = ΣW_stone / U_rain",
);

const fn factor_of(name: &'static str, title: &'static str) -> Definition {
    Definition::quantity(Scope::Basins, name, title, Kind::Ratio)
        .from(FORM)
        .within(RANGE)
}

pub(super) static DEFINITIONS: &[&Definition] = &[
    &UPLIFT,
    &EMPTY_HELD,
    &STONED_FACTOR,
    &FILLED_FACTOR,
    &SAFE_LEVEL,
    &BALLAST_WANTING,
    &RAIN_FACTOR,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for (id, basin) in &plan.basins {
        if matches!(basin.lining, Shown::None(_)) {
            continue;
        }
        let stoned = basin
            .layers
            .values()
            .any(|layer| layer.fill.value() == Some(&Fill::Stone));
        enter_basin(ledger, plan, vessels, id, basin, stoned);
    }
}

fn enter_basin(
    ledger: &mut Ledger,
    plan: &Plan,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
    stoned: bool,
) {
    let at = &basin.place;
    ledger.enter(&UPLIFT, at, |sheet| {
        let groundwater = groundwater(sheet, plan)?;
        let level = groundwater.min(sheet.given("z_rim", &basin.rim, at, "rim")?);
        quantity(displaced(sheet, vessels, id, level)?)
    });
    ledger.enter(&EMPTY_HELD, at, |sheet| {
        sheet.figure("U", &UPLIFT, at)?;
        empty_held(sheet, basin)
    });
    ledger.enter(&FILLED_FACTOR, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        let stone = stone(sheet, basin)?;
        let volume = sheet.figure("V", &STILL_VOLUME, at)?;
        let water = sheet.assumed("ρ", WATER, Kind::Density, WATER_WHY) * volume;
        let ballast = Ballast {
            stone,
            water,
            ..Ballast::default()
        };
        quantity(ballast.factor(uplift))
    });
    ledger.enter(&SAFE_LEVEL, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        let stone = stone(sheet, basin)?;
        let storage = &storage::of(vessels, id)?.storage;
        let wanting = Ballast {
            stone,
            ..Ballast::default()
        }
        .wanting(uplift, FILLED)
            / WATER;
        let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
        if wanting > storage.volume(rim) {
            return Err(Gap::NotComputed(
                "full to the rim it does not weigh enough".to_owned(),
            ));
        }
        quantity(storage.level_of(wanting))
    });
    if !stoned {
        return;
    }
    ledger.enter(&STONED_FACTOR, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        let stone = stone(sheet, basin)?;
        quantity(
            Ballast {
                stone,
                ..Ballast::default()
            }
            .factor(uplift),
        )
    });
    ledger.enter(&BALLAST_WANTING, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        let stone = stone(sheet, basin)?;
        quantity(
            Ballast {
                stone,
                ..Ballast::default()
            }
            .wanting(uplift, STONED),
        )
    });
    ledger.enter(&RAIN_FACTOR, at, |sheet| {
        let ground = ground_outside(sheet, basin)?;
        let uplift = displaced(sheet, vessels, id, ground)?;
        sheet.worked("U_rain", uplift, Kind::Mass);
        let stone = stone(sheet, basin)?;
        quantity(
            Ballast {
                stone,
                ..Ballast::default()
            }
            .factor(uplift),
        )
    });
}

/// An empty lining weighs nothing: only what holds the groundwater down keeps it.
fn empty_held(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let at = basin.place.child("dewatered");
    let (holds, because) = match &basin.dewatered {
        Shown::Is(how) => {
            sheet.note_place("dewatered", &how.place);
            (true, "the groundwater is held down until it is full")
        }
        Shown::None(_) => (
            false,
            "empty, it floats on the groundwater, and nothing holds that down",
        ),
        Shown::NotShown => return Err(missing(at)),
    };
    verdict(holds, because, Some(at))
}

/// The highest groundwater; none where a test pit stayed dry.
fn groundwater(sheet: &mut Worksheet<'_>, plan: &Plan) -> Result<f64, Gap> {
    let at = Place::root().child("site").child("groundwater");
    match plan.site.value().map(|site| &site.groundwater) {
        Some(Shown::Is(level)) => {
            sheet.note_given("z_gw", level);
            Ok(level.si())
        }
        Some(Shown::None(_)) => Err(does_not_apply("no groundwater down to the dig’s floor")),
        _ => Err(missing(at)),
    }
}

/// Mass of the water that a basin displaces below a level outside, kg.
fn displaced(sheet: &mut Worksheet<'_>, vessels: &Storages, id: &str, level: f64) -> Result<f64, Gap> {
    let vessel = storage::of(vessels, id)?;
    if level <= vessel.storage.floor() {
        return Err(does_not_apply("the water outside stays below the floor"));
    }
    let volume = vessel.storage.plan_volume(level);
    sheet.take(&vessel.inputs);
    Ok(sheet.assumed("ρ", WATER, Kind::Density, WATER_WHY) * volume)
}

/// Mass of all stone inside, kg.
fn stone(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<f64, Gap> {
    let mut mass = 0.0;
    let layers = basin.layers.values();
    let stone: Vec<_> = layers
        .filter(|layer| layer.fill.value() == Some(&Fill::Stone))
        .collect();
    if stone.is_empty() {
        sheet.worked("W_stone", mass, Kind::Mass);
    }
    for layer in stone {
        mass += sheet.figure("W_stone", &STONE_MASS, &layer.place)?;
    }
    Ok(mass)
}

/// Level of the ground outside, as far as the plan tells it.
pub(super) fn ground_outside(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<f64, Gap> {
    let at = &basin.place;
    match &basin.impounded {
        Shown::Is(height) => {
            sheet.note_given("h_ground", height);
            Ok(sheet.given("z_still", &basin.still, at, "still")? - height.si())
        }
        Shown::None(_) => sheet.given("z_rim", &basin.rim, at, "rim"),
        Shown::NotShown => Err(missing(at.child("impounded"))),
    }
}
