//! Stone that a line feeds from below: what the water loses on its way up through a bed.

use super::storage;
use crate::{
    formulas::{bed, pipe},
    ledger::{Gap, Input, Notes},
    plan::{Basin, BasinKind, Fill, FlowDirection, Given, Layer, Plan, StoneShape},
    quantity::Kind,
};

/// A bed that lines feed under water, from below its stone.
pub(crate) struct BedPart<'a> {
    pub id: &'a str,
    /// Its stone; none where the plan does not show enough of it.
    pub stone: Option<Stone>,
    /// What the clean stone rests on, or that it is left out.
    pub inputs: Vec<Input>,
    /// What the fouled stone rests on beside.
    pub fouled_inputs: Vec<Input>,
}

/// The stone of a bed as a fitting of the pipe that feeds it.
pub(crate) struct Stone {
    pub clean: pipe::Run,
    pub fouled: pipe::Run,
}

/// The beds that a line feeds from below: `widest` is the bore of the widest run that ends in a bed under water, m.
pub(crate) fn fed_from_below(plan: &Plan, widest: impl Fn(&str) -> Option<f64>) -> Vec<BedPart<'_>> {
    let beds = plan
        .basins
        .iter()
        .filter(|(_, basin)| basin.kind.value() == Some(&BasinKind::Bed) && rises(basin));
    beds.filter_map(|(id, basin)| Some(part(id, basin, widest(id)?)))
        .collect()
}

/// Whether water rises through a bed: so it does unless the plan says otherwise.
fn rises(basin: &Basin) -> bool {
    let direction = basin.flow_direction.value();
    direction.is_none_or(|direction| *direction == FlowDirection::Upward)
}

fn part<'a>(id: &'a str, basin: &'a Given<Basin>, diameter: f64) -> BedPart<'a> {
    let (mut told, mut fouled_told) = (Notes::default(), Notes::default());
    let stone = stone(&mut fouled_told, basin, diameter);
    if stone.is_ok() {
        told.note_place("h_stone", &basin.place.child("layers"));
    } else {
        let why = format!(
            "the little head lost in the stone of `{id}` is left out of the circuit: the plan does not \
             show all that Ergun’s law asks"
        );
        told.assumed("h_stone", 0.0, Kind::Length, &why);
    }
    BedPart {
        id,
        fouled_inputs: stone.as_ref().map_or(Vec::new(), |_| fouled_told.into_inputs()),
        stone: stone.ok(),
        inputs: told.into_inputs(),
    }
}

/// The stone of a bed, clean and fouled; what fouls it is noted.
fn stone(fouled_told: &mut Notes, basin: &Given<Basin>, diameter: f64) -> Result<Stone, Gap> {
    let mut sheet = Notes::default();
    let area = sheet.given("A_open", &basin.open_surface, &basin.place, "open_surface")?;
    let open = open_when_fouled(fouled_told);
    let mut with = |open: f64| -> Result<pipe::Run, Gap> {
        let layers = stones(&mut sheet, basin, open)?;
        let loss = bed::as_fitting(&layers, area, diameter);
        Ok(pipe::Run {
            diameter,
            length: 0.0,
            roughness: 0.0,
            minor_k: loss.turbulent,
            laminar_k: loss.laminar,
        })
    };
    let (clean, fouled) = (with(1.0)?, with(open)?);
    if clean.minor_k <= 0.0 {
        return Err(Gap::DoesNotApply("the bed has no stone".to_owned()));
    }
    Ok(Stone { clean, fouled })
}

/// Share of the clean voids that mud leaves open.
const OPEN_WHEN_FOULED: f64 = 0.6;

/// Thickness and stone of every stone layer, with a share of their clean voids open; modules cost no head.
pub(crate) fn stones(
    sheet: &mut Notes,
    basin: &Given<Basin>,
    open: f64,
) -> Result<Vec<(f64, bed::Stone)>, Gap> {
    let mut stones = Vec::new();
    for layer in layers(basin)? {
        match layer.fill.value() {
            Some(Fill::Modules) => continue,
            Some(Fill::Stone) => {}
            _ => {
                return Err(Gap::NotComputed(
                    "no law is kept for water through soil or fabric".to_owned(),
                ));
            }
        }
        let thickness = sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
        stones.push((thickness, stone_of(sheet, layer, open)?));
    }
    Ok(stones)
}

/// The share of the clean voids that mud leaves open, assumed.
pub(crate) fn open_when_fouled(sheet: &mut Notes) -> f64 {
    let why = "mud fills 40 % of the voids of a fouled bed (common practice)";
    sheet.assumed("n/n_clean", OPEN_WHEN_FOULED, Kind::Share, why)
}

fn stone_of(sheet: &mut Notes, layer: &Given<Layer>, open: f64) -> Result<bed::Stone, Gap> {
    let size = size_at(sheet, "d", layer, 0.5)?;
    let sphericity = match layer.shape.value() {
        Some(StoneShape::Round) => 0.9,
        Some(StoneShape::Subangular) => 0.8,
        Some(StoneShape::Angular) => 0.7,
        None => return Err(Gap::NotShown(vec![layer.place.child("shape")])),
    };
    let why = "sphericity 0.9 for round stone, 0.8 subangular, 0.7 angular (from memory)";
    Ok(bed::Stone {
        size,
        sphericity: sheet.assumed("φ", sphericity, Kind::Ratio, why),
        porosity: storage::porosity(sheet, layer)? * open,
    })
}

/// The layers of a bed, bottom to top; a gap where none is shown.
pub(crate) fn layers(basin: &Given<Basin>) -> Result<Vec<&Given<Layer>>, Gap> {
    if basin.layers.is_empty() {
        return Err(Gap::NotShown(vec![basin.place.child("layers")]));
    }
    Ok(basin.layers.values().collect())
}

/// The size that a share of a layer is finer than, sizes evenly spread.
pub(crate) fn size_at(
    sheet: &mut Notes,
    symbol: &'static str,
    layer: &Given<Layer>,
    share: f64,
) -> Result<f64, Gap> {
    let smallest = sheet.given(symbol, &layer.smallest, &layer.place, "smallest")?;
    let largest = sheet.given(symbol, &layer.largest, &layer.place, "largest")?;
    Ok(smallest + share * (largest - smallest))
}
