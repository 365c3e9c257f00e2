//! Clearances between levels: crests over the water they feed, overflows under rims and over ordinary water.

use super::levels::{FREEBOARD_NORMAL, POWER_OFF_LEVEL, RUNNING_LEVEL};
use crate::{
    ledger::{Definition, Gap, Ledger, Scope, missing, quantity},
    plan::{Fall, Given, Plan, Shown, connections::receiver},
    quantity::Kind,
    read::Place,
};

static CREST_ABOVE_RECEIVER: Definition = Definition::quantity(
    Scope::Falls,
    "crest-above-receiver",
    "crest above the water below",
    Kind::Length,
)
.by(
    "crest level less the highest running or power-off level below",
    "d = z_crest − max(z_running, z_power-off)",
);
static OVERFLOW_BELOW_RIM: Definition = Definition::quantity(
    Scope::Basins,
    "overflow-below-rim",
    "overflow below the rim",
    Kind::Length,
)
.by("rim level less overflow level", "d = z_rim − z_overflow");
static OVERFLOW_ABOVE_NORMAL: Definition = Definition::quantity(
    Scope::Basins,
    "overflow-above-normal",
    "overflow above the highest normal level",
    Kind::Length,
)
.by(
    "freeboard over the highest normal level less the overflow’s distance below the rim",
    "d = F_normal − (z_rim − z_overflow)",
);

pub(super) static DEFINITIONS: &[&Definition] =
    &[&CREST_ABOVE_RECEIVER, &OVERFLOW_BELOW_RIM, &OVERFLOW_ABOVE_NORMAL];

/// What of the returns rests on the levels.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for fall in plan.falls.values() {
        ledger.enter(&CREST_ABOVE_RECEIVER, &fall.place, |sheet| {
            let crest = sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
            let below = basin_below(plan, fall)?;
            let running = sheet.figure("z_running", &RUNNING_LEVEL, &below)?;
            quantity(crest - running.max(sheet.figure("z_power-off", &POWER_OFF_LEVEL, &below)?))
        });
    }
    for basin in plan.basins.values() {
        let Shown::Is(overflow) = &basin.overflow else {
            continue;
        };
        let at = &basin.place;
        ledger.enter(&OVERFLOW_BELOW_RIM, at, |sheet| {
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            quantity(rim - sheet.given("z_overflow", &overflow.level, &overflow.place, "level")?)
        });
        ledger.enter(&OVERFLOW_ABOVE_NORMAL, at, |sheet| {
            let freeboard = sheet.figure("F_normal", &FREEBOARD_NORMAL, at)?;
            quantity(freeboard - sheet.figure("d_overflow", &OVERFLOW_BELOW_RIM, at)?)
        });
    }
}

fn basin_below(plan: &Plan, fall: &Given<Fall>) -> Result<Place, Gap> {
    let to = receiver(plan, fall).ok_or_else(|| missing(fall.place.child("to")))?;
    Ok(Plan::basin_place(to))
}
