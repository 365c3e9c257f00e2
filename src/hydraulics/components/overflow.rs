//! Overflows with a pipe behind their mouth.

use crate::{
    formulas::{
        gravity_pipe::{GravityPipe, Mouth},
        pipe::Run,
    },
    ledger::Notes,
    quantity::Kind,
};

/// Length and fall of the pipe behind a mouth, of which a plan says nothing, m.
const PIPE: (f64, f64) = (6.0, 0.12);
/// Roughness of smooth plastic pipe, m.
const ROUGHNESS: f64 = 1.5e-6;

/// An overflow with a pipe behind its mouth, and the level of its outlet: the pipe falls away from the mouth and runs
/// out free.
pub(crate) fn piped(sheet: &mut Notes, level: f64, width: Option<f64>, bore: f64) -> (GravityPipe, f64) {
    let drain = GravityPipe {
        mouth: width.map_or(Mouth::Wall, |width| Mouth::Lip { width }),
        level,
        pipe: pipe(sheet, bore),
    };
    (drain, level - PIPE.1 + bore / 2.0)
}

fn pipe(sheet: &mut Notes, bore: f64) -> Run {
    let why = "an overflow pipe goes through the wall and has 20 ft (6 m) of smooth pipe behind it that falls 1 in 50, \
               K 1.5 for entrance and exit";
    sheet.assumed("L", PIPE.0, Kind::Length, why);
    Run {
        diameter: bore,
        length: PIPE.0,
        roughness: ROUGHNESS,
        minor_k: 1.5,
        laminar_k: 0.0,
    }
}
