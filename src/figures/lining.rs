//! Sheets: how much membrane and underlay a basin takes, against what is given.

use crate::{
    formulas::lining::{developed, developed_bowl, developed_by_contours, least_surface},
    hydraulics::storage::{self, Storages},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Basin, Form, Given, Lining, Plan, Shape, Shown},
    quantity::{INCH, Kind},
};

/// Sheet beyond the rim on each side, m: 12 in, or 300 mm in a plan in SI.
const EDGE: (f64, f64) = (12.0 * INCH, 0.3);
const EDGE_WHY: &str = "12 in (300 mm) of sheet beyond the rim on every side (common practice)";
/// Sheet over the top of a wall or frame that it is clamped to, m: 8 in, or 200 mm.
const FRAMED_EDGE: (f64, f64) = (8.0 * INCH, 0.2);
const FRAMED_WHY: &str = "8 in (200 mm) of sheet over the frame on every side (common practice)";

static LENGTH_NEEDED: Definition = Definition::quantity(
    Scope::Basins,
    "sheet-length-needed",
    "sheet needed along the basin",
    Kind::Length,
)
.by(
    "across the floor, up both sides and over the edges",
    "l = b + 2·d·(√(1 + m²) − m) + 2·a",
)
.within("rectangle, ellipse, circle or bowl, or contours that are alike in plan, with the length across the top; shelves change nothing; no fold or wrinkle allowed for");
static WIDTH_NEEDED: Definition = Definition::quantity(
    Scope::Basins,
    "sheet-width-needed",
    "sheet needed across the basin",
    Kind::Length,
)
.by(
    "across the floor, up both sides and over the edges",
    "w = b + 2·d·(√(1 + m²) − m) + 2·a",
)
.within("rectangle, ellipse, circle or bowl, or contours that are alike in plan, with the width across the top; shelves change nothing; no fold or wrinkle allowed for");
static SHEET_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "sheet-given-over-needed",
    "sheet given as a multiple of the sheet needed",
    Kind::Ratio,
)
.by(
    "the lesser of long side to long side and short side to short side; of contours without a length and width across, \
     area to the least area that lines a basin of these contours",
    "r = min(L_long/l_long, L_short/l_short)",
);
static UNDERLAY_NEEDED: Definition = Definition::quantity(
    Scope::Basins,
    "underlay-needed",
    "underlay needed, laps not counted",
    Kind::Area,
)
.by("needed length by needed width of the sheet", "A = l·w")
.within("a rectangle that covers the basin; round basins leave offcuts");

pub(super) static DEFINITIONS: &[&Definition] =
    &[&LENGTH_NEEDED, &WIDTH_NEEDED, &SHEET_SHARE, &UNDERLAY_NEEDED];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        let Shown::Is(lining) = &basin.lining else {
            continue;
        };
        ledger.enter(&LENGTH_NEEDED, at, |sheet| {
            storage::of(vessels, id)?;
            quantity(needed(sheet, plan, basin, MembraneSide::Length)?)
        });
        ledger.enter(&WIDTH_NEEDED, at, |sheet| {
            storage::of(vessels, id)?;
            quantity(needed(sheet, plan, basin, MembraneSide::Width)?)
        });
        ledger.enter(&SHEET_SHARE, at, |sheet| {
            quantity(share(sheet, plan, basin, lining)?)
        });
        if matches!(lining.underlay, Shown::Is(_)) {
            ledger.enter(&UNDERLAY_NEEDED, at, |sheet| {
                let length = sheet.figure("l", &LENGTH_NEEDED, at)?;
                quantity(length * sheet.figure("w", &WIDTH_NEEDED, at)?)
            });
        }
    }
}

#[derive(Clone, Copy)]
enum MembraneSide {
    Length,
    Width,
}

/// Developed length one side, with its two edges, m.
fn needed(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    basin: &Given<Basin>,
    side: MembraneSide,
) -> Result<f64, Gap> {
    if matches!(basin.contours, Shown::Is(_)) {
        let lined = by_contours(sheet, basin, side)?;
        return Ok(lined + 2.0 * edge(sheet, plan, basin));
    }
    let Shown::Is(shape) = &basin.shape else {
        return Err(missing(basin.place.child("shape")));
    };
    let form = *shape
        .form
        .value()
        .ok_or_else(|| missing(shape.place.child("form")))?;
    let width = match side {
        MembraneSide::Width if form != Form::Circle => {
            sheet.given("b", &shape.width, &shape.place, "width")?
        }
        _ => sheet.given("b", &shape.length, &shape.place, "length")?,
    };
    let depth = depth(sheet, basin, shape)?;
    let lined = if form == Form::Bowl {
        developed_bowl(width, depth)
    } else {
        let slope = sheet.given("m", &shape.side_slope, &shape.place, "side_slope")?;
        developed(width, depth, slope)
    };
    Ok(lined + 2.0 * edge(sheet, plan, basin))
}

/// Sheet beyond the rim, or over a frame, on each side, m.
fn edge(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> f64 {
    let framed = matches!(basin.frame, Shown::Is(_));
    let (edge, why) = if framed {
        (FRAMED_EDGE, FRAMED_WHY)
    } else {
        (EDGE, EDGE_WHY)
    };
    let edge = if plan.is_in_si() { edge.1 } else { edge.0 };
    sheet.assumed("a", edge, Kind::Length, why)
}

/// Developed length one side of a basin given by contours, m, by the length or width across its top that its shape gives;
/// further down it is as much less as the root of the area is.
fn by_contours(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, side: MembraneSide) -> Result<f64, Gap> {
    let none = || Gap::NotComputed("contours give areas, and no length and width across".to_owned());
    let shape = basin.shape.given().ok_or_else(none)?;
    let across = match side {
        MembraneSide::Width if shape.form.value() != Some(&Form::Circle) => &shape.width,
        _ => &shape.length,
    };
    let across = across.given().ok_or_else(none)?;
    sheet.note_given("b", across);
    let contours = contours_to_the_rim(sheet, basin)?;
    let top = contours.last().map_or(0.0, |(_, area)| *area);
    let widths: Vec<(f64, f64)> = contours
        .iter()
        .map(|(level, area)| (*level, across.value.0 * (area / top).sqrt()))
        .collect();
    Ok(developed_by_contours(&widths))
}

/// Levels and areas of a basin’s contours from the floor up to its rim, m and m²; over the last one it rises upright.
fn contours_to_the_rim(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<Vec<(f64, f64)>, Gap> {
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let given = basin
        .contours
        .given()
        .ok_or_else(|| missing(basin.place.child("contours")))?;
    sheet.note_place("A(z)", &given.place);
    let pairs = given
        .iter()
        .filter_map(|contour| Some((contour.level.value()?.0, contour.area.value()?.0)));
    let mut contours: Vec<(f64, f64)> = Vec::new();
    for (level, area) in pairs {
        if let (true, Some((below, inner))) = (level > rim, contours.last().copied()) {
            let share = (rim - below) / (level - below);
            contours.push((rim, inner + share * (area - inner)));
            return Ok(contours);
        }
        contours.push((level, area));
    }
    if let Some((level, area)) = contours.last().copied()
        && level < rim
    {
        contours.push((rim, area));
    }
    Ok(contours)
}

fn depth(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, shape: &Given<Shape>) -> Result<f64, Gap> {
    if matches!(basin.floor, Shown::Is(_)) {
        let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
        let depth = rim - sheet.given("z_floor", &basin.floor, &basin.place, "floor")?;
        return Ok(depth);
    }
    sheet.given("d", &shape.depth, &shape.place, "depth")
}

/// Length and width of a sheet in one piece, m.
fn one_sheet(sheet: &mut Worksheet<'_>, lining: &Given<Lining>) -> Result<(f64, f64), Gap> {
    let left_out = |field| missing(lining.place.join(field));
    let Shown::Is(membrane) = &lining.membrane else {
        return Err(left_out("membrane"));
    };
    match &membrane.seams {
        Shown::None(place) => sheet.note_place("seams", place),
        Shown::Is(_) => {
            let pieces = membrane.place.child("sheets");
            match membrane.sheets.value() {
                None => return Err(missing(pieces)),
                Some(1) => sheet.note_place("sheets", &pieces),
                Some(_) => return Err(does_not_apply("it is seamed from more than one sheet")),
            }
        }
        Shown::NotShown => return Err(left_out("membrane/seams")),
    }
    let length = sheet.given("L_given", &membrane.length, &membrane.place, "length")?;
    let width = sheet.given("W_given", &membrane.width, &membrane.place, "width")?;
    Ok((length, width))
}

/// Given over needed, the long side against the long side; of contours with nothing across, area against area.
fn share(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    basin: &Given<Basin>,
    lining: &Given<Lining>,
) -> Result<f64, Gap> {
    let at = &basin.place;
    let (length, width) = one_sheet(sheet, lining)?;
    if matches!(basin.contours, Shown::Is(_)) && !matches!(basin.shape, Shown::Is(_)) {
        let contours = contours_to_the_rim(sheet, basin)?;
        let least = least_surface(&contours, edge(sheet, plan, basin));
        return Ok(length * width / sheet.worked("A_least", least, Kind::Area));
    }
    let along = sheet.figure("l", &LENGTH_NEEDED, at)?;
    let across = sheet.figure("w", &WIDTH_NEEDED, at)?;
    let mut side = |symbol, metres| sheet.worked(symbol, metres, Kind::Length);
    let long = side("L_long", length.max(width)) / side("l_long", along.max(across));
    let short = side("L_short", length.min(width)) / side("l_short", along.min(across));
    Ok(long.min(short))
}
