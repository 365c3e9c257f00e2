//! Sides, digs, walls and backfill.

use super::parts::{Measured, all, any, given, noted, part, said};
use crate::{
    ledger::{
        Answer, Definition, Found, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, missing, no,
        not, quantity, yes,
    },
    plan::{Basin, BasinKind, Excavation, Form, Given, Plan, Protection, Shown, Soil, Wall},
    quantity::{FOOT, INCH, Kind, UnitSystem, show_computed},
    read::Place,
};

static SIDES_STAND: Definition = Definition::verdict(
    Scope::Basins,
    "sides-stand",
    "sides held by a wall, frame or fill, or no steeper than 1:1",
)
.by(
    "a wall, a frame, or stone and modules from side to side hold them, or they are no steeper than 1:1; not where the \
     basin is 12 in (300 mm) deep or less",
    "m ≥ 1",
);
static SLOPE_ENOUGH: Definition = Definition::verdict(
    Scope::Excavations,
    "slope-enough",
    "sides sloped enough for the soil",
)
.by(
    "horizontal to vertical: soil A 3/4:1, B 1:1, C or unknown 1-1/2:1; rock any",
    "m ≥ m_soil",
)
.from("29 CFR 1926 subpart P, appendix B (class C read, A and B from memory)");
static FOOTING_CLEARANCE: Definition = Definition::quantity(
    Scope::Excavations,
    "footing-clearance",
    "distance to the footing as a multiple of the depth below it",
    Kind::Ratio,
)
.by(
    "distance of the footing from the foot of the dig’s side, divided by the depth of the dig below its underside; a side \
     that is sloped starts at the edge and reaches the depth further off",
    "r = (a + m·d_dig) / (d_dig − d_footing)",
)
.from("common practice");
static WALL_NEEDS_ENGINEER: Definition = Definition::verdict(
    Scope::Walls,
    "wall-needs-engineer",
    "wall that an engineer has to design",
)
.by("over 4 ft (1.2 m) high, or the ground behind is loaded", "");
static SOIL_HELD: Definition =
    Definition::verdict(Scope::Walls, "soil-held", "soil retained behind the joints")
        .by("a filter is given, and the joints are packed", "");
static BACKFILL_CLEAN: Definition = Definition::verdict(
    Scope::Plan,
    "backfill-clean",
    "backfill free of sharp and large stone",
)
.by("no sharp stone, and none over 1 in (25 mm)", "");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &SIDES_STAND,
    &SLOPE_ENOUGH,
    &FOOTING_CLEARANCE,
    &WALL_NEEDS_ENGINEER,
    &SOIL_HELD,
    &BACKFILL_CLEAN,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, basin) in &plan.basins {
        ledger.enter(&SIDES_STAND, &basin.place, |sheet| {
            sides_stand(sheet, plan, id, basin)
        });
    }
    for dig in plan.excavations.values() {
        ledger.enter(&SLOPE_ENOUGH, &dig.place, |sheet| slope_enough(sheet, plan, dig));
        ledger.enter(&FOOTING_CLEARANCE, &dig.place, |sheet| {
            footing_clearance(sheet, dig)
        });
    }
    for wall in plan.walls.values() {
        ledger.enter(&WALL_NEEDS_ENGINEER, &wall.place, |sheet| {
            wall_needs_engineer(sheet, wall)
        });
        ledger.enter(&SOIL_HELD, &wall.place, |sheet| soil_held(sheet, wall));
    }
    ledger.enter(&BACKFILL_CLEAN, &Place::root(), |sheet| {
        backfill_clean(sheet, plan)
    });
}

fn sides_stand(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let at = |wall: &&Given<Wall>| wall.basin.value().is_some_and(|basin| basin == id);
    if let Some(wall) = plan.walls.values().find(at) {
        sheet.note_place("wall", &wall.place.child("basin"));
        return yes("a wall holds them");
    }
    if let Shown::Is(frame) = &basin.frame {
        sheet.note_place("frame", &frame.place);
        return yes("a frame holds them");
    }
    let filled = matches!(basin.kind.value(), Some(BasinKind::Bed | BasinKind::Reservoir));
    if filled && !basin.layers.is_empty() && basin.impounded.is_none() {
        sheet.note_place("layers", &basin.place.child("layers"));
        return yes("its stone and modules hold them");
    }
    if matches!(basin.contours, Shown::Is(_)) {
        return Err(does_not_apply("contours do not say how steep its sides are"));
    }
    if let (Some(rim), Some(floor)) = (basin.rim.value(), basin.floor.value())
        && at_most(rim.0 - floor.0, FOOT)
    {
        return Err(does_not_apply("it is 12 in (300 mm) deep or less"));
    }
    let shape = part(&basin.shape, &basin.place, "shape")?;
    let form = part(&shape.form, &shape.place, "form")?;
    if form.value == Form::Bowl {
        return Err(does_not_apply("a bowl has no even slope"));
    }
    let slope = Measured {
        symbol: "m",
        value: &shape.side_slope,
        object: &shape.place,
        field: "side_slope",
    };
    let stands = slope.passes(
        sheet,
        |m| at_least(m, 1.0),
        "steeper than 1:1, and no wall or frame holds them",
    );
    match (stands, &basin.frame) {
        (Ok(Found::Verdict { holds: false, .. }), Shown::NotShown) => {
            Err(missing(basin.place.child("frame")))
        }
        (stands, _) => stands,
    }
}

/// The steepest slope a soil stands at, horizontal per vertical, and what asks for it.
const fn steepest(soil: Soil) -> (f64, &'static str) {
    match soil {
        Soil::Rock => (0.0, "rock, which stands at any slope"),
        Soil::A => (0.75, "soil A, which needs 3/4:1"),
        Soil::B => (1.0, "soil B, which needs 1:1"),
        Soil::C => (1.5, "soil C, which needs 1-1/2:1"),
        Soil::Unknown => (1.5, "unknown soil, which counts as C and needs 1-1/2:1"),
    }
}

fn slope_enough(sheet: &mut Worksheet<'_>, plan: &Plan, dig: &Given<Excavation>) -> Answer {
    let site = part(&plan.site, &Place::root(), "site")?;
    let soil = noted(sheet, &site.soil, &site.place, "soil")?;
    let (needed, words) = steepest(soil.value);
    if let Shown::None(place) = &dig.slope {
        sheet.note_place("m", place);
        return no(format!("the sides are not sloped, in {words}"), place);
    }
    let slope = sheet.given("m", &dig.slope, &dig.place, "slope")?;
    let shown = show_computed(slope, Kind::Slope, UnitSystem::Us);
    if at_least(slope, needed) {
        yes(format!("{shown} is flat enough for {words}"))
    } else {
        no(
            format!("{shown} is too steep for {words}"),
            &dig.place.child("slope"),
        )
    }
}

fn footing_clearance(sheet: &mut Worksheet<'_>, dig: &Given<Excavation>) -> Answer {
    let footing = part(&dig.footing, &dig.place, "footing")?;
    if let Shown::Is(engineer) = &dig.engineer {
        sheet.note_place("engineer", &engineer.place);
        return Err(does_not_apply("an engineer is named for its support"));
    }
    let at = &footing.place;
    let distance = sheet.given("a", &footing.distance, at, "distance")?;
    let depth = sheet.given("d_dig", &dig.depth, &dig.place, "depth")?;
    let below = depth - sheet.given("d_footing", &footing.depth, at, "depth")?;
    if at_most(below, 0.0) {
        return Err(does_not_apply("the dig is no deeper than the footing"));
    }
    let sloped = dig.protection.value() == Some(&Protection::Sloped);
    let set_back = match &dig.slope {
        Shown::Is(slope) if sloped => {
            sheet.note_given("m", slope);
            slope.value.0 * depth
        }
        _ => {
            sheet.worked("m", 0.0, Kind::Slope);
            0.0
        }
    };
    quantity((distance + set_back) / below)
}

fn wall_needs_engineer(sheet: &mut Worksheet<'_>, wall: &Given<Wall>) -> Answer {
    let height = sheet.given("h", &wall.height, &wall.place, "height");
    let tall = height.and_then(|height| {
        if at_most(height, 4.0 * FOOT) {
            not("4 ft (1.2 m) or lower, with nothing loading the ground behind")
        } else {
            yes("over 4 ft (1.2 m) high")
        }
    });
    let loaded = match &wall.surcharge {
        Shown::Is(surcharge) => {
            sheet.note_place("surcharge", &surcharge.place);
            yes("the ground behind is loaded")
        }
        Shown::None(_) => not("nothing loads the ground behind"),
        Shown::NotShown => Err(missing(wall.place.child("surcharge"))),
    };
    any([tall, loaded])
}

fn soil_held(sheet: &mut Worksheet<'_>, wall: &Given<Wall>) -> Answer {
    let at = &wall.place;
    let filter = given(
        sheet,
        &wall.filter,
        at,
        "filter",
        "there is no filter between wall and soil",
    );
    let packed = said(
        sheet,
        &wall.joints_packed,
        at,
        "joints_packed",
        "the joints are not packed",
    );
    all("filtered, with packed joints", [filter, packed])
}

fn backfill_clean(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let backfill = part(&plan.backfill, &Place::root(), "backfill")?;
    let at = &backfill.place;
    let place = at.child("sharp_stone");
    let blunt = match backfill.sharp_stone.yes() {
        None => Err(missing(place)),
        Some(sharp) => {
            sheet.note_place("sharp_stone", &place);
            if sharp {
                no("it holds sharp stone", &place)
            } else {
                yes("it holds no sharp stone")
            }
        }
    };
    // Backfill that is said to hold no stone has none that is too large.
    let small = if backfill.largest_stone.is_none() {
        yes("it holds no stone")
    } else {
        let stone = Measured {
            symbol: "d",
            value: &backfill.largest_stone,
            object: at,
            field: "largest_stone",
        };
        stone.passes(sheet, |d| at_most(d, INCH), "it holds stone over 1 in (25 mm)")
    };
    all("no sharp stone and none over 1 in (25 mm)", [blunt, small])
}
