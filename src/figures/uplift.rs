//! Uplift of basins in the ground, lined, of concrete or molded: empty, stoned, filled; against groundwater and against a
//! dig that rain has filled.

use super::{basins::STILL_VOLUME, beds::stone::STONE_MASS};
use crate::{
    formulas::{
        storage::Storage,
        uplift::{Ballast, Shell},
        water::NOMINAL_DENSITY,
    },
    hydraulics::storage::{self, Storages},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity, verdict},
    plan::{Basin, Construction, ConstructionKind, Form, Given, Measure, Plan, Shown},
    quantity::{Kind, agree},
    read::Place,
};

const FORM: &str =
    "weight of all that stands inside divided by the full uplift, the form of USACE EM 1110-2-2100, eq. 3-2";
const RANGE: &str =
    "no friction, no anchors, no soil on ledges: on the safe side; the factor belongs to this definition";

/// Density of the water on both sides of the lining, kg/m³.
const WATER: f64 = NOMINAL_DENSITY;
const WATER_WHY: &str = "water of 62.4 lb/ft³ (1,000 kg/m³) on both sides of the lining";
/// Density of plain concrete, kg/m³.
const CONCRETE: f64 = 2320.0;
const CONCRETE_WHY: &str = "concrete of 145 lb/ft³ (2,320 kg/m³), plain, of normal weight (common practice)";
/// Factor required of a filled basin, and of one without water.
const FILLED: f64 = 1.1;
const STONED: f64 = 1.2;

static UPLIFT: Definition = Definition::quantity(
    Scope::Basins,
    "groundwater-uplift",
    "uplift of the groundwater",
    Kind::Mass,
)
.by(
    "the water that the basin displaces below the highest groundwater, a concrete shell with its walls and floor",
    "U = ρ·V_out(z_gw)",
);
static SHELL_MASS: Definition = Definition::quantity(
    Scope::Basins,
    "shell-mass",
    "shell, tank and ballast",
    Kind::Mass,
)
.by(
    "the stated mass of shell or tank, else walls up to the rim and floor of the concrete by their thicknesses, and the \
     ballast; a lined dig has no shell",
    "W = ρ_c·(A_wall·t_w + A_floor·t_f) + W_ballast",
)
.within("walls of even thickness; contours and ellipses as circles of their area, which have the shortest wall");
static EMPTY_FACTOR: Definition = factor_of("uplift-factor-empty", "safety factor against uplift, empty")
    .by("shell, tank and ballast divided by the uplift", "FS = W / U");
static EMPTY_HELD: Definition = Definition::verdict(
    Scope::Basins,
    "empty-held-down",
    "empty basin protected against flotation",
)
.by(
    "shell, tank and ballast weigh 1.2 times the uplift, or the groundwater is held down while it is empty; a sheet weighs \
     next to nothing",
    "W ≥ 1.2·U",
);
static STONED_FACTOR: Definition = factor_of(
    "uplift-factor-stoned",
    "safety factor against uplift, stoned and not filled",
)
.by(
    "mass of stone, shell and ballast divided by the uplift; void modules weigh next to nothing",
    "FS = (W + ΣW_stone) / U",
);
static FILLED_FACTOR: Definition = factor_of("uplift-factor-filled", "safety factor against uplift, filled")
    .by(
        "shell, ballast, stone and water at still level divided by the uplift",
        "FS = (W + ΣW_stone + ρ·V) / U",
    );
static SAFE_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "uplift-safe-level",
    "level to fill to before the groundwater is let up",
    Kind::Level,
)
.by(
    "the level at which shell, ballast, stone and water weigh 1.1 times the uplift",
    "z: W + ΣW_stone + ρ·V(z) = 1.1·U",
)
.from(FORM);
static BALLAST_WANTING: Definition = Definition::quantity(
    Scope::Basins,
    "ballast-wanting",
    "stone still missing to stand empty of water",
    Kind::Mass,
)
.by(
    "1.2 times the uplift less the mass of stone, shell and ballast, none where it suffices",
    "m = 1.2·U − W − ΣW_stone",
)
.from(FORM);
static RAIN_FACTOR: Definition = factor_of(
    "uplift-factor-rain",
    "safety factor against uplift, stoned, the dig full of rain",
)
.by(
    "mass of stone, shell and ballast divided by the water displaced below the ground outside",
    "FS = (W + ΣW_stone) / U_rain",
);

const fn factor_of(name: &'static str, title: &'static str) -> Definition {
    Definition::quantity(Scope::Basins, name, title, Kind::Ratio)
        .from(FORM)
        .within(RANGE)
}

pub(super) static DEFINITIONS: &[&Definition] = &[
    &UPLIFT,
    &SHELL_MASS,
    &EMPTY_FACTOR,
    &EMPTY_HELD,
    &STONED_FACTOR,
    &FILLED_FACTOR,
    &SAFE_LEVEL,
    &BALLAST_WANTING,
    &RAIN_FACTOR,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for (id, basin) in &plan.basins {
        if kind(basin) == Some(ConstructionKind::AboveGround) {
            continue;
        }
        let stoned = basin.layers.values().any(|layer| layer.is_stone());
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
        quantity(displaced(sheet, vessels, (id, basin), level)?)
    });
    ledger.enter(&SHELL_MASS, at, |sheet| shell_mass(sheet, vessels, id, basin));
    ledger.enter(&EMPTY_FACTOR, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        quantity(dead(sheet, basin)?.factor(uplift))
    });
    ledger.enter(&EMPTY_HELD, at, |sheet| empty_held(sheet, basin));
    ledger.enter(&FILLED_FACTOR, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        let stoned = stoned_weight(sheet, basin)?;
        let volume = sheet.figure("V", &STILL_VOLUME, at)?;
        let water = sheet.assumed("ρ", WATER, Kind::Density, WATER_WHY) * volume;
        quantity(Ballast { water, ..stoned }.factor(uplift))
    });
    ledger.enter(&SAFE_LEVEL, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        let stoned = stoned_weight(sheet, basin)?;
        let storage = &storage::of(vessels, id)?.storage;
        let wanting = stoned.wanting(uplift, FILLED) / WATER;
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
        quantity(stoned_weight(sheet, basin)?.factor(uplift))
    });
    ledger.enter(&BALLAST_WANTING, at, |sheet| {
        let uplift = sheet.figure("U", &UPLIFT, at)?;
        quantity(stoned_weight(sheet, basin)?.wanting(uplift, STONED))
    });
    ledger.enter(&RAIN_FACTOR, at, |sheet| {
        let ground = ground_outside(sheet, basin)?;
        let uplift = displaced(sheet, vessels, (id, basin), ground)?;
        sheet.worked("U_rain", uplift, Kind::Mass);
        quantity(stoned_weight(sheet, basin)?.factor(uplift))
    });
}

/// Its own weight keeps an empty basin, or what holds the groundwater down while it is empty.
fn empty_held(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let factor = sheet.figure("FS", &EMPTY_FACTOR, &basin.place);
    if let Err(Gap::DoesNotApply(_)) = factor {
        return factor.and_then(quantity);
    }
    let at = basin.place.child("dewatered");
    let (holds, because) = match (&factor, &basin.dewatered) {
        (Ok(factor), _) if *factor >= STONED || agree(*factor, STONED) => {
            (true, "its own weight holds it down empty".to_owned())
        }
        (_, Shown::Is(how)) => {
            sheet.note_place("dewatered", &how.place);
            (true, "the groundwater is held down until it is full".to_owned())
        }
        (Err(gap), _) => return Err(gap.clone()),
        (Ok(_), Shown::NotShown) => return Err(Gap::NotShown(vec![at])),
        (Ok(factor), Shown::None(_)) => {
            let why = if *factor > 0.0 {
                format!(
                    "empty, it weighs {factor:.2} times the uplift of the groundwater, and nothing holds that down"
                )
            } else {
                "empty, it floats on the groundwater, and nothing holds that down".to_owned()
            };
            (false, why)
        }
    };
    verdict(holds, &because, Some(at))
}

fn kind(basin: &Basin) -> Option<ConstructionKind> {
    basin.construction.value().and_then(|it| it.kind.value()).copied()
}

/// What a basin is built of, where that has a weight; a basin with a lining and nothing said is a lined dig.
fn built(basin: &Given<Basin>) -> Result<Option<&Given<Construction>>, Gap> {
    let at = basin.place.child("construction");
    match (&basin.construction, &basin.lining) {
        (Shown::Is(construction), _) => match construction.kind.value() {
            Some(ConstructionKind::LinedEarth | ConstructionKind::AboveGround) => Ok(None),
            Some(_) => Ok(Some(construction)),
            None => Err(Gap::NotShown(vec![at.child("kind")])),
        },
        (_, Shown::None(_)) => Err(Gap::NotShown(vec![at])),
        _ => Ok(None),
    }
}

fn shell_mass(sheet: &mut Worksheet<'_>, vessels: &Storages, id: &str, basin: &Given<Basin>) -> Answer {
    let shell = match built(basin)? {
        None => 0.0,
        Some(construction) if matches!(construction.mass, Shown::Is(_)) => {
            sheet.given("W_shell", &construction.mass, &construction.place, "mass")?
        }
        Some(construction) if construction.kind.value() == Some(&ConstructionKind::MoldedTank) => {
            return Err(Gap::NotShown(vec![construction.place.child("mass")]));
        }
        Some(construction) => {
            let storage = &storage::of(vessels, id)?.storage;
            let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
            let volume = concrete(sheet, storage, basin, construction, rim)?;
            sheet.assumed("ρ_c", CONCRETE, Kind::Density, CONCRETE_WHY) * volume
        }
    };
    let ballast = match &basin.ballast {
        Shown::Is(ballast) => {
            sheet.note_given("W_ballast", ballast);
            ballast.si()
        }
        _ => 0.0,
    };
    quantity(shell + ballast)
}

/// Volume of a concrete shell below a level, its floor included, m³.
fn concrete(
    sheet: &mut Worksheet<'_>,
    storage: &Storage,
    basin: &Given<Basin>,
    construction: &Given<Construction>,
    level: f64,
) -> Result<f64, Gap> {
    let at = &construction.place;
    let shell = Shell {
        wall: sheet.given("t_w", &construction.wall, at, "wall")?,
        floor: sheet.given("t_f", &construction.floor, at, "floor")?,
        outline: outline(basin),
    };
    let bottom = storage.floor();
    let slab = shell.slab(storage.plan_area(bottom));
    Ok(slab + shell.walls(|level| storage.plan_area(level), bottom, level))
}

/// How much longer the outline is than the circle of its area: `(L + W) / √(π·L·W)` for a rectangle, at the rim.
fn outline(basin: &Basin) -> f64 {
    let sides = basin.shape.value().filter(|shape| {
        shape.form.value() == Some(&Form::Rectangle) && !matches!(basin.contours, Shown::Is(_))
    });
    let sides = sides.and_then(|shape| Some((shape.length.value()?.si(), shape.width.value()?.si())));
    match sides {
        Some((length, width)) if length > 0.0 && width > 0.0 => {
            (length + width) / (std::f64::consts::PI * length * width).sqrt()
        }
        _ => 1.0,
    }
}

/// What weighs on an empty basin.
fn dead(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<Ballast, Gap> {
    Ok(Ballast {
        slab: sheet.figure("W", &SHELL_MASS, &basin.place)?,
        ..Ballast::default()
    })
}

/// What weighs on a basin without water.
fn stoned_weight(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<Ballast, Gap> {
    let dead = dead(sheet, basin)?;
    let stone = stone(sheet, basin)?;
    Ok(Ballast { stone, ..dead })
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
fn displaced(
    sheet: &mut Worksheet<'_>,
    vessels: &Storages,
    (id, basin): (&str, &Given<Basin>),
    level: f64,
) -> Result<f64, Gap> {
    let vessel = storage::of(vessels, id)?;
    if level <= vessel.storage.floor() {
        return Err(does_not_apply("the water outside stays below the floor"));
    }
    let mut volume = vessel.storage.plan_volume(level);
    sheet.share(&vessel.inputs);
    if let Some(construction) = built(basin)?
        && construction.kind.value() == Some(&ConstructionKind::ConcreteShell)
        && !(matches!(construction.mass, Shown::Is(_)) && matches!(construction.wall, Shown::NotShown))
    {
        volume += concrete(sheet, &vessel.storage, basin, construction, level)?;
    }
    Ok(sheet.assumed("ρ", WATER, Kind::Density, WATER_WHY) * volume)
}

/// Mass of all stone inside, kg.
fn stone(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<f64, Gap> {
    let mut mass = 0.0;
    let layers = basin.layers.values();
    let stone: Vec<_> = layers.filter(|layer| layer.is_stone()).collect();
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
