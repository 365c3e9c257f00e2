//! Runs of pipe: flow, velocity, losses, cover.

use super::{
    feeding::{NETWORK, feeding},
    pumps::DUTY_FLOW,
};
use crate::{
    formulas::pipe,
    hydraulics::{Losses, RunState, System},
    ledger::{
        Answer, Definition, Gap, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, missing,
        quantity, verdict, yes,
    },
    plan::{Given, Line, Measure, Plan, Run, Shown},
    quantity::{INCH, Kind, both_trade_lengths},
    read::Place,
};

pub(crate) static RUN_FLOW: Definition = Definition::quantity(Scope::Runs, "run-flow", "flow", Kind::Flow)
    .by("the flow in the run with the whole system solved together", "Q")
    .from(NETWORK);
pub(crate) static RUN_VELOCITY: Definition =
    Definition::quantity(Scope::Runs, "run-velocity", "velocity", Kind::Velocity)
        .by("flow divided by the area of the pipe", "v = 4·Q / (π·D²)");
static RUN_REYNOLDS: Definition =
    Definition::quantity(Scope::Runs, "run-reynolds", "Reynolds number", Kind::Ratio).by(
        "velocity times diameter divided by kinematic viscosity",
        "Re = v·D / ν",
    );
static RUN_HEAD_LOSS: Definition =
    Definition::quantity(Scope::Runs, "run-head-loss", "head loss", Kind::Length)
        .by(
            "friction and fittings at the velocity",
            "h = (f·L/D + ΣK)·v² / (2·g)",
        )
        .from("Darcy–Weisbach; Colebrook–White from Re 4000, 64/Re below 2000, a smooth bridge between")
        .within("full round pipe; relative roughness up to 0.05");
static OUTLET_SHARE_OF_CLAIM: Definition = Definition::quantity(
    Scope::Runs,
    "outlet-share-of-claim",
    "computed flow as a share of the stated flow",
    Kind::Share,
)
.by(
    "flow at the outlet divided by the flow the plan counts on there",
    "r = Q / Q_stated",
)
.comparing("{Q} computed, {Q_stated} stated");
static SELF_CLEANING_SHARE: Definition = Definition::quantity(
    Scope::Runs,
    "self-cleaning-share",
    "velocity as a share of the self-cleaning velocity",
    Kind::Share,
)
.by(
    "velocity divided by 2 ft/s (0.6 m/s), which keeps sand moving in a full pipe",
    "r = v / v_clean",
)
.from("practice for drains and force mains (from memory)");
static WINTER_SAFE: Definition = Definition::verdict(Scope::Runs, "winter-safe", "line safe from frost").by(
    "it lies below the frost, drains by gravity, or a winter plan says what is done",
    "",
);
static EMPTY_IN_FROST: Definition = Definition::verdict(
    Scope::Runs,
    "empty-in-frost",
    "line that drains, or lies below the frost",
)
.by("it is not said to stay full above the frost depth", "");
static COVER_ENOUGH: Definition =
    Definition::verdict(Scope::Runs, "cover-enough", "enough soil over the buried run").by(
        "by nominal size: 6 in (150 mm) of soil over pipe to 1-1/2 in, 12 in (300 mm) to 3 in, 18 in (450 mm) to 5 in, \
         24 in (600 mm) above",
        "",
    );

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &RUN_FLOW,
    &RUN_VELOCITY,
    &RUN_REYNOLDS,
    &RUN_HEAD_LOSS,
    &OUTLET_SHARE_OF_CLAIM,
    &SELF_CLEANING_SHARE,
    &WINTER_SAFE,
    &EMPTY_IN_FROST,
    &COVER_ENOUGH,
];

/// The coefficients of a run's head loss: friction factor, and K of everything but the straight pipe by the plan's
/// method.
fn note_coefficients(sheet: &mut Worksheet<'_>, plan: &Plan, state: &RunState) {
    let value = |symbol| match state.of(symbol) {
        [input] => input.value.map(|(si, _)| si),
        _ => None,
    };
    let (Some(diameter), Some(length), Some(roughness)) = (value("D"), value("L"), value("ε")) else {
        return;
    };
    if state.reynolds <= 0.0 {
        return;
    }
    let friction = pipe::friction_factor(state.reynolds, roughness / diameter);
    let all = state.head_loss.abs() / pipe::velocity_head(state.velocity);
    let why = "friction factors by Colebrook–White, 64/Re in laminar flow";
    sheet.assumed("f", friction, Kind::Ratio, why);
    let fittings = (all - friction * length / diameter).max(0.0);
    let source = Losses::by(plan).source();
    let why = format!("losses of fittings, valves and exits by {source}, in velocity heads");
    sheet.assumed("K", fittings, Kind::Ratio, &why);
}

/// 2 ft/s, m/s.
const SELF_CLEANING: f64 = 0.6096;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System, line: &Given<Line>, run: &Given<Run>) {
    let at = &run.place;
    let state = || match system.runs.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(missing(line.place.child("from"))),
    };
    ledger.enter(&RUN_FLOW, at, |sheet| {
        for pump in feeding(plan, line) {
            sheet.figure("Q_pump", &DUTY_FLOW, &pump.place)?;
        }
        quantity(state()?.flow)
    });
    ledger.enter(&RUN_VELOCITY, at, |sheet| {
        sheet.figure("Q", &RUN_FLOW, at)?;
        let state = state()?;
        sheet.take(state.of("D"));
        quantity(state.velocity)
    });
    ledger.enter(&RUN_REYNOLDS, at, |sheet| {
        sheet.figure("v", &RUN_VELOCITY, at)?;
        quantity(state()?.reynolds)
    });
    ledger.enter(&RUN_HEAD_LOSS, at, |sheet| {
        sheet.figure("v", &RUN_VELOCITY, at)?;
        let state = state()?;
        sheet.take(&state.inputs);
        note_coefficients(sheet, plan, state);
        quantity(state.head_loss)
    });
    if matches!(run.stated_flow, Shown::Is(_)) {
        ledger.enter(&OUTLET_SHARE_OF_CLAIM, at, |sheet| {
            let stated = sheet.given("Q_stated", &run.stated_flow, at, "stated_flow")?;
            quantity(sheet.figure("Q", &RUN_FLOW, at)? / stated)
        });
    }
    ledger.enter(&SELF_CLEANING_SHARE, at, |sheet| {
        let velocity = sheet.figure("v", &RUN_VELOCITY, at)?;
        let why = "2 ft/s (0.6 m/s) keeps sand moving in a full pipe (from memory)";
        quantity(velocity / sheet.assumed("v_clean", SELF_CLEANING, Kind::Velocity, why))
    });
    if !matches!(run.buried, Shown::NotShown) {
        ledger.enter(&WINTER_SAFE, at, |sheet| winter_safe(sheet, plan, line, run));
        ledger.enter(&EMPTY_IN_FROST, at, |sheet| {
            empty_in_frost(sheet, plan, line, run)
        });
    }
    if matches!(run.buried, Shown::Is(_)) {
        ledger.enter(&COVER_ENOUGH, at, |sheet| cover_enough(sheet, run));
    }
}

/// Soil over a run, m; none over one that is not buried.
fn cover(sheet: &mut Worksheet<'_>, run: &Given<Run>) -> Result<f64, Gap> {
    if let Shown::None(place) = &run.buried {
        sheet.note_place("d_cover", place);
        return Ok(0.0);
    }
    sheet.given("d_cover", &run.buried, &run.place, "buried")
}

fn winter_safe(sheet: &mut Worksheet<'_>, plan: &Plan, line: &Given<Line>, run: &Given<Run>) -> Answer {
    let holds = |because: &str| yes(because);
    let site = plan.site.value();
    let frost = match site.map(|site| &site.frost_depth) {
        Some(Shown::None(_)) => return Err(does_not_apply("the ground does not freeze")),
        Some(Shown::Is(frost)) => frost,
        _ => return Err(missing(Place::from_pointer("/site/frost_depth"))),
    };
    sheet.note_given("d_frost", frost);
    let cover = cover(sheet, run)?;
    if cover >= frost.si() {
        return holds("it lies below the frost");
    }
    let upkeep = plan.upkeep.value();
    let planned = matches!(upkeep.map(|upkeep| &upkeep.winter), Some(Shown::Is(_)));
    let runs = upkeep.and_then(|upkeep| upkeep.runs_in_winter.yes());
    let place = Place::from_pointer("/upkeep/runs_in_winter");
    if planned && runs.is_some() {
        sheet.note_place("runs_in_winter", &place);
    }
    if line.drains_for_winter.yes() == Some(true) {
        return holds("it drains for winter");
    }
    if planned && runs == Some(true) {
        return holds("its water moves all winter, and a winter plan is written");
    }
    if line.drains_for_winter.yes().is_none() {
        return Err(missing(line.place.child("drains_for_winter")));
    }
    let freezes = |because: &str| verdict(false, because, Some(run.place.child("buried")));
    match (planned, runs) {
        (false, _) => freezes("it lies above the frost, does not drain, and no winter plan is written"),
        (true, None) => Err(missing(place)),
        (true, _) => freezes("it lies above the frost, does not drain, and its water stands still in winter"),
    }
}

/// A full line above the frost is kept whole by moving water alone.
fn empty_in_frost(sheet: &mut Worksheet<'_>, plan: &Plan, line: &Given<Line>, run: &Given<Run>) -> Answer {
    let verdict = |holds: bool, because: &str| {
        verdict(
            holds,
            because,
            (!holds).then(|| line.place.child("drains_for_winter")),
        )
    };
    let Some(Shown::Is(frost)) = plan.site.value().map(|site| &site.frost_depth) else {
        return Err(does_not_apply("no frost depth is shown"));
    };
    sheet.note_given("d_frost", frost);
    let cover = cover(sheet, run)?;
    if cover >= frost.si() {
        return verdict(true, "it lies below the frost");
    }
    match line.drains_for_winter.yes() {
        Some(false) => verdict(false, "it lies above the frost and does not drain"),
        _ => verdict(true, "it drains, or is not said to stay full"),
    }
}

/// Cover by nominal size, inches: up to this size, this cover.
const COVER: [(f64, f64); 4] = [(1.5, 6.0), (3.0, 12.0), (5.0, 18.0), (f64::INFINITY, 24.0)];

fn cover_enough(sheet: &mut Worksheet<'_>, run: &Given<Run>) -> Answer {
    let cover = sheet.given("d_cover", &run.buried, &run.place, "buried")?;
    let pipe = run.pipe.given().ok_or_else(|| missing(run.place.child("pipe")))?;
    let size = sheet.given("D_nominal", &pipe.size, &pipe.place, "size")?;
    let needed = COVER
        .iter()
        .find(|(up_to, _)| at_most(size / INCH, *up_to))
        .map_or(24.0, |(_, cover)| *cover);
    // 300 mm is as good as 12 in: the metric depth is the rounded one that metric crews dig to.
    let holds = at_least(cover, needed * 0.025);
    let because = format!(
        "{} of cover is {} for this size of pipe; {} is required",
        both_trade_lengths(cover),
        if holds { "enough" } else { "too little" },
        both_trade_lengths(needed * INCH)
    );
    verdict(holds, because, Some(run.place.child("buried")))
}
