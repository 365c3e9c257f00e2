//! Runs of pipe: bore, roughness and losses of fittings.

use super::{
    losses::Losses,
    piece::{Piece, piece},
};
use crate::{
    formulas::{fittings::methods::MinorLoss, pipe, pipe_table},
    ledger::{Gap, Notes},
    plan::{Given, Line, Measure, Pipe, PipeMaterial, Pump, Run, Shown},
    quantity::Kind,
};

/// A run of a line as a pipe: its inside diameter, roughness and losses.
pub(crate) fn run(run: &Given<Run>, line: &Given<Line>, losses: Losses<'_>) -> Result<Piece<pipe::Run>, Gap> {
    piece(|sheet| {
        let first = !matches!(run.after, Shown::Is(_));
        let bare = bare(sheet, run)?;
        let mut sum = losses.of(sheet, run, bare.diameter).fittings(run)?;
        if first && let Shown::Is(valve) = &line.check_valve {
            sum = sum.check_valve(valve)?;
        }
        if matches!(run.to, Shown::Is(_)) {
            sum = sum.exit(run);
        }
        let minor = sum.total();
        Ok(rough(sheet, run, with(minor, bare)))
    })
}

/// The suction run of a dry pump, with its entrance.
pub(crate) fn suction(run: &Given<Box<Run>>, losses: Losses<'_>) -> Result<Piece<pipe::Run>, Gap> {
    piece(|sheet| {
        let run = unboxed(run);
        let bare = bare(sheet, &run)?;
        let minor = losses
            .of(sheet, &run, bare.diameter)
            .fittings(&run)?
            .entrance(&run)
            .total();
        Ok(rough(sheet, &run, with(minor, bare)))
    })
}

pub(super) fn unboxed(run: &Given<Box<Run>>) -> Given<Run> {
    Given {
        value: (*run.value).clone(),
        place: run.place.clone(),
    }
}

/// A run without friction and losses yet.
pub(super) fn bare(sheet: &mut Notes, run: &Given<Run>) -> Result<pipe::Run, Gap> {
    Ok(pipe::Run {
        diameter: inside_diameter(sheet, run)?,
        length: sheet.given("L", &run.length, &run.place, "length")?,
        roughness: 0.0,
        minor_k: 0.0,
        laminar_k: 0.0,
    })
}

pub(super) fn with(minor: MinorLoss, pipe: pipe::Run) -> pipe::Run {
    pipe::Run {
        minor_k: minor.turbulent,
        laminar_k: minor.laminar,
        ..pipe
    }
}

pub(super) fn rough(sheet: &mut Notes, run: &Run, pipe: pipe::Run) -> pipe::Run {
    pipe::Run {
        roughness: roughness(sheet, run),
        ..pipe
    }
}

/// A pump's own check valve, of the size of the first run it feeds, as a pipe without length; none where it has none.
pub(crate) fn own_check_valve(
    pump: &Given<Pump>,
    line: &Given<Line>,
    losses: Losses<'_>,
) -> Result<Option<Piece<pipe::Run>>, Gap> {
    let Shown::Is(valve) = &pump.check_valve else {
        return Ok(None);
    };
    let first = line.runs.values().find(|run| run.after.value().is_none());
    let first = first.ok_or_else(|| Gap::NotShown(vec![line.place.child("runs")]))?;
    piece(|sheet| {
        let diameter = inside_diameter(sheet, first)?;
        let minor = losses.of(sheet, first, diameter).check_valve(valve)?.total();
        let pipe = pipe::Run {
            diameter,
            length: 0.0,
            roughness: 0.0,
            minor_k: 0.0,
            laminar_k: 0.0,
        };
        Ok(with(minor, pipe))
    })
    .map(Some)
}

/// The inside diameter as given, or from the published tables by size and class.
pub(crate) fn inside_diameter(sheet: &mut Notes, run: &Given<Run>) -> Result<f64, Gap> {
    let pipe = run
        .pipe
        .given()
        .ok_or_else(|| Gap::NotShown(vec![run.place.child("pipe")]))?;
    if let Shown::Is(inside) = &pipe.inside {
        sheet.note_given("D", inside);
        return Ok(inside.si());
    }
    let (size, class) = size_and_class(pipe)?;
    sheet.note_given("D_nominal", size);
    let entry = pipe_table::inside_diameter(size.si() / 0.0254, class)
        .map_err(|error| Gap::NotComputed(error.to_string()))?;
    sheet.assumed(
        "D",
        entry.inside_diameter,
        Kind::Length,
        &format!("inside diameters from {}", entry.source),
    );
    Ok(entry.inside_diameter)
}

/// Nominal size and class, both of which the tables need.
pub(crate) fn size_and_class(pipe: &Given<Pipe>) -> Result<(&Given<crate::plan::Length>, &str), Gap> {
    match (&pipe.size, &pipe.class) {
        (Shown::Is(size), Shown::Is(class)) => Ok((size, class)),
        (Shown::Is(_), _) => Err(Gap::NotShown(vec![pipe.place.child("class")])),
        _ => Err(Gap::NotShown(vec![pipe.place.child("size")])),
    }
}

/// As the plan states it, else that of new pipe of its material.
fn roughness(sheet: &mut Notes, run: &Run) -> f64 {
    if let Some(Shown::Is(stated)) = run.pipe.value().map(|pipe| &pipe.roughness) {
        sheet.note_given("ε", stated);
        return stated.si();
    }
    let material = run.pipe.value().and_then(|pipe| pipe.material.value());
    let material = match material {
        Some(PipeMaterial::Steel) => pipe_table::Material::Steel,
        Some(PipeMaterial::GalvanizedSteel) => pipe_table::Material::Galvanized,
        Some(PipeMaterial::StainlessSteel) => pipe_table::Material::Stainless,
        Some(PipeMaterial::Iron) => pipe_table::Material::Iron,
        _ => pipe_table::Material::Pvc,
    };
    let why = "roughness of new pipe: plastic, copper and hose 0.00006 in (0.0015 mm) and steel 0.0018 in (0.046 mm) \
               from the EPANET 2.2 manual; stainless steel 0.0006 in (0.015 mm), galvanized steel 0.006 in (0.15 mm), iron \
               0.01 in (0.26 mm) from memory";
    sheet.assumed("ε", material.roughness(), Kind::Length, why)
}
