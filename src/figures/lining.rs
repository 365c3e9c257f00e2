//! Sheets: how much membrane and underlay a basin takes, against what is given.

use crate::{
    formulas::lining::{developed, developed_bowl},
    hydraulics::storage::{self, Storages},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Basin, Form, Given, Lining, Plan, Shape, Shown},
    quantity::{INCH, Kind},
    read::Place,
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
.within("rectangle, ellipse, circle or bowl; shelves change nothing; no fold or wrinkle allowed for");
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
.within("rectangle, ellipse, circle or bowl; shelves change nothing; no fold or wrinkle allowed for");
static SHEET_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "sheet-given-over-needed",
    "sheet given as a multiple of the sheet needed",
    Kind::Ratio,
)
.by(
    "the lesser of long side to long side and short side to short side",
    "r = min(L_long/l_long, L_short/l_short)",
);
static SHEET_AREA_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "sheet-over-rim-area",
    "area of the sheet as a multiple of the basin’s at the rim",
    Kind::Ratio,
)
.by(
    "length by width over the area inside the rim",
    "r = L_given·W_given/A_rim",
)
.within("any shape; sides and edges take more, so that 1 is never enough");
static UNDERLAY_NEEDED: Definition = Definition::quantity(
    Scope::Basins,
    "underlay-needed",
    "underlay needed, laps not counted",
    Kind::Area,
)
.by("needed length by needed width of the sheet", "A = l·w")
.within("a rectangle that covers the basin; round basins leave offcuts");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &LENGTH_NEEDED,
    &WIDTH_NEEDED,
    &SHEET_SHARE,
    &SHEET_AREA_SHARE,
    &UNDERLAY_NEEDED,
];

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
        ledger.enter(&SHEET_SHARE, at, |sheet| quantity(share(sheet, lining, at)?));
        ledger.enter(&SHEET_AREA_SHARE, at, |sheet| {
            let (length, width) = one_sheet(sheet, lining)?;
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            let inside = storage::of(vessels, id)?.storage.plan_area(rim);
            quantity(length * width / sheet.worked("A_rim", inside, Kind::Area))
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
        return Err(Gap::NotComputed(
            "contours give areas, and no lengths across".to_owned(),
        ));
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
    let framed = matches!(basin.frame, Shown::Is(_));
    let (edge, why) = if framed {
        (FRAMED_EDGE, FRAMED_WHY)
    } else {
        (EDGE, EDGE_WHY)
    };
    let edge = if plan.is_in_si() { edge.1 } else { edge.0 };
    Ok(lined + 2.0 * sheet.assumed("a", edge, Kind::Length, why))
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

/// Given over needed, the long side against the long side.
fn share(sheet: &mut Worksheet<'_>, lining: &Given<Lining>, at: &Place) -> Result<f64, Gap> {
    let (length, width) = one_sheet(sheet, lining)?;
    let along = sheet.figure("l", &LENGTH_NEEDED, at)?;
    let across = sheet.figure("w", &WIDTH_NEEDED, at)?;
    let mut side = |symbol, metres| sheet.worked(symbol, metres, Kind::Length);
    let long = side("L_long", length.max(width)) / side("l_long", along.max(across));
    let short = side("L_short", length.min(width)) / side("l_short", along.min(across));
    Ok(long.min(short))
}
