//! Crests of falls: level, edge and size.

use super::piece::{Gaps, Piece};
use crate::{
    formulas::weir::{self, StoneEdge},
    ledger::{Gap, Notes},
    plan::{Edge, Fall, Given},
};

/// A crest: its level, and what passes it.
pub(crate) fn crest(fall: &Given<Fall>) -> Result<(f64, Piece<weir::Crest>), Gap> {
    let mut sheet = Notes::default();
    let mut gaps = Gaps::default();
    let level = gaps.keep(sheet.given("z_crest", &fall.crest, &fall.place, "crest"));
    let item = gaps.keep(edge(&mut sheet, fall));
    let (Some(level), Some(item)) = (level, item) else {
        gaps.settle()?;
        return Err(Gap::NotComputed("the crest is incomplete".to_owned()));
    };
    Ok((
        level,
        Piece {
            item,
            inputs: sheet.into_inputs(),
        },
    ))
}

/// The edge of a crest with its size: a width, or the sides of a notch.
fn edge(sheet: &mut Notes, fall: &Given<Fall>) -> Result<weir::Crest, Gap> {
    let edge = fall.edge.given();
    let missing = edge
        .is_none()
        .then(|| Gap::NotShown(vec![fall.place.child("edge")]));
    let size = match (note_size(sheet, fall), missing) {
        (Ok(size), None) => size,
        (Ok(_), Some(gap)) | (Err(gap), None) => return Err(gap),
        (Err(size), Some(edge)) => return Err(size.and(edge)),
    };
    if let Some(edge) = edge {
        sheet.note_place("edge", &edge.place);
    }
    let stone = |edge| (weir::Edge::Stone(edge), size);
    let (edge, width) = match edge.map(|edge| edge.value) {
        // tan of half the angle is the slope of a side.
        Some(Edge::VNotch) => {
            let angle = 2.0 * size.atan().to_degrees();
            (weir::Edge::VNotch(weir::Notch { angle }), 0.0)
        }
        Some(Edge::DressedStone) => stone(StoneEdge::SmoothDressed),
        Some(Edge::RoundedStone) => stone(StoneEdge::RoundedNose),
        Some(Edge::NaturalStone | Edge::BroadStone) => stone(StoneEdge::NaturalFlat),
        Some(Edge::RoughStone) => stone(StoneEdge::RoughStone),
        Some(Edge::ThinLip) | None => (weir::Edge::ThinLip, size),
    };
    Ok(weir::Crest::in_open_water(edge, width))
}

/// What sizes a crest: its width in m, or the slope of the sides of a V-notch.
pub(crate) fn note_size(sheet: &mut Notes, fall: &Given<Fall>) -> Result<f64, Gap> {
    if fall.edge.value() == Some(&Edge::VNotch) {
        sheet.given("z", &fall.notch_sides, &fall.place, "notch_sides")
    } else {
        sheet.given("b", &fall.width, &fall.place, "width")
    }
}
