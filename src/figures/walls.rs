//! Walls: sliding, overturning and the pressure under the base.

use crate::{
    formulas::walls::{Backing, Gravity, Stability},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Given, Plan, Shown, Soil, Wall},
    quantity::Kind,
    read::Place,
};

const SOURCE: &str =
    "Rankine’s active pressure, statics of a gravity wall (from memory); soil values common practice";
const RANGE: &str = "level ground behind, upright back, front that leans back; no soil in front, no cohesion; undrained, water stands to the top of the soil and lifts the base, evenly less \
     towards the toe";

/// Stone in a wall, of its whole volume.
const SOLID: f64 = 0.90;
/// Density of the ground behind, kg/m³ (120 lb/ft³).
const GROUND: f64 = 1922.0;
/// Load on ground that is said to be loaded, Pa (250 lb/ft²).
const LOAD: f64 = 11_970.0;

static SLIDING: Definition = Definition::quantity(
    Scope::Walls,
    "wall-sliding-factor",
    "safety factor against sliding",
    Kind::Ratio,
)
.by(
    "weight of the wall less the uplift under it, times the friction under it, divided by the thrust of ground, load and \
     water: drained P = K_a·(½·ρ·g·H² + q·H); undrained the soil weighs submerged, the water adds ½·ρ_w·g·H² and lifts \
     by U = ½·ρ_w·g·H·b",
    "FS = tan φ·(W − U) / P",
)
.from(SOURCE)
.within(RANGE);
static OVERTURNING: Definition = Definition::quantity(
    Scope::Walls,
    "wall-overturning-factor",
    "safety factor against overturning",
    Kind::Ratio,
)
.by(
    "moment of the weight divided by the moments of thrust and uplift, about the toe: each force by its arm a",
    "FS = W·a_W / (P·a_P + U·a_U)",
)
.from(SOURCE)
.within(RANGE);
static BEARING: Definition = Definition::quantity(
    Scope::Walls,
    "wall-bearing",
    "pressure under the wall",
    Kind::GroundPressure,
)
.by(
    "highest pressure under the base; beyond the middle third, on the part that bears",
    "q = (W − U)/b·(1 + 6e/b)",
)
.from(SOURCE)
.within(RANGE);

pub(super) static DEFINITIONS: &[&Definition] = &[&SLIDING, &OVERTURNING, &BEARING];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for wall in plan.walls.values() {
        let at = &wall.place;
        ledger.enter(&SLIDING, at, |sheet| quantity(stands(sheet, plan, wall)?.sliding));
        ledger.enter(&OVERTURNING, at, |sheet| {
            quantity(stands(sheet, plan, wall)?.overturning)
        });
        ledger.enter(&BEARING, at, |sheet| {
            let outside = || Gap::NotComputed("the wall tips: nothing bears".to_owned());
            quantity(stands(sheet, plan, wall)?.bearing.ok_or_else(outside)?)
        });
    }
}

/// Friction angle of a soil class, degrees; none for rock, which does not push.
const fn friction_angle(soil: Soil) -> Option<f64> {
    match soil {
        Soil::Rock => None,
        Soil::A => Some(32.0),
        Soil::B => Some(30.0),
        Soil::C | Soil::Unknown => Some(28.0),
    }
}

fn stands(sheet: &mut Worksheet<'_>, plan: &Plan, wall: &Given<Wall>) -> Result<Stability, Gap> {
    let at = &wall.place;
    let retained = sheet.given("H_retained", &wall.retained, at, "retained")?;
    let height = sheet.given("h", &wall.height, at, "height")?;
    // A wall that stands on the ground has no toe in it.
    let toe = match &wall.toe {
        Shown::None(_) => 0.0,
        toe => sheet.given("t", toe, at, "toe")?,
    };
    let base = sheet.given("b", &wall.base_width, at, "base_width")?;
    let batter = match &wall.batter {
        Shown::None(_) => 0.0,
        batter => sheet.given("m", batter, at, "batter")?,
    };
    let stone = sheet.given("ρ_stone", &wall.unit_weight, at, "unit_weight")?;
    let friction = match &wall.friction_angle {
        Shown::Is(_) => sheet.given("φ", &wall.friction_angle, at, "friction_angle")?,
        _ => friction(sheet, plan)?,
    };
    let backing = Backing {
        height: (retained + toe).min(height),
        friction,
        density: match &wall.soil_unit_weight {
            Shown::Is(_) => sheet.given("ρ", &wall.soil_unit_weight, at, "soil_unit_weight")?,
            _ => sheet.assumed(
                "ρ",
                GROUND,
                Kind::Density,
                "ground of 120 lb/ft³ (1,920 kg/m³) behind walls (common practice)",
            ),
        },
        surcharge: surcharge(sheet, wall)?,
        drained: drained(sheet, wall)?,
    };
    if backing.height <= 0.0 {
        return Err(does_not_apply("it holds back no soil"));
    }
    if batter * height >= base {
        return Err(Gap::NotComputed(
            "its front leans back by more than the width of its base".to_owned(),
        ));
    }
    let solid = if wall.mortared.yes() == Some(true) {
        sheet.note_place("mortared", &at.child("mortared"));
        1.0
    } else {
        sheet.assumed(
            "s",
            SOLID,
            Kind::Share,
            "a tenth of a dry stone wall is joints (common practice)",
        )
    };
    let gravity = Gravity {
        height,
        base,
        batter,
        density: stone * solid,
    };
    note_forces(sheet, &gravity, &backing);
    Ok(gravity.against(&backing, friction.tan()))
}

/// Weight, thrust and uplift of each length of wall, with their arms about the toe.
fn note_forces(sheet: &mut Worksheet<'_>, gravity: &Gravity, backing: &Backing) {
    let forces = [
        ("W", "a_W", gravity.weight()),
        ("P", "a_P", backing.thrust()),
        ("U", "a_U", backing.uplift(gravity.base)),
    ];
    for (symbol, arm, (force, moment)) in forces {
        sheet.worked(symbol, force, Kind::ForcePerLength);
        let length = if force > 0.0 { moment / force } else { 0.0 };
        sheet.worked(arm, length, Kind::Length);
    }
}

/// Friction angle of the ground, rad.
fn friction(sheet: &mut Worksheet<'_>, plan: &Plan) -> Result<f64, Gap> {
    let soil = plan.site.value().and_then(|site| match &site.soil {
        Shown::Is(soil) => Some(soil),
        _ => None,
    });
    let left_out = || missing(Place::root().child("site").child("soil"));
    let soil = soil.ok_or_else(left_out)?;
    sheet.note_place("soil", &soil.place);
    let degrees = friction_angle(soil.value).ok_or_else(|| does_not_apply("rock needs no wall"))?;
    let why = "friction of the ground behind and under walls by soil class: A 32°, B 30°, C or unknown 28° (common practice)";
    Ok(sheet.assumed("φ", degrees.to_radians(), Kind::Angle, why))
}

/// Load on the ground behind, Pa.
fn surcharge(sheet: &mut Worksheet<'_>, wall: &Given<Wall>) -> Result<f64, Gap> {
    match &wall.surcharge {
        Shown::Is(load) => {
            sheet.note_place("surcharge", &load.place);
            let why = "a load behind a wall of 250 lb/ft² (12 kPa), a vehicle (common practice)";
            Ok(sheet.assumed("q", LOAD, Kind::GroundPressure, why))
        }
        Shown::None(_) => Ok(0.0),
        Shown::NotShown => Err(missing(wall.place.child("surcharge"))),
    }
}

/// Whether water leaves behind it; said to have no drainage, it stands to the top of the soil and lifts the base.
fn drained(sheet: &mut Worksheet<'_>, wall: &Given<Wall>) -> Result<bool, Gap> {
    let (place, drained) = match &wall.drainage {
        Shown::Is(drainage) => (&drainage.place, true),
        Shown::None(place) => (place, false),
        Shown::NotShown => return Err(missing(wall.place.child("drainage"))),
    };
    sheet.note_place("drainage", place);
    Ok(drained)
}
