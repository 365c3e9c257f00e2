//! What holds a basin's water and what lies on its sheet: raised sides, lids, cover on slopes, vents, pipes.

use super::{
    fish::keeps_fish,
    parts::{given, noted, part},
};
use crate::{
    ledger::{
        Answer, Definition, Found, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, either,
        missing, no, quantity, stated, yes,
    },
    plan::{
        Basin, BasinKind, ConstructionKind, Fill, Form, Given, Layer, Measure, PipeMaterial, Plan, Run,
        Shape, Shown, Tamper, Wall,
    },
    quantity::{FOOT, INCH, Kind},
    read::Place,
};

static RAISED_SIDES_DESIGNED: Definition = Definition::verdict(
    Scope::Basins,
    "raised-sides-designed",
    "raised sides designed by somebody named",
)
.by(
    "where a wall, a frame, a shell, a tank or sides steeper than 1:1 hold water 2 ft (0.6 m) or more above the ground: \
     the basin, or each wall at it, names who designed them",
    "",
);
static SHAFT_COVERED: Definition = Definition::verdict(
    Scope::Basins,
    "shaft-covered",
    "skimmer box or open reservoir covered",
)
.by(
    "where the basin has a skimmer, or is a reservoir with no stone or modules: how it is covered is given",
    "",
);
static COVER_STAYS: Definition =
    Definition::verdict(Scope::Basins, "cover-stays", "slope on which stone or soil stays").by(
        "in a pond or pool without wall or frame: sides of 2-1/2:1 or flatter under stone or soil, or steeper than 1/2:1, \
         where it can lie on floor and shelves only, or layers no larger than the floor",
        "m ≥ 2.5",
    );
static LARGE_SHEET: Definition = Definition::verdict(Scope::Basins, "large-sheet", "large lined area").by(
    "lined, and more than 0.1 acre (400 m²) at the rim, by contours or by length and width",
    "A > 0.1 acre (400 m²)",
);
static PIPE_SAFE_FOR_FISH: Definition =
    Definition::verdict(Scope::Runs, "pipe-safe-for-fish", "pipe that gives off no copper")
        .by("it is no copper pipe; not where no fish are kept", "");
static LIFT_ALLOWED: Definition = Definition::quantity(
    Scope::Plan,
    "lift-allowed",
    "loose lift that the tamper packs: swung by hand 4 in (100 mm), jumping jack or plate 8 in (200 mm)",
    Kind::Length,
)
.by(
    "swung by hand 4 in (100 mm); jumping jack or plate 8 in (200 mm)",
    "t",
)
.from("NRCS construction specifications CS-23 and AR-23A, earth fill");

static DRIP_LINE: Definition = Definition::quantity(
    Scope::Excavations,
    "drip-line",
    "radius of the crown of the nearest tree",
    Kind::Length,
)
.by("radius of the crown of the nearest tree to keep", "r");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &DRIP_LINE,
    &RAISED_SIDES_DESIGNED,
    &SHAFT_COVERED,
    &COVER_STAYS,
    &LARGE_SHEET,
    &PIPE_SAFE_FOR_FISH,
    &LIFT_ALLOWED,
];

/// A tenth of an acre, m².
const LARGE_AREA: f64 = 404.7;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&RAISED_SIDES_DESIGNED, at, |sheet| {
            raised_sides_designed(sheet, plan, id, basin)
        });
        ledger.enter(&SHAFT_COVERED, at, |sheet| shaft_covered(sheet, basin));
        ledger.enter(&COVER_STAYS, at, |sheet| cover_stays(sheet, plan, id, basin));
        ledger.enter(&LARGE_SHEET, at, |sheet| large_sheet(sheet, basin));
    }
    for run in plan.lines.values().flat_map(|line| line.runs.values()) {
        ledger.enter(&PIPE_SAFE_FOR_FISH, &run.place, |sheet| {
            pipe_safe_for_fish(sheet, run)
        });
    }
    for dig in plan.excavations.values() {
        ledger.enter(&DRIP_LINE, &dig.place, |sheet| {
            let tree = part(&dig.tree, &dig.place, "tree")?;
            quantity(sheet.given("r", &tree.crown_radius, &tree.place, "crown_radius")?)
        });
    }
    ledger.enter(&LIFT_ALLOWED, &Place::root(), |sheet| lift_allowed(sheet, plan));
}

/// The walls that stand at a basin.
fn walls_at<'p>(plan: &'p Plan, id: &str) -> Vec<&'p Given<Wall>> {
    let here = |wall: &&Given<Wall>| wall.basin.value().is_some_and(|basin| basin == id);
    plan.walls.values().filter(here).collect()
}

fn raised_sides_designed(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    let walls = walls_at(plan, id);
    // A plan that draws neither wall nor frame is not asked how high an earth bank holds the water.
    let stands = stands_up(sheet, basin);
    if walls.is_empty()
        && stands.is_none()
        && basin.frame.given().is_none()
        && basin.impounded.given().is_none()
    {
        return Err(does_not_apply("no raised sides are drawn"));
    }
    let raised = sheet.given("h", &basin.impounded, at, "impounded")?;
    if !at_least(raised, 2.0 * FOOT) {
        return Err(does_not_apply(
            "the water stands less than 2 ft (0.6 m) above the ground",
        ));
    }
    if walls.is_empty() {
        match &basin.frame {
            Shown::Is(frame) => sheet.note_place("frame", &frame.place),
            // Sides that stand up hold the water whether or not the plan draws what holds them.
            _ if stands.is_some() => {}
            Shown::None(_) => return Err(does_not_apply("an earth bank holds it")),
            Shown::NotShown => return Err(missing(at.child("frame"))),
        }
    }
    let by_walls = !walls.is_empty() && walls.iter().all(|wall| wall.engineer.given().is_some());
    let undesigned = "nobody is named who designed the sides that hold the water above the ground";
    let basin_by = given(sheet, &basin.engineer, at, "engineer", undesigned);
    if by_walls {
        for wall in walls {
            sheet.note_place("wall", &wall.place.child("engineer"));
        }
        return yes("each wall at it names who designed it");
    }
    basin_by
}

/// Why the sides of a basin stand up though the plan draws no frame: earth does not stand steeper than 1:1 over the ground.
fn stands_up(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Option<&'static str> {
    let construction = basin.construction.given();
    if let Some(kind) = construction.and_then(|it| it.kind.given())
        && kind.value != ConstructionKind::LinedEarth
    {
        sheet.note_place("kind", &kind.place);
        return Some("it is no earth bank");
    }
    let slope = basin.shape.given().and_then(|shape| shape.side_slope.given())?;
    if matches!(basin.frame, Shown::None(_)) && slope.si() < 1.0 {
        sheet.note_given("m", slope);
        return Some("its sides are steeper than earth stands");
    }
    None
}

fn shaft_covered(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    let kind = noted(sheet, &basin.kind, at, "kind")?;
    let open_reservoir = kind.value == BasinKind::Reservoir && basin.layers.is_empty();
    match basin.skimmer.given() {
        Some(skimmer) => sheet.note_place("skimmer", &skimmer.place),
        None if !open_reservoir => return Err(does_not_apply("neither skimmer nor open reservoir is drawn")),
        None => {}
    }
    given(
        sheet,
        &basin.covers,
        at,
        "covers",
        "a skimmer box or an open reservoir has no secured lid",
    )
}

fn cover_stays(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let at = &basin.place;
    let kind = part(&basin.kind, at, "kind")?;
    if !matches!(kind.value, BasinKind::Pond | BasinKind::Pool) {
        return Err(does_not_apply("stone fills it from side to side"));
    }
    let covers = |layer: &&Given<Layer>| matches!(layer.fill.value(), Some(Fill::Stone | Fill::Soil));
    let cover: Vec<_> = basin.layers.values().filter(covers).collect();
    if cover.is_empty() || part(&basin.lining, at, "lining").is_err() {
        return Err(does_not_apply("no stone or soil lies on a sheet in it"));
    }
    if !walls_at(plan, id).is_empty() || basin.frame.given().is_some() {
        return Err(does_not_apply("a wall or frame holds its sides"));
    }
    if basin.contours.given().is_some() {
        return Err(does_not_apply("contours do not say how steep its sides are"));
    }
    let shape = part(&basin.shape, at, "shape")?;
    if shape.form.value() == Some(&Form::Bowl) {
        return Err(does_not_apply("a bowl has no even slope"));
    }
    let slope = sheet.given("m", &shape.side_slope, &shape.place, "side_slope")?;
    if at_least(slope, 2.5) {
        return yes("2-1/2:1 or flatter");
    }
    if slope < 0.5 {
        return yes("too steep for cover, which lies on floor and shelves");
    }
    let floor = floor_area(shape, slope);
    let on_floor = |layer: &&Given<Layer>| match (layer.area.value(), floor) {
        (Some(area), Some(floor)) => at_most(area.0, floor),
        _ => false,
    };
    if cover.iter().all(on_floor) {
        return yes("it lies on the floor only");
    }
    no(
        "stone or soil lies on sides steeper than 2-1/2:1",
        &shape.place.child("side_slope"),
    )
}

/// Area of the floor of an evenly sloped basin, m².
fn floor_area(shape: &Given<Shape>, slope: f64) -> Option<f64> {
    let within = |size: f64, depth: f64| f64::max(size - 2.0 * slope * depth, 0.0);
    let depth = shape.depth.value()?.0;
    let length = within(shape.length.value()?.0, depth);
    let width = within(shape.width.value().or_else(|| shape.length.value())?.0, depth);
    let share = match shape.form.value()? {
        Form::Rectangle => 1.0,
        Form::Ellipse | Form::Circle => std::f64::consts::FRAC_PI_4,
        Form::Bowl => return None,
    };
    Some(share * length * width)
}

fn large_sheet(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    part(&basin.lining, &basin.place, "lining")?;
    if let Shown::Is(contours) = &basin.contours {
        sheet.note_place("contours", &contours.place);
        let areas = contours.iter().filter_map(|contour| contour.area.value());
        let top = areas.map(|area| area.0).fold(0.0, f64::max);
        return either(
            top > LARGE_AREA,
            "more than 0.1 acre (400 m²)",
            "0.1 acre (400 m²) or less",
        );
    }
    let shape = part(&basin.shape, &basin.place, "shape")?;
    let length = sheet.given("L", &shape.length, &shape.place, "length")?;
    let width = match &shape.width {
        Shown::NotShown if shape.form.value() == Some(&Form::Circle) => length,
        width => sheet.given("B", width, &shape.place, "width")?,
    };
    either(
        length * width > LARGE_AREA,
        "more than 0.1 acre (400 m²)",
        "0.1 acre (400 m²) or less",
    )
}

fn pipe_safe_for_fish(sheet: &mut Worksheet<'_>, run: &Given<Run>) -> Answer {
    match keeps_fish(sheet) {
        Some(Ok(Found::Verdict { holds: true, .. })) => {}
        Some(Err(gap)) => return Err(gap.clone()),
        _ => return Err(does_not_apply("no fish are kept")),
    }
    let pipe = part(&run.pipe, &run.place, "pipe")?;
    let material = noted(sheet, &pipe.material, &pipe.place, "material")?;
    if material.value == PipeMaterial::Copper {
        no("copper pipe carries the fish’s water", &material.place)
    } else {
        yes("it is no copper pipe")
    }
}

fn lift_allowed(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let backfill = part(&plan.backfill, &Place::root(), "backfill")?;
    let tamper = noted(sheet, &backfill.tamper, &backfill.place, "tamper")?;
    match tamper.value {
        Tamper::Hand => stated(4.0 * INCH, 0.100),
        Tamper::Plate => stated(8.0 * INCH, 0.200),
        Tamper::Machine => Err(does_not_apply("a machine packs it")),
    }
}
