//! Streams, reach by reach: depth, speed, the water held, and whether the stone stays where it lies.
//!
//! Shallow water over stone is held back by so much or by four times as much: every figure is told at the end of that
//! range where it is worst, or at both.

pub(super) mod reaches;
pub(super) mod regime;

use self::reaches::{RANGE, REACH_WATER, RESISTANCE};
use super::falls::drop_tolerance;
use crate::{
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{
        Given, Measure, Plan, Shown, Stream,
        connections::{falls_into, leaving},
    },
    quantity::{INCH, Kind},
};

static STREAM_WATER: Definition = Definition::quantity(
    Scope::Streams,
    "stream-water",
    "water held while running",
    Kind::Volume,
)
.by(
    "the sum over its reaches, at the rough end of the range",
    "V = ΣV_reach",
)
.from(RESISTANCE)
.within(RANGE);
static DROPS_BEYOND: Definition = Definition::quantity(
    Scope::Streams,
    "drops-beyond",
    "drops of the stream beyond its levels",
    Kind::Length,
)
.by(
    "drops of its reaches less the height between its head and its end: the level of the end, else the crest of the fall \
     that leaves it, else the still water it ends in",
    "Δ = ΣΔz − (z_head − z_end)",
);
static DROPS_LEFT: Definition = Definition::quantity(
    Scope::Streams,
    "drops-left",
    "height of the stream that no reach takes",
    Kind::Length,
)
.by(
    "height between its head and its end, less the drops of its reaches",
    "Δ = (z_head − z_end) − ΣΔz",
);
static DROPS_LEFT_SHARE: Definition = Definition::quantity(
    Scope::Streams,
    "drops-left-share",
    "share of the stream’s height that no reach takes",
    Kind::Share,
)
.by(
    "height that no reach takes divided by the height between head and end; none where less than 12 in (300 mm) is left, \
     which is a last fall",
    "r = 1 − ΣΔz / (z_head − z_end)",
);
static DROPS_TOLERANCE: Definition = Definition::quantity(
    Scope::Streams,
    "drops-tolerance",
    "how far the drops of a stream may stand from its levels",
    Kind::Length,
)
.by(
    "a tenth of the height between its head and its end, from 1/2 in (13 mm) to 2 in (50 mm)",
    "Δ_max = min(50 mm (2 in), max(13 mm (1/2 in), 0.1·(z_head − z_end)))",
)
.from("common practice");
static HEAD_ABOVE_RECEIVER: Definition = Definition::quantity(
    Scope::Streams,
    "stream-head-above-receiver",
    "head of the stream above the still water it ends in",
    Kind::Length,
)
.by(
    "level of the head less the still water of the basin it runs into",
    "Δ = z_head − z_still",
);
/// Height left over that counts as a last fall, m.
const LAST_FALL: f64 = 12.0 * INCH;

pub(super) static DEFINITIONS: &[&Definition] = &[
    &reaches::STREAM_FLOW,
    &STREAM_WATER,
    &DROPS_BEYOND,
    &DROPS_LEFT,
    &DROPS_LEFT_SHARE,
    &DROPS_TOLERANCE,
    &reaches::REACH_DEPTH,
    &reaches::REACH_DEPTH_ROUGH,
    &reaches::CRITICAL_DEPTH,
    &reaches::FROUDE,
    &reaches::FASTEST,
    &reaches::SLOWEST,
    &REACH_WATER,
    &reaches::REACH_FREEBOARD,
    &reaches::STONE_NEEDED,
    &reaches::STONE_SHARE,
    &reaches::VELOCITY_SHARE,
    &HEAD_ABOVE_RECEIVER,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, stream) in &plan.streams {
        reaches::enter_flow(ledger, plan, id, stream);
        for reach in stream.reaches.values() {
            reaches::enter_depths(ledger, stream, reach);
            regime::enter_reach(ledger, stream, reach);
            reaches::enter_velocities(ledger, stream, reach);
        }
        ledger.enter(&STREAM_WATER, &stream.place, |sheet| {
            let mut water = 0.0;
            for reach in stream.reaches.values() {
                water += sheet.figure("V_reach", &REACH_WATER, &reach.place)?;
            }
            quantity(water)
        });
        let at = &stream.place;
        ledger.enter(&DROPS_BEYOND, at, |sheet| {
            let height = height(sheet, plan, id, stream)?;
            quantity(drops(sheet, stream)? - height)
        });
        ledger.enter(&DROPS_LEFT, at, |sheet| {
            let height = height(sheet, plan, id, stream)?;
            quantity(height - drops(sheet, stream)?)
        });
        ledger.enter(&DROPS_LEFT_SHARE, at, |sheet| {
            let height = height(sheet, plan, id, stream)?;
            let left = height - drops(sheet, stream)?;
            quantity(if left < LAST_FALL { 0.0 } else { left / height })
        });
        ledger.enter(&DROPS_TOLERANCE, at, |sheet| {
            drop_tolerance(height(sheet, plan, id, stream)?)
        });
        ledger.enter(&HEAD_ABOVE_RECEIVER, at, |sheet| {
            let basin = stream.ends_in.value().and_then(|to| plan.basins.get(to));
            let basin = basin.ok_or_else(|| does_not_apply("a fall leaves it"))?;
            let head = head(sheet, plan, id, stream)?;
            quantity(head - sheet.given("z_still", &basin.still, &basin.place, "still")?)
        });
        regime::enter_stream(ledger, stream);
    }
}

/// From the head of a stream to its end.
fn height(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, stream: &Given<Stream>) -> Result<f64, Gap> {
    let head = head(sheet, plan, id, stream)?;
    Ok(head - end(sheet, plan, id, stream)?)
}

fn drops(sheet: &mut Worksheet<'_>, stream: &Given<Stream>) -> Result<f64, Gap> {
    let mut drops = 0.0;
    for reach in stream.reaches.values() {
        drops += sheet.given("Δz", &reach.drop, &reach.place, "drop")?;
    }
    Ok(drops)
}

/// Level of a stream's lower end: as shown, or the crest of the fall that leaves it, or the still water it ends in.
fn end(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, stream: &Given<Stream>) -> Result<f64, Gap> {
    if let Shown::Is(end) = &stream.end {
        sheet.note_given("z_end", end);
        return Ok(end.si());
    }
    if let Some(fall) = leaving(plan, id) {
        return sheet.given("z_end", &fall.crest, &fall.place, "crest");
    }
    let basin = stream.ends_in.value().and_then(|to| plan.basins.get(to));
    let basin = basin.ok_or_else(|| Gap::NotShown(vec![stream.place.child("ends_in")]))?;
    sheet.given("z_end", &basin.still, &basin.place, "still")
}

/// Level of a stream's upper end: as shown, or the lowest crest that feeds it.
fn head(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, stream: &Given<Stream>) -> Result<f64, Gap> {
    if let Shown::Is(head) = &stream.head {
        sheet.note_given("z_head", head);
        return Ok(head.si());
    }
    let mut lowest: Option<f64> = None;
    for fall in falls_into(plan, id) {
        let crest = sheet.given("z_head", &fall.crest, &fall.place, "crest")?;
        lowest = Some(lowest.map_or(crest, |lowest| lowest.min(crest)));
    }
    lowest.ok_or_else(|| missing(stream.place.child("head")))
}
