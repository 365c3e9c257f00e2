//! Yes-or-no answers, and comparison with a limit.

use super::{Answer, Found};
use crate::{quantity, read::Place};

/// Whether a value is no less than a limit; one that differs from it only by rounding is at the limit.
pub(crate) fn at_least(found: f64, limit: f64) -> bool {
    found >= limit || quantity::agree(found, limit)
}

/// Whether a value is no more than a limit; one that differs from it only by rounding is at the limit.
pub(crate) fn at_most(found: f64, limit: f64) -> bool {
    at_least(limit, found)
}

/// Yes or no, what was found in words, and the value of the plan to look at.
#[allow(
    clippy::unnecessary_wraps,
    reason = "what a figure’s work returns is an answer"
)]
pub(crate) fn verdict(holds: bool, because: impl Into<String>, at: Option<Place>) -> Answer {
    Ok(Found::Verdict {
        holds,
        because: because.into(),
        at,
    })
}

/// It holds.
pub(crate) fn yes(because: impl Into<String>) -> Answer {
    verdict(true, because, None)
}

/// It fails, at this value of the plan.
pub(crate) fn no(because: impl Into<String>, at: &Place) -> Answer {
    verdict(false, because, Some(at.clone()))
}

/// It does not hold, which is no fault of one value.
pub(crate) fn not(because: impl Into<String>) -> Answer {
    verdict(false, because, None)
}

/// Yes or no, each in its words.
pub(crate) fn either(holds: bool, so: &str, otherwise: &str) -> Answer {
    verdict(holds, if holds { so } else { otherwise }, None)
}
