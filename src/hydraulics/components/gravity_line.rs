//! Gravity lines: a mouth and the pipe behind it.

use super::{
    losses::Losses,
    piece::{Gaps, Piece, piece},
    pipe::{bare, rough, unboxed, with},
};
use crate::{
    formulas::{gravity_pipe, pipe},
    ledger::{Gap, Notes},
    plan::{Drain, Given, MouthForm},
};

/// A gravity line: its mouth, and its pipe with entrance and exit.
pub(crate) fn gravity_line(
    drain: &Given<Drain>,
    losses: Losses<'_>,
) -> Result<Piece<gravity_pipe::GravityPipe>, Gap> {
    piece(|sheet| {
        let mut gaps = Gaps::default();
        let mouth = gaps.keep(mouth(sheet, drain));
        let pipe = gaps.keep(drain_pipe(sheet, drain, losses));
        gaps.settle()?;
        match (mouth, pipe) {
            (Some((mouth, level)), Some(pipe)) => Ok(gravity_pipe::GravityPipe { mouth, level, pipe }),
            _ => Err(Gap::NotComputed("the drain is incomplete".to_owned())),
        }
    })
}

fn mouth(sheet: &mut Notes, drain: &Given<Drain>) -> Result<(gravity_pipe::Mouth, f64), Gap> {
    let missing = || Gap::NotShown(vec![drain.place.child("mouth")]);
    let mouth = drain.mouth.given().ok_or_else(missing)?;
    let form = mouth
        .form
        .given()
        .ok_or_else(|| Gap::NotShown(vec![mouth.place.child("form")]))?;
    sheet.note_place("mouth", &form.place);
    let level = sheet.given("z_lip", &mouth.level, &mouth.place, "level")?;
    let mouth = match form.value {
        MouthForm::Skimmer => gravity_pipe::Mouth::Lip {
            width: sheet.given("b", &mouth.width, &mouth.place, "width")?,
        },
        MouthForm::Standpipe => gravity_pipe::Mouth::Riser,
        MouthForm::WallPipe => gravity_pipe::Mouth::Wall { slope: 0.0 },
        MouthForm::BottomDrain => gravity_pipe::Mouth::Submerged,
    };
    Ok((mouth, level))
}

fn drain_pipe(sheet: &mut Notes, drain: &Given<Drain>, losses: Losses<'_>) -> Result<pipe::Run, Gap> {
    let missing = || Gap::NotShown(vec![drain.place.child("run")]);
    let run = unboxed(drain.run.given().ok_or_else(missing)?);
    let bare = bare(sheet, &run)?;
    let sum = losses.of(sheet, &run, bare.diameter).fittings(&run)?;
    let minor = sum.entrance(&run).exit(&run).total();
    Ok(rough(sheet, &run, with(minor, bare)))
}
