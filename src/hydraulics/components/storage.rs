//! What each basin holds against its level: its shape, and the voids of what fills it.

use std::{f64::consts::PI, sync::Arc};

use indexmap::IndexMap;

use crate::{
    formulas::storage::{Inner, Layer as Slice, Outline, Profile, Shelf, Storage},
    ledger::{Gap, Input, Notes},
    plan::{Basin, BasinKind, Fill, Form, Given, Layer, Length, Measure, Plan, Shape, Shown},
    quantity::{Kind, agree},
};

/// Voids of graded stone where the plan is silent.
const STONE_POROSITY: f64 = 0.40;
const STONE_POROSITY_WHY: &str = "40 % voids in stone whose porosity is not shown (common practice)";
/// Voids of soil or fabric where the plan is silent.
const SOIL_POROSITY: f64 = 0.35;

/// A basin's water against its level, and what that rests on.
#[derive(Clone, Debug)]
pub(crate) struct BasinStorage {
    pub storage: Storage,
    pub inputs: Arc<[Input]>,
}

/// The vessels of a plan by basin id.
pub(crate) type Storages = IndexMap<String, Result<BasinStorage, Gap>>;

/// The vessel of every basin.
pub(crate) fn all(plan: &Plan) -> Storages {
    plan.basins
        .iter()
        .map(|(id, basin)| (id.clone(), vessel(basin)))
        .collect()
}

fn vessel(basin: &Given<Basin>) -> Result<BasinStorage, Gap> {
    let mut sheet = Notes::default();
    let profile = profile(&mut sheet, basin)?;
    let slices = slices(&mut sheet, basin, profile.top(), &profile)?;
    let storage = Storage::filled(&profile, &slices).map_err(|error| Gap::NotComputed(error.to_string()))?;
    Ok(BasinStorage {
        storage,
        inputs: sheet.into_inputs().into(),
    })
}

/// Contours where they are given, else the simple shape.
fn profile(sheet: &mut Notes, basin: &Given<Basin>) -> Result<Profile, Gap> {
    let built = match (&basin.contours, &basin.shape) {
        (Shown::Is(contours), _) => {
            sheet.note_place("A(z)", &contours.place);
            let mut pairs: Vec<(f64, f64)> = Vec::new();
            for (index, contour) in contours.iter().enumerate() {
                let at = contours.place.child(&index.to_string());
                match (contour.level.value(), contour.area.value()) {
                    (Some(level), Some(area)) => {
                        // Two contours at one level, written in other units, make the shelf that they are.
                        let level = level.si();
                        let below = pairs.last().map(|(below, _)| *below);
                        let level = below.filter(|below| agree(*below, level)).unwrap_or(level);
                        pairs.push((level, area.si()));
                    }
                    _ => return Err(Gap::NotShown(vec![at])),
                }
            }
            Profile::contours(&pairs)
        }
        (_, Shown::Is(shape)) => return from_shape(sheet, basin, shape),
        _ => return Err(Gap::NotShown(vec![basin.place.child("shape")])),
    };
    built.map_err(|error| Gap::NotComputed(error.to_string()))
}

fn from_shape(sheet: &mut Notes, basin: &Given<Basin>, shape: &Given<Shape>) -> Result<Profile, Gap> {
    let at = &shape.place;
    let form = shape
        .form
        .value()
        .copied()
        .ok_or_else(|| Gap::NotShown(vec![at.child("form")]))?;
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let depth = match (&basin.floor, &shape.depth) {
        (Shown::Is(floor), _) => {
            sheet.note_given("z_floor", floor);
            rim - floor.si()
        }
        (_, Shown::Is(depth)) => {
            sheet.note_given("d", depth);
            depth.si()
        }
        _ => return Err(Gap::NotShown(vec![basin.place.child("floor")])),
    };
    let length = sheet.given("L", &shape.length, at, "length")?;
    let width = if form == Form::Circle {
        length
    } else {
        sheet.given("W", &shape.width, at, "width")?
    };
    let built = match form {
        Form::Bowl => Profile::bowl(rim - depth, length, width, depth),
        Form::Rectangle | Form::Ellipse | Form::Circle => {
            let slope = sheet.given("s", &shape.side_slope, at, "side_slope")?;
            let outline = if form == Form::Rectangle {
                Outline::Rectangle
            } else {
                Outline::Ellipse
            };
            let mut shelves: Vec<Shelf> = Vec::new();
            for shelf in shape.shelves.values() {
                let level = sheet.given("z_shelf", &shelf.level, &shelf.place, "level")?;
                let width = sheet.given("w_shelf", &shelf.width, &shelf.place, "width")?;
                shelves.push(Shelf {
                    depth: rim - level,
                    width,
                });
            }
            shelves.sort_by(|a, b| a.depth.total_cmp(&b.depth));
            Profile::from_top(outline, rim, length, width, depth, slope, &shelves)
        }
    };
    built.map_err(|error| Gap::NotComputed(error.to_string()))
}

/// The layers as slices between levels, from the floor up, each cut off at the rim.
fn slices(sheet: &mut Notes, basin: &Given<Basin>, top: f64, profile: &Profile) -> Result<Vec<Slice>, Gap> {
    if basin.layers.is_empty() && basin.kind.value() == Some(&BasinKind::Bed) {
        return Err(Gap::NotShown(vec![basin.place.child("layers")]));
    }
    let layers: Vec<&Given<Layer>> = basin.layers.values().collect();
    let mut level = Storage::open(profile).floor();
    let mut slices = Vec::new();
    for (index, layer) in layers.iter().enumerate() {
        let thickness = sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
        let bottom = level;
        level += thickness;
        if bottom >= top || thickness <= 0.0 {
            continue;
        }
        let own = porosity(sheet, layer)?;
        // Modules that cover less than the whole plan stand in the stone of the layer above them.
        let (porosity, inner) = match &layer.area {
            Shown::Is(area) => {
                sheet.note_given("A_layer", area);
                let round = match layers.get(index + 1) {
                    Some(above) => porosity(sheet, above)?,
                    None => STONE_POROSITY,
                };
                (
                    round,
                    Some(Inner {
                        area: area.si(),
                        porosity: own,
                    }),
                )
            }
            _ => (own, None),
        };
        slices.push(Slice {
            bottom,
            top: level.min(top),
            porosity,
            inner,
        });
    }
    Ok(slices)
}

/// Voids over whole volume of a layer.
pub(crate) fn porosity(sheet: &mut Notes, layer: &Given<Layer>) -> Result<f64, Gap> {
    match (layer.fill.value(), &layer.porosity) {
        (Some(Fill::Modules), _) => sheet.given("n_modules", &layer.void_ratio, &layer.place, "void_ratio"),
        (_, Shown::Is(porosity)) => {
            sheet.note_given("n", porosity);
            Ok(porosity.si())
        }
        (Some(Fill::Stone), _) => Ok(sheet.assumed("n", STONE_POROSITY, Kind::Ratio, STONE_POROSITY_WHY)),
        _ => Ok(sheet.assumed(
            "n",
            SOIL_POROSITY,
            Kind::Ratio,
            "35 % voids in soil or fabric (common practice)",
        )),
    }
}

/// The vessel of a basin, or why there is none.
pub(crate) fn of<'a>(vessels: &'a Storages, id: &str) -> Result<&'a BasinStorage, Gap> {
    match vessels.get(id) {
        Some(Ok(vessel)) => Ok(vessel),
        Some(Err(gap)) => Err(gap.clone()),
        None => Err(Gap::NotShown(vec![Plan::basin_place(id)])),
    }
}

/// Length of the rim, m: of the shape as given; else that of a circle of the same area, which is the least it can be.
pub(crate) fn rim_length(basin: &Basin, storage: &Storage) -> f64 {
    let round = 2.0 * (PI * storage.plan_area(storage.top())).sqrt();
    let (Shown::NotShown, Some(shape)) = (&basin.contours, basin.shape.value()) else {
        return round;
    };
    let size = |length: &Shown<Length>| length.value().map(|length| length.si());
    match (shape.form.value(), size(&shape.length), size(&shape.width)) {
        (Some(Form::Rectangle), Some(length), Some(width)) => 2.0 * (length + width),
        _ => round,
    }
}
