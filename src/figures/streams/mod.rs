//! Streams, reach by reach: depth, speed, the water held, and whether the stone stays where it lies.
//!
//! Shallow water over stone is held back by so much or by four times as much: every figure is told at the end of that
//! range where it is worst, or at both.

pub(super) mod regime;

use super::{
    falls::{FALL_FLOW, drop_tolerance},
    pumping::RUN_FLOW,
};
use crate::{
    formulas::{
        channel_lining::{CONCRETE_VELOCITY, grass_velocity},
        riprap::{ISBASH_LOOSE, isbash_size},
        stream::End,
    },
    hydraulics::Channel,
    ledger::{Answer, Definition, Gap, Ledger, Notes, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{
        ChannelLining, Given, Measure, Plan, Reach, Shown, Stream,
        connections::{falls_into, leaving, runs_into},
    },
    quantity::Kind,
};

const RESISTANCE: &str = "variable-power resistance of steep streams (Ferguson, Water Resources Research 43, 2007; \
                          coefficients from memory), solved for the depth; Manning’s n as given or by the lining (Chow \
                          1959), 0.05 to 0.20 where neither lining nor \
                          stone is shown";
const RANGE: &str = "even flow over the reach; water 0.1 to 30 times as deep as the stone is large; pools between steps \
                     hold more";

static STREAM_FLOW: Definition =
    Definition::quantity(Scope::Streams, "stream-flow", "flow in the stream", Kind::Flow).by(
        "the sum of the falls and lines that feed it",
        "Q = ΣQ_fall + ΣQ_run",
    );
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
pub(super) static REACH_DEPTH: Definition =
    depth_of("reach-depth", "running depth, at the smooth end of the range").by(
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

static VELOCITY_SHARE: Definition = Definition::quantity(
    Scope::Reaches,
    "lining-velocity-share",
    "velocity as a share of what the lining bears",
    Kind::Share,
)
.by(
    "velocity at the smooth end of the range divided by the permissible velocity of the lining",
    "r = V / V_perm",
)
.from(
    "grass: US Soil Conservation Service, SCS-TP-61, grass mixtures on easily eroded soil; concrete: Fischenich, \
     Stability Thresholds for Stream Restoration Materials, ERDC TN-EMRRP-SR-29, 2001 (from memory)",
)
.within("grass on slopes up to 10 %; sound concrete");

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
    &VELOCITY_SHARE,
    &HEAD_ABOVE_RECEIVER,
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
        ledger.enter(&HEAD_ABOVE_RECEIVER, at, |sheet| {
            let basin = stream.ends_in.value().and_then(|to| plan.basins.get(to));
            let basin = basin.ok_or_else(|| does_not_apply("a fall leaves it"))?;
            let head = head(sheet, plan, id, stream)?;
            quantity(head - sheet.given("z_still", &basin.still, &basin.place, "still")?)
        });
        regime::enter_stream(ledger, stream);
    }
}

fn stream_flow(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str) -> Answer {
    let mut flow = None;
    for fall in falls_into(plan, id) {
        let more = sheet.figure("Q_fall", &FALL_FLOW, &fall.place)?;
        flow = Some(flow.unwrap_or(0.0) + more);
    }
    for run in runs_into(plan, id) {
        let more = sheet.figure("Q_run", &RUN_FLOW, &run.place)?;
        flow = Some(flow.unwrap_or(0.0) + more);
    }
    let none = || does_not_apply("no fall and no line feeds this stream");
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
    if matches!(reach.lining, Shown::Is(_)) {
        ledger.enter(&VELOCITY_SHARE, at, |sheet| velocity_share(sheet, reach));
    }
}

/// The velocity of a reach against what its lining bears; loose stone is judged by its size.
fn velocity_share(sheet: &mut Worksheet<'_>, reach: &Given<Reach>) -> Answer {
    let at = &reach.place;
    let Some(lining) = reach.lining.given() else {
        return Err(Gap::NotShown(vec![at.child("lining")]));
    };
    let velocity = sheet.figure("V", &FASTEST, at)?;
    sheet.note_place("lining", &lining.place);
    let (permissible, why) = match lining.value {
        ChannelLining::Grass => {
            let drop = sheet.given("Δz", &reach.drop, at, "drop")?;
            let length = sheet.given("L", &reach.length, at, "length")?;
            let why = "grass bears 4 ft/s (1.2 m/s) on slopes up to 5 %, 3 ft/s (0.9 m/s) on steeper ones";
            (grass_velocity(drop / length), why)
        }
        ChannelLining::SmoothConcrete => (CONCRETE_VELOCITY, "concrete bears 18 ft/s (5.5 m/s)"),
        ChannelLining::DressedStone
        | ChannelLining::Gravel
        | ChannelLining::Cobbles
        | ChannelLining::Boulders => {
            let why = "stone is judged by its size, not by a velocity of the lining";
            return Err(Gap::DoesNotApply(why.to_owned()));
        }
    };
    quantity(velocity / sheet.assumed("V_perm", permissible, Kind::Velocity, why))
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
