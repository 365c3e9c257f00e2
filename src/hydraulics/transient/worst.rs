//! Which cases go together, and which is the worst.

use super::runs::ScenarioRun;

/// Failures that a storm brings with it or meets, each with the storm.
pub const CREDIBLE: [&[&str]; 4] = [
    &["power-off", "storm"],
    &["check-valve-leaks", "storm"],
    &["crest-half-blocked", "storm"],
    &["edge-settled", "storm"],
];

/// Why these are credible and others are not.
pub const WHY_CREDIBLE: &str = "a storm cuts the power, washes leaves onto crests and finds the edge that has settled; \
a check valve that leaks shows only when the power is off. Each of these is taken with the storm, one at a time: two \
failures that nothing joins are not taken together";

/// Water over rims that counts as none when cases are compared, m³.
const TRACE: f64 = 1e-6;

/// The worst of some cases: the one that puts most water over the rims; where none does, the one that leaves the least
/// freeboard. Of equals the first.
pub fn worst<'a>(cases: impl IntoIterator<Item = &'a ScenarioRun>) -> Option<&'a ScenarioRun> {
    let mut worst: Option<(&'a ScenarioRun, f64, f64)> = None;
    for case in cases {
        let Ok(outcome) = &case.outcome else { continue };
        let (spilled, freeboard) = (outcome.over_rims(), outcome.least_freeboard());
        let worse = worst.is_none_or(|(_, most, least)| {
            spilled > most + TRACE || (spilled <= TRACE && most <= TRACE && freeboard < least)
        });
        if worse {
            worst = Some((case, spilled, freeboard));
        }
    }
    worst.map(|(case, _, _)| case)
}
