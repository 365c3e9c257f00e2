//! Which pumps feed a line, how many there are, and where they draw from.

use crate::{
    ledger::{Gap, missing},
    plan::{Given, Line, Plan, Pump},
    read::Place,
};

/// How the flows of a line are found.
pub(super) const NETWORK: &str = "heads and flows solved together: Darcy–Weisbach with Colebrook–White, monotone cubic pump curve \
                       (Fritsch and Carlson), fittings by K of the method the plan names, else of one table after Crane TP-410";

/// The pumps that feed a line.
pub(super) fn feeding<'a>(plan: &'a Plan, line: &Line) -> Vec<&'a Given<Pump>> {
    let ids = line.from.value().map(|ids| ids.0.as_slice()).unwrap_or_default();
    ids.iter().filter_map(|id| plan.pumps.get(id)).collect()
}

/// How many alike run side by side.
pub(super) fn count(pump: &Pump) -> f64 {
    f64::from(pump.count.value().copied().unwrap_or(1))
}

/// The basin a pump draws from.
pub(super) fn basin_of(pump: &Given<Pump>) -> Result<Place, Gap> {
    let basin = pump
        .basin
        .value()
        .ok_or_else(|| missing(pump.place.child("basin")))?;
    Ok(Plan::basin_place(basin))
}
