//! Stone that a line feeds from below: what the water loses on its way up through a bed.

use super::{
    super::{Gap, Input, beds::passage, ledger::Sheet},
    circuit::RunPart,
};
use crate::{
    formulas::{bed, pipe},
    plan::{Basin, BasinKind, Given, Plan},
    quantity::Kind,
};

/// A bed that lines feed under water, from below its stone.
pub(super) struct BedPart<'a> {
    pub id: &'a str,
    /// Its stone; none where the plan does not show enough of it.
    pub stone: Option<Stone>,
    /// What the clean stone rests on, or that it is left out.
    pub inputs: Vec<Input>,
    /// What the fouled stone rests on beside.
    pub fouled_inputs: Vec<Input>,
}

/// The stone of a bed as a fitting of the pipe that feeds it.
pub(super) struct Stone {
    pub clean: pipe::Run,
    pub fouled: pipe::Run,
}

/// The beds that runs end in under water.
pub(super) fn fed_from_below<'a>(plan: &'a Plan, runs: &[RunPart<'_>]) -> Vec<BedPart<'a>> {
    let beds = plan
        .basins
        .iter()
        .filter(|(_, basin)| basin.kind.value() == Some(&BasinKind::Bed));
    beds.filter_map(|(id, basin)| {
        let feeds = |part: &&RunPart<'_>| part.rises_in(id);
        let widest = runs.iter().filter(feeds).map(|part| part.pipe.item.diameter);
        let diameter = widest.reduce(f64::max)?;
        Some(part(id, basin, diameter))
    })
    .collect()
}

fn part<'a>(id: &'a str, basin: &'a Given<Basin>, diameter: f64) -> BedPart<'a> {
    let (mut told, mut fouled_told) = (Sheet::blank(), Sheet::blank());
    let stone = stone(&mut fouled_told, basin, diameter);
    if stone.is_ok() {
        told.note_place("h_stone", &basin.place.child("layers"));
    } else {
        let why = format!(
            "the little head lost in the stone of `{id}` is left out of the circuit: the plan does not \
             show all that Ergun's law asks"
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
fn stone(fouled_told: &mut Sheet<'_>, basin: &Given<Basin>, diameter: f64) -> Result<Stone, Gap> {
    let mut sheet = Sheet::blank();
    let area = sheet.given("A_open", &basin.open_surface, &basin.place, "open_surface")?;
    let open = passage::open_when_fouled(fouled_told);
    let mut with = |open: f64| -> Result<pipe::Run, Gap> {
        let layers = passage::stones(&mut sheet, basin, open)?;
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
