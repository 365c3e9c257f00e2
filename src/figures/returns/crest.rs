//! Where the law of a crest is used outside the range it was measured in, it says so among its inputs.

use super::super::{ledger::Sheet, system::FallState};
use crate::{formulas::weir, quantity::Kind};

/// Notes what of a running crest lies outside the range of its law.
pub(super) fn tell_range(sheet: &mut Sheet<'_>, state: &FallState) {
    if !weir::SUBMERGENCE.contains(&state.submergence) {
        sheet.assumed("s", state.submergence, Kind::Ratio, &drowned_beyond());
    }
}

/// What is told of a crest drowned beyond what Villemonte's law was measured for.
fn drowned_beyond() -> String {
    format!(
        "drowned crests were measured with the water below standing up to {} of the water above over the crest; a \
         crest drowned further passes its flow at a head that is an estimate",
        weir::SUBMERGENCE.end()
    )
}
