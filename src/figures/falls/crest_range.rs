//! The range a crest's law was measured in, noted where the law is used outside it.

use crate::{
    formulas::weir::{self, Bound, Edge, LimitOn, Notch},
    hydraulics::FallState,
    ledger::{Gap, Notes, does_not_apply},
    quantity::Kind,
};

/// Why a notch has no flow per width and no sheet.
pub(super) fn no_level_crest() -> Gap {
    does_not_apply("a V-notch has no level crest")
}

/// What is told of the spread of a stone crest's coefficient.
const STONE_RANGE: &str = "the coefficient of a stone crest lies between 1.60 and 1.705 for rounded, 1.42 and 1.60 for \
                           dressed, 1.30 and 1.58 for natural flat and 1.21 and 1.55 for rough stone (ISO 3846 and 4374, \
                           from memory; common practice): the water over it may stand at either end";

/// Notes what of a running crest lies outside the range of its law. What lips and stones are measured for stands with
/// the figure itself.
pub(super) fn tell_range(sheet: &mut Notes, state: &FallState) {
    if !weir::SUBMERGENCE.contains(&state.submergence) {
        sheet.assumed("s", state.submergence, Kind::Ratio, &drowned_beyond());
    }
    if let Edge::Stone(stone) = state.crest.edge
        && state.flow > 0.0
        && state.submergence <= 0.0
    {
        let (least, _, most) = stone.coefficients();
        let head = |coefficient: f64| (state.flow / (coefficient * state.crest.width)).powf(2.0 / 3.0);
        sheet.assumed("h_least", head(most), Kind::Length, STONE_RANGE);
        sheet.assumed("h_most", head(least), Kind::Length, STONE_RANGE);
    }
    if matches!(state.crest.edge, Edge::VNotch(_)) && state.flow > 0.0 {
        let law = weir::Equation::of(state.crest.edge);
        for broken in weir::outside(law, &state.crest, state.head) {
            let (Bound::AtLeast(measure, _) | Bound::AtMost(measure, _)) = broken.bound;
            let (symbol, kind) = match measure {
                LimitOn::Angle => ("θ", Kind::Ratio),
                _ => ("h_notch", Kind::Length),
            };
            sheet.assumed(symbol, broken.found, kind, &notch_measured());
        }
    }
}

/// What is told of a notch outside what its law was measured for.
fn notch_measured() -> String {
    format!(
        "V-notches were measured at angles of {} to {} degrees and with {:.0} mm (2 in) of water or more over the point; \
         the law is continued outside that range",
        Notch::ANGLES.start(),
        Notch::ANGLES.end(),
        Notch::LEAST_HEAD * 1000.0
    )
}

/// What is told of a crest drowned beyond what Villemonte's law was measured for.
fn drowned_beyond() -> String {
    format!(
        "drowned crests were measured with the water below standing up to {} of the water above over the crest; a \
         crest drowned further passes its flow at a head that is an estimate",
        weir::SUBMERGENCE.end()
    )
}
