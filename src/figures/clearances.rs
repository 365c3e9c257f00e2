//! Clearances between levels: crests over the water they feed, overflows under rims and over ordinary water.

use super::{
    falls::at_crest,
    levels::{FREEBOARD_NORMAL, POWER_OFF_LEVEL, RUNNING_LEVEL},
    streams::reaches::REACH_DEPTH,
};
use crate::{
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{Fall, Given, Plan, Shown, Stream},
    quantity::Kind,
};

static CREST_ABOVE_RECEIVER: Definition = Definition::quantity(
    Scope::Falls,
    "crest-above-receiver",
    "crest above the water below",
    Kind::Length,
)
.by(
    "crest level less the highest running or power-off level of the basin below; over a stream, less the level of its \
     head and the least depth it runs at",
    "d = z_crest − z_below",
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
            let stream = fall.to.value().and_then(|to| plan.streams.get(to));
            let below = match stream {
                Some(stream) => water_at_head(sheet, stream)?,
                None => highest_below(sheet, fall)?,
            };
            quantity(crest - sheet.worked("z_below", below, Kind::Level))
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

/// The highest running or power-off level of the basin a fall ends in.
fn highest_below(sheet: &mut Worksheet<'_>, fall: &Given<Fall>) -> Result<f64, Gap> {
    let to = fall.to.value();
    let below = Plan::basin_place(to.ok_or_else(|| Gap::NotShown(vec![fall.place.child("to")]))?);
    let running = sheet.figure("z_running", &RUNNING_LEVEL, &below)?;
    Ok(running.max(sheet.figure("z_power-off", &POWER_OFF_LEVEL, &below)?))
}

/// The level of the water at the head of a stream: its bed and the least depth its first reach runs at, so that a crest
/// counts as drowned only where it is at every resistance.
fn water_at_head(sheet: &mut Worksheet<'_>, stream: &Given<Stream>) -> Result<f64, Gap> {
    if matches!(stream.head, Shown::NotShown) {
        return Err(at_crest());
    }
    let head = sheet.given("z_head", &stream.head, &stream.place, "head")?;
    let missing = || Gap::NotShown(vec![stream.place.child("reaches")]);
    let reach = stream.reaches.values().next().ok_or_else(missing)?;
    Ok(head + sheet.figure("y", &REACH_DEPTH, &reach.place)?)
}
