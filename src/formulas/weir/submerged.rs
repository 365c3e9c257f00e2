//! Crests with the water below standing above them.

use std::ops::RangeInclusive;

use super::{Crest, any_nan, discharge_and_slope};

/// Head downstream over head upstream within which sharp crests were measured for [`villemonte`] (from memory).
pub const SUBMERGENCE: RangeInclusive<f64> = 0.0..=0.9;

/// Least difference of head Villemonte's formula is taken for, m.
const LEAST_DIFFERENCE: f64 = 1e-4;

/// Share of the free flow that still passes when the water below stands above the crest: Villemonte (1947),
/// `(1 − (h₂/h₁)ⁿ)^0.385`, with the heads upstream `h₁` and downstream `h₂` (m) and the weir's own exponent
/// `n` (1.5 for a level crest).
///
/// ```
/// // Half submerged over a level crest: 0.8454 of the free flow (computed).
/// assert!((bywash::formulas::weir::villemonte(0.2, 0.1, 1.5) - 0.8454).abs() < 5e-5);
/// ```
pub fn villemonte(upstream: f64, downstream: f64, exponent: f64) -> f64 {
    if any_nan(&[upstream, downstream, exponent]) {
        f64::NAN
    } else if downstream <= 0.0 {
        1.0
    } else if downstream >= upstream {
        0.0
    } else {
        (1.0 - (downstream / upstream).powf(exponent)).powf(0.385)
    }
}

/// Discharge over a crest with the water below standing above it, m³/s: [`super::discharge`] times [`villemonte`] with the
/// exponent 1.5 of a level crest or 2.5 of a V-notch.
///
/// Arguments: the crest; heads over it upstream and downstream, m. For differences of head under 0.1 mm the flow falls
/// in proportion, where the formula would rise without bound. Range: sharp crests, drowned up to [`SUBMERGENCE`]; stone
/// crests drown later, so that the head told for them errs on the high side.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, discharge, submerged_discharge};
/// let crest = Crest::in_open_water(Edge::ThinLip, 0.5);
/// let share = submerged_discharge(&crest, 0.2, 0.1) / discharge(&crest, 0.2);
/// assert!((share - 0.8454).abs() < 5e-5);
/// ```
pub fn submerged_discharge(crest: &Crest, upstream: f64, downstream: f64) -> f64 {
    submerged_discharge_and_slope(crest, upstream, downstream).0
}

/// [`submerged_discharge`] in m³/s with its derivative by the upstream head, m²/s.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, submerged_discharge_and_slope};
/// // Level water above and below: no flow.
/// let crest = Crest::in_open_water(Edge::ThinLip, 0.5);
/// assert_eq!(submerged_discharge_and_slope(&crest, 0.1, 0.1), (0.0, 0.0));
/// ```
pub fn submerged_discharge_and_slope(crest: &Crest, upstream: f64, downstream: f64) -> (f64, f64) {
    let (flow, by_upstream, _) = submerged_discharge_and_slopes(crest, upstream, downstream);
    (flow, by_upstream)
}

/// [`submerged_discharge`] in m³/s with its derivatives by the upstream and the downstream head, m²/s.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, submerged_discharge_and_slopes};
/// // Water that rises below holds the flow back.
/// let crest = Crest::in_open_water(Edge::ThinLip, 0.5);
/// let (_, upstream, downstream) = submerged_discharge_and_slopes(&crest, 0.2, 0.1);
/// assert!(upstream > 0.0 && downstream < 0.0);
/// ```
pub fn submerged_discharge_and_slopes(crest: &Crest, upstream: f64, downstream: f64) -> (f64, f64, f64) {
    if downstream <= 0.0 {
        let (flow, slope) = discharge_and_slope(crest, upstream);
        return (flow, slope, 0.0);
    }
    let difference = upstream - downstream;
    if difference <= 0.0 && crest.is_sound() {
        return (0.0, 0.0, 0.0);
    }
    if difference < LEAST_DIFFERENCE {
        let (flow, by_upstream, by_downstream) =
            by_villemonte(crest, downstream + LEAST_DIFFERENCE, downstream);
        let (share, slope) = (difference / LEAST_DIFFERENCE, flow / LEAST_DIFFERENCE);
        return (flow * share, slope, (by_upstream + by_downstream) * share - slope);
    }
    by_villemonte(crest, upstream, downstream)
}

fn by_villemonte(crest: &Crest, upstream: f64, downstream: f64) -> (f64, f64, f64) {
    let (free, free_slope) = discharge_and_slope(crest, upstream);
    let exponent = crest.exponent();
    let share = villemonte(upstream, downstream, exponent);
    let ratio = (downstream / upstream).powf(exponent);
    let flow = free * share;
    let drowning = 0.385 * flow / (1.0 - ratio) * exponent * ratio;
    (
        flow,
        free_slope * share + drowning / upstream,
        -drowning / downstream,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formulas::weir::{Edge, discharge, tests::crests};

    #[test]
    fn a_difference_of_head_lost_in_rounding_is_taken_in_proportion() {
        let crest = Crest::in_open_water(Edge::BroadStone, 0.5);
        // Here the least difference added to a head and taken off again is less than itself.
        for step in 1..2000 {
            let below = f64::from(step) * 1.7e-4;
            let (flow, slope) = submerged_discharge_and_slope(&crest, below + 1e-5, below);
            assert!(flow > 0.0 && slope > 0.0);
        }
    }

    #[test]
    fn drowned_flow_rises_from_nothing_to_the_free_flow_and_its_slope_is_the_derivative() {
        for crest in crests() {
            let downstream = 0.04;
            assert_eq!(submerged_discharge(&crest, downstream, downstream), 0.0);
            let mut last = 0.0;
            // None of them meets the kink where a law is continued below its least head.
            for difference in [1e-6, 5e-5, 2e-4, 1e-3, 0.012, 0.1] {
                let upstream = downstream + difference;
                let (flow, slope) = submerged_discharge_and_slope(&crest, upstream, downstream);
                assert!(flow > last && flow < discharge(&crest, upstream));
                last = flow;
                let step = difference * 1e-4;
                let at = |head| submerged_discharge(&crest, head, downstream);
                let secant = (at(upstream + step) - at(upstream - step)) / (2.0 * step);
                assert!((slope - secant).abs() < 1e-5 * secant, "{crest:?} {difference}");
            }
        }
    }
}
