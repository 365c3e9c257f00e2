//! Streams, reach by reach: depth, speed, the water held, and whether the stone stays where it lies.
//!
//! Shallow water over stone is held back by so much or by four times as much: every figure is told at the end of that
//! range where it is worst, or at both.

pub(super) mod regime;

use super::falls::{FALL_FLOW, drop_tolerance};
use crate::{
    formulas::{
        riprap::{ISBASH_LOOSE, isbash_size},
        stream::End,
    },
    hydraulics::Channel,
    ledger::{Answer, Definition, Gap, Ledger, Notes, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{Given, Measure, Plan, Reach, Shown, Stream},
    quantity::Kind,
};

const RESISTANCE: &str = "variable-power resistance of steep streams (Ferguson, Water Resources Research 43, 2007; coefficients from \
    memory), solved for the depth; Manning’s n of 0.05 to 0.20 where no stone is shown";
const RANGE: &str = "even flow over the reach; water 0.1 to 30 times as deep as the stone is large; pools between steps \
                     hold more";

static STREAM_FLOW: Definition =
    Definition::quantity(Scope::Streams, "stream-flow", "flow in the stream", Kind::Flow)
        .by("the sum of the falls that feed it", "Q = ΣQ_fall");
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
    "drops of its reaches less the height between its head and the still level it ends at",
    "Δ = ΣΔz − (z_head − z_end)",
);
static DROPS_LEFT: Definition = Definition::quantity(
    Scope::Streams,
    "drops-left",
    "height of the stream that no reach takes",
    Kind::Length,
)
.by(
    "height between its head and the still level it ends at, less the drops of its reaches",
    "Δ = (z_head − z_end) − ΣΔz",
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
static REACH_DEPTH: Definition = depth_of("reach-depth", "running depth, at the smooth end of the range").by(
    "the depth at which the stream carries its flow with the least resistance",
    "y: Q = A(y)·V(y)",
);
static REACH_DEPTH_ROUGH: Definition = depth_of(
    "reach-depth-rough",
    "running depth, at the rough end of the range",
)
.by(
    "the depth at which the stream carries its flow with the most resistance",
    "y_rough: Q = A(y)·V(y)",
);
static CRITICAL_DEPTH: Definition =
    Definition::quantity(Scope::Reaches, "critical-depth", "critical depth", Kind::Length)
        .by(
            "the depth at which water runs as fast as a wave on it",
            "y_c: Q²·T / (g·A³) = 1",
        )
        .from("open-channel hydraulics: critical flow")
        .within("small slopes");
static FROUDE: Definition = Definition::quantity(
    Scope::Reaches,
    "froude-number",
    "Froude number at the smooth end, above 1 where the water shoots",
    Kind::Ratio,
)
.by("velocity divided by the speed of a wave", "Fr = V / √(g·A/T)");
static FASTEST: Definition = Definition::quantity(
    Scope::Reaches,
    "reach-velocity",
    "velocity at the smooth end of the range",
    Kind::Velocity,
)
.by(
    "flow divided by the wetted section at the least depth",
    "V = Q / A(y)",
)
.from(RESISTANCE);
static SLOWEST: Definition = Definition::quantity(
    Scope::Reaches,
    "reach-velocity-slow",
    "velocity at the rough end of the range",
    Kind::Velocity,
)
.by(
    "flow divided by the wetted section at the most depth",
    "V = Q / A(y_rough)",
)
.from(RESISTANCE);
static REACH_WATER: Definition = Definition::quantity(
    Scope::Reaches,
    "reach-water",
    "water held while running",
    Kind::Volume,
)
.by(
    "wetted section at the rough end of the range, times the length",
    "V_reach = A(y_rough)·L",
)
.from(RESISTANCE)
.within(RANGE);
static REACH_FREEBOARD: Definition = Definition::quantity(
    Scope::Reaches,
    "reach-freeboard",
    "lining above the water",
    Kind::Length,
)
.by(
    "height of the lining’s edge over the bed less the depth at the rough end of the range",
    "F = h_edge − y_rough",
);
static STONE_NEEDED: Definition =
    Definition::quantity(Scope::Reaches, "stone-needed", "stable stone size", Kind::Length)
        .by(
            "by the velocity at the smooth end of the range, for loose stone",
            "D = V² / (2·g·(S − 1)·C²)",
        )
        .from("Isbash (1936), C 0.86 for loose stone")
        .within("stone of specific gravity 2.65");
static STONE_SHARE: Definition = Definition::quantity(
    Scope::Reaches,
    "stone-share",
    "stone size as a multiple of the stable size",
    Kind::Ratio,
)
.by("size of the bed stone divided by the stable size", "r = D50 / D");

const fn depth_of(name: &'static str, title: &'static str) -> Definition {
    Definition::quantity(Scope::Reaches, name, title, Kind::Length)
        .from(RESISTANCE)
        .within(RANGE)
}

pub(super) static DEFINITIONS: &[&Definition] = &[
    &STREAM_FLOW,
    &STREAM_WATER,
    &DROPS_BEYOND,
    &DROPS_LEFT,
    &DROPS_TOLERANCE,
    &REACH_DEPTH,
    &REACH_DEPTH_ROUGH,
    &CRITICAL_DEPTH,
    &FROUDE,
    &FASTEST,
    &SLOWEST,
    &REACH_WATER,
    &REACH_FREEBOARD,
    &STONE_NEEDED,
    &STONE_SHARE,
];

/// Specific gravity of stone.
const STONE_GRAVITY: f64 = 2.65;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, stream) in &plan.streams {
        ledger.enter(&STREAM_FLOW, &stream.place, |sheet| stream_flow(sheet, plan, id));
        for reach in stream.reaches.values() {
            enter_reach(ledger, stream, reach);
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
        ledger.enter(&DROPS_TOLERANCE, at, |sheet| {
            quantity(drop_tolerance(height(sheet, plan, id, stream)?))
        });
        regime::enter_stream(ledger, stream);
    }
}

fn stream_flow(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str) -> Answer {
    let mut flow = None;
    for fall in plan
        .falls
        .values()
        .filter(|fall| fall.to.value().is_some_and(|to| to == id))
    {
        let more = sheet.figure("Q_fall", &FALL_FLOW, &fall.place)?;
        flow = Some(flow.unwrap_or(0.0) + more);
    }
    let none = || does_not_apply("no fall feeds this stream");
    quantity(flow.ok_or_else(none)?)
}

fn enter_reach(ledger: &mut Ledger, stream: &Given<Stream>, reach: &Given<Reach>) {
    let at = &reach.place;
    let flow = |sheet: &mut Worksheet<'_>| sheet.figure("Q", &STREAM_FLOW, &stream.place);
    for (definition, end) in [(&REACH_DEPTH, End::Smooth), (&REACH_DEPTH_ROUGH, End::Rough)] {
        ledger.enter(definition, at, |sheet| {
            let flow = flow(sheet)?;
            let channel = Channel::of(sheet, reach)?;
            let depth = channel.depth(flow, end)?;
            if channel.bed.holds(&channel.section, depth) {
                quantity(depth)
            } else {
                Err(Gap::NotComputed(
                    "the water is too shallow or too deep against its stone for the published resistance"
                        .to_owned(),
                ))
            }
        });
    }
    ledger.enter(&CRITICAL_DEPTH, at, |sheet| {
        let flow = flow(sheet)?;
        quantity(Channel::of(sheet, reach)?.section.critical_depth(flow))
    });
    ledger.enter(&FROUDE, at, |sheet| {
        let (flow, depth) = (flow(sheet)?, sheet.figure("y", &REACH_DEPTH, at)?);
        quantity(
            Channel::of(&mut Notes::default(), reach)?
                .section
                .froude(flow, depth),
        )
    });
    regime::enter_reach(ledger, stream, reach);
    for (definition, depth, symbol) in [
        (&FASTEST, &REACH_DEPTH, "y"),
        (&SLOWEST, &REACH_DEPTH_ROUGH, "y_rough"),
    ] {
        ledger.enter(definition, at, |sheet| {
            let (flow, depth) = (flow(sheet)?, sheet.figure(symbol, depth, at)?);
            quantity(flow / Channel::of(&mut Notes::default(), reach)?.section.area(depth))
        });
    }
    ledger.enter(&REACH_WATER, at, |sheet| {
        let depth = sheet.figure("y_rough", &REACH_DEPTH_ROUGH, at)?;
        let length = sheet.given("L", &reach.length, at, "length")?;
        quantity(Channel::of(&mut Notes::default(), reach)?.section.area(depth) * length)
    });
    ledger.enter(&REACH_FREEBOARD, at, |sheet| {
        let edge = sheet.given("h_edge", &reach.liner_edge, at, "liner_edge")?;
        quantity(edge - sheet.figure("y_rough", &REACH_DEPTH_ROUGH, at)?)
    });
    ledger.enter(&STONE_NEEDED, at, |sheet| {
        let velocity = sheet.figure("V", &FASTEST, at)?;
        let gravity = sheet.assumed("S", STONE_GRAVITY, Kind::Ratio, "stone of specific gravity 2.65");
        quantity(isbash_size(velocity, gravity, ISBASH_LOOSE))
    });
    ledger.enter(&STONE_SHARE, at, |sheet| {
        let stone = sheet.given("D50", &reach.stone, at, "stone")?;
        quantity(stone / sheet.figure("D", &STONE_NEEDED, at)?)
    });
}

/// How far the drops of the reaches are from the level difference they have to make up.
/// From the head of a stream to the still water it ends in.
fn height(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, stream: &Given<Stream>) -> Result<f64, Gap> {
    let head = head(sheet, plan, id, stream)?;
    let Some((_, end)) = stream
        .ends_in
        .value()
        .and_then(|to| plan.basins.get_key_value(to))
    else {
        return Err(missing(stream.place.child("ends_in")));
    };
    Ok(head - sheet.given("z_end", &end.still, &end.place, "still")?)
}

fn drops(sheet: &mut Worksheet<'_>, stream: &Given<Stream>) -> Result<f64, Gap> {
    let mut drops = 0.0;
    for reach in stream.reaches.values() {
        drops += sheet.given("Δz", &reach.drop, &reach.place, "drop")?;
    }
    Ok(drops)
}

/// Level of a stream's upper end: as shown, or the lowest crest that feeds it.
fn head(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, stream: &Given<Stream>) -> Result<f64, Gap> {
    if let Shown::Is(head) = &stream.head {
        sheet.note_given("z_head", head);
        return Ok(head.si());
    }
    let feeding = plan
        .falls
        .values()
        .filter(|fall| fall.to.value().is_some_and(|to| to == id));
    let crests: Vec<_> = feeding.map(|fall| (&fall.crest, &fall.place)).collect();
    let mut lowest: Option<f64> = None;
    for (crest, place) in crests {
        let crest = sheet.given("z_head", crest, place, "crest")?;
        lowest = Some(lowest.map_or(crest, |lowest| lowest.min(crest)));
    }
    lowest.ok_or_else(|| missing(stream.place.child("head")))
}
