//! Overflows: a lip, a pipe through the wall with what lies behind it, or a stated capacity.

use crate::{
    formulas::{
        gravity_pipe::{GravityPipe, Mouth},
        pipe::Run,
        weir::{BROAD, Crest, Edge},
    },
    ledger::{Gap, Notes},
    plan::{Given, Measure, Overflow},
    quantity::Kind,
};

/// Length and fall of the pipe behind a mouth, of which a plan says nothing, m.
const PIPE: (f64, f64) = (6.0, 0.12);
/// Roughness of smooth plastic pipe, m.
const ROUGHNESS: f64 = 1.5e-6;
/// Head at which an overflow of stated capacity is taken to carry it, m: 1 in.
const STATED_HEAD: f64 = 0.0254;

/// An overflow as the water meets it.
#[derive(Clone, Copy, Debug)]
pub(crate) enum OverflowPart {
    /// A lip at a level, m.
    Lip { crest: Crest, level: f64 },
    /// A mouth with a pipe that runs out free at a level, m.
    Pipe { pipe: GravityPipe, outlet: f64 },
}

/// An overflow of the plan: a lip alone as a sharp crest; a bore, with a lip before it or without, by lip, mouth and
/// pipe; a stated capacity as a broad lip that carries it at an inch of head.
pub(crate) fn overflow(overflow: &Given<Overflow>) -> Result<OverflowPart, Gap> {
    let level = overflow.level.value().map(|level| level.si());
    let level = level.ok_or_else(|| Gap::NotShown(vec![overflow.place.child("level")]))?;
    let lip = |edge, width| OverflowPart::Lip {
        crest: Crest::in_open_water(edge, width),
        level,
    };
    let width = overflow.width.value().map(|width| width.si());
    match (width, overflow.bore.value(), overflow.capacity.value()) {
        (width, Some(bore), _) => {
            let (pipe, outlet) = piped(&mut Notes::default(), level, width, bore.si());
            Ok(OverflowPart::Pipe { pipe, outlet })
        }
        (Some(width), None, _) => Ok(lip(Edge::ThinLip, width)),
        (None, None, Some(capacity)) => {
            let width = capacity.si() / (BROAD * STATED_HEAD.powf(1.5));
            Ok(lip(Edge::BroadStone, width))
        }
        _ => Err(Gap::NotShown(vec![overflow.place.child("width")])),
    }
}

/// An overflow with a pipe behind its mouth, and the level of its outlet: the pipe falls away from the mouth and runs
/// out free.
pub(crate) fn piped(notes: &mut Notes, level: f64, width: Option<f64>, bore: f64) -> (GravityPipe, f64) {
    let why = "an overflow pipe goes through the wall and has 20 ft (6 m) of smooth pipe behind it that falls 1 in 50, \
               K 1.5 for entrance and exit; its mouth is cut flush with the wall, and takes what FHWA HDS-5 gives a \
               square edge";
    notes.assumed("L", PIPE.0, Kind::Length, why);
    let pipe = Run::new(bore, PIPE.0, ROUGHNESS).with_k(1.5);
    let slope = PIPE.1 / PIPE.0;
    let mouth = width.map_or(Mouth::Wall { slope }, |width| Mouth::Lip { width });
    (GravityPipe::new(mouth, level, pipe), level - PIPE.1 + bore / 2.0)
}
