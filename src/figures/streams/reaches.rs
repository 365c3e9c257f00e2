//! Reaches of a stream: flow, depth, speed, the water they hold, and whether their stone stays where it lies.

use crate::{
    figures::{falls::FALL_FLOW, pumping::RUN_FLOW},
    formulas::{
        channel_lining::{CONCRETE_VELOCITY, grass_velocity},
        riprap::{ISBASH_LOOSE, chute_size, isbash_size},
        stream::End,
    },
    hydraulics::Channel,
    ledger::{Answer, Definition, Gap, Ledger, Notes, Scope, Worksheet, does_not_apply, quantity},
    plan::{
        ChannelLining, Given, Plan, Reach, Shown, Stream,
        connections::{falls_into, runs_into},
    },
    quantity::Kind,
};

pub(super) const RESISTANCE: &str = "variable-power resistance of steep streams (Ferguson, Water Resources Research 43, 2007; \
                          coefficients from memory), solved for the depth; Manning’s n as given or by the lining (Chow \
                          1959), 0.05 to 0.20 where neither lining nor \
                          stone is shown";
pub(super) const RANGE: &str = "even flow over the reach; water 0.1 to 30 times as deep as the stone is large; pools between steps \
                     hold more";

pub(super) static STREAM_FLOW: Definition =
    Definition::quantity(Scope::Streams, "stream-flow", "flow in the stream", Kind::Flow).by(
        "the sum of the falls and lines that feed it",
        "Q = ΣQ_fall + ΣQ_run",
    );
pub(in crate::figures) static REACH_DEPTH: Definition =
    depth_of("reach-depth", "running depth, at the smooth end of the range").by(
        "the depth at which the stream carries its flow with the least resistance",
        "y: Q = A(y)·V(y)",
    );
pub(super) static REACH_DEPTH_ROUGH: Definition = depth_of(
    "reach-depth-rough",
    "running depth, at the rough end of the range",
)
.by(
    "the depth at which the stream carries its flow with the most resistance",
    "y_rough: Q = A(y)·V(y)",
);
pub(super) static CRITICAL_DEPTH: Definition =
    Definition::quantity(Scope::Reaches, "critical-depth", "critical depth", Kind::Length)
        .by(
            "the depth at which water runs as fast as a wave on it",
            "y_c: Q²·T / (g·A³) = 1",
        )
        .from("open-channel hydraulics: critical flow")
        .within("small slopes");
pub(super) static FROUDE: Definition = Definition::quantity(
    Scope::Reaches,
    "froude-number",
    "Froude number at the smooth end, above 1 where the water shoots",
    Kind::Ratio,
)
.by("velocity divided by the speed of a wave", "Fr = V / √(g·A/T)");
pub(super) static FASTEST: Definition = Definition::quantity(
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
pub(super) static SLOWEST: Definition = Definition::quantity(
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
pub(super) static REACH_WATER: Definition = Definition::quantity(
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
pub(super) static REACH_FREEBOARD: Definition = Definition::quantity(
    Scope::Reaches,
    "reach-freeboard",
    "lining above the water",
    Kind::Length,
)
.by(
    "height of the lining’s edge over the bed less the depth at the rough end of the range",
    "F = h_edge − y_rough",
);
pub(super) static STONE_NEEDED: Definition =
    Definition::quantity(Scope::Reaches, "stone-needed", "stable stone size", Kind::Length)
        .by(
            "for loose stone, by the velocity at the smooth end of the range; on a slope of 2 to 40 % by flow per width of the \
             bed and slope too, where that asks for more",
            "D = max(V² / (2·g·(S − 1)·C²), D50(q, Δz/L))",
        )
        .from(
            "Isbash (1936), C 0.86 for loose stone; Robinson, Rice and Kadavy, Design of Rock Chutes (Transactions of the \
             ASAE 41(3), 1998, read in a copy)",
        )
        .within("stone of specific gravity 2.65");
pub(super) static STONE_SHARE: Definition = Definition::quantity(
    Scope::Reaches,
    "stone-share",
    "stone size as a multiple of the stable size",
    Kind::Ratio,
)
.by("size of the bed stone divided by the stable size", "r = D50 / D");

pub(super) static VELOCITY_SHARE: Definition = Definition::quantity(
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

/// Specific gravity of stone.
const STONE_GRAVITY: f64 = 2.65;

/// What runs in the stream.
pub(super) fn enter_flow(ledger: &mut Ledger, plan: &Plan, id: &str, stream: &Given<Stream>) {
    ledger.enter(&STREAM_FLOW, &stream.place, |sheet| stream_flow(sheet, plan, id));
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

/// What the water of a reach is: its depth and regime.
pub(super) fn enter_depths(ledger: &mut Ledger, stream: &Given<Stream>, reach: &Given<Reach>) {
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
}

/// What the water of a reach does: how fast it runs, what it holds and moves.
pub(super) fn enter_velocities(ledger: &mut Ledger, stream: &Given<Stream>, reach: &Given<Reach>) {
    let at = &reach.place;
    let flow = |sheet: &mut Worksheet<'_>| sheet.figure("Q", &STREAM_FLOW, &stream.place);
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
        let by_velocity = isbash_size(velocity, gravity, ISBASH_LOOSE);
        let slope =
            sheet.given("Δz", &reach.drop, at, "drop")? / sheet.given("L", &reach.length, at, "length")?;
        let width = sheet.given("b", &reach.bed_width, at, "bed_width")?;
        let by_slope = chute_size(flow(sheet)? / width, slope).unwrap_or(0.0);
        quantity(by_velocity.max(by_slope))
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
