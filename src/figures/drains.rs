//! Gravity lines: what runs through them, how far they draw a basin down, what governs.

use super::levels::RUNNING_LEVEL;
use crate::{
    formulas::gravity_pipe::Control,
    hydraulics::{DrainState, System},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity, verdict},
    plan::{DischargeForm, Drain, Given, MouthForm, Plan, Shown},
    quantity::Kind,
    read::Place,
};

const LEAST_GOVERNS: &str = "drop inlets (USBR, Design of Small Dams; NRCS practice; from memory): lip Q = 1.84·b·h^1.5, \
                             mouth Q = 0.61·A·√(2·g·h), full pipe by Darcy–Weisbach; the least governs";

pub(super) static DRAIN_FLOW: Definition =
    Definition::quantity(Scope::Drains, "drain-flow", "flow through the drain", Kind::Flow)
        .by(
            "the flow with the whole system solved together: the least of lip, mouth and full pipe",
            "Q = min(Q_lip, Q_mouth, Q_pipe)",
        )
        .from(LEAST_GOVERNS)
        .within("lips measured from 30 mm (1.2 in) of head, continued below; pipe full where it governs");
static DRAIN_VELOCITY: Definition = Definition::quantity(
    Scope::Drains,
    "drain-velocity",
    "velocity in the drain",
    Kind::Velocity,
)
.by(
    "flow divided by the area of the pipe, as if it ran full",
    "v = 4·Q / (π·D²)",
);
static DRAWDOWN: Definition = Definition::quantity(
    Scope::Drains,
    "drawdown",
    "running level below the basin it drains",
    Kind::Length,
)
.by(
    "running level of the basin it leaves less that of the basin it runs to",
    "d = z_above − z_below",
);
static LIP_HEAD: Definition =
    Definition::quantity(Scope::Drains, "lip-head", "water over the lip", Kind::Length).by(
        "running level of the basin it leaves less the level of its lip",
        "h = z_above − z_lip",
    );
static LIP_GOVERNS: Definition = Definition::verdict(Scope::Drains, "lip-governs", "lip that sets the flow")
    .by(
        "the lip passes less than the mouth and the pipe behind it would",
        "Q_lip < min(Q_mouth, Q_pipe)",
    );
static STILL_APART: Definition = Definition::quantity(
    Scope::Drains,
    "still-levels-apart",
    "still water that no lip holds back",
    Kind::Length,
)
.by(
    "still level of one basin above that of the other, or above the lip or end that holds it back where that is higher; \
     joined basins stand in one water at rest",
    "Δ = max(0, z_from − max(z_to, z_mouth), z_to − max(z_from, z_end))",
)
.from("communicating vessels")
.within("a line that ends under water, without a valve shut at rest");
static DRAIN_SHARE_OF_CLAIM: Definition = Definition::quantity(
    Scope::Drains,
    "drain-share-of-claim",
    "computed flow as a share of the stated flow",
    Kind::Share,
)
.by(
    "flow through the drain divided by the flow the plan counts on",
    "r = Q / Q_stated",
)
.comparing("{Q} computed, {Q_stated} stated");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &DRAIN_FLOW,
    &DRAIN_VELOCITY,
    &DRAWDOWN,
    &LIP_HEAD,
    &LIP_GOVERNS,
    &DRAIN_SHARE_OF_CLAIM,
    &STILL_APART,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System) {
    for drain in plan.drains.values() {
        enter_drain(ledger, plan, system, drain);
    }
}

fn enter_drain(ledger: &mut Ledger, plan: &Plan, system: &System, drain: &Given<Drain>) {
    let at = &drain.place;
    let state = || match system.drains.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(missing(at.child("from"))),
    };
    ledger.enter(&DRAIN_FLOW, at, |sheet| {
        let state = state()?;
        sheet.take(&state.inputs);
        quantity(state.flow)
    });
    ledger.enter(&DRAIN_VELOCITY, at, |sheet| {
        sheet.figure("Q", &DRAIN_FLOW, at)?;
        let state = state()?;
        sheet.take(state.of("D"));
        quantity(state.velocity)
    });
    ledger.enter(&DRAWDOWN, at, |sheet| {
        let above = level(sheet, "z_above", &drain.from, at, "from")?;
        quantity(above - level(sheet, "z_below", &drain.to, at, "to")?)
    });
    let form = drain.mouth.value().and_then(|mouth| mouth.form.value());
    if form != Some(&MouthForm::BottomDrain) {
        ledger.enter(&LIP_HEAD, at, |sheet| {
            let above = level(sheet, "z_above", &drain.from, at, "from")?;
            let left_out = || missing(at.child("mouth"));
            let mouth = drain.mouth.given().ok_or_else(left_out)?;
            quantity(above - sheet.given("z_lip", &mouth.level, &mouth.place, "level")?)
        });
        ledger.enter(&LIP_GOVERNS, at, |sheet| {
            sheet.figure("Q", &DRAIN_FLOW, at)?;
            let state: &DrainState = state()?;
            verdict(
                state.control == Control::Weir,
                format!("{} sets the flow", state.control.words()),
                None,
            )
        });
    }
    ledger.enter(&STILL_APART, at, |sheet| still_apart(sheet, plan, drain));
    if matches!(drain.stated_flow, Shown::Is(_)) {
        ledger.enter(&DRAIN_SHARE_OF_CLAIM, at, |sheet| {
            let stated = sheet.given("Q_stated", &drain.stated_flow, at, "stated_flow")?;
            quantity(sheet.figure("Q", &DRAIN_FLOW, at)? / stated)
        });
    }
}

/// How far one basin is drawn above what keeps its water from the other at rest.
fn still_apart(sheet: &mut Worksheet<'_>, plan: &Plan, drain: &Given<Drain>) -> Answer {
    let at = &drain.place;
    let run = drain.run.given().ok_or_else(|| missing(at.child("run")))?;
    if run.shut.value() == Some(&true) {
        return Err(does_not_apply("a valve in it is shut"));
    }
    let still = |sheet: &mut Worksheet<'_>, symbol, end: &Shown<String>, field| {
        let basin = end.value().and_then(|id| plan.basins.get(id));
        let basin = basin.ok_or_else(|| missing(at.child(field)))?;
        sheet.given(symbol, &basin.still, &basin.place, "still")
    };
    let from = still(sheet, "z_from", &drain.from, "from")?;
    let to = still(sheet, "z_to", &drain.to, "to")?;
    let mouth = drain.mouth.given().ok_or_else(|| missing(at.child("mouth")))?;
    let mouth = if mouth.form.value() == Some(&MouthForm::BottomDrain) {
        f64::NEG_INFINITY
    } else {
        sheet.given("z_mouth", &mouth.level, &mouth.place, "level")?
    };
    let end = match run.discharge.given() {
        Some(end) if end.form.value() == Some(&DischargeForm::Free) => {
            sheet.given("z_end", &end.level, &end.place, "level")?
        }
        _ => mouth,
    };
    let above = from - to.max(mouth).max(end);
    let below = to - from.max(end);
    quantity(above.max(below).max(0.0))
}

/// The running level of the basin at an end.
fn level(
    sheet: &mut Worksheet<'_>,
    symbol: &'static str,
    end: &Shown<String>,
    at: &Place,
    field: &str,
) -> Result<f64, Gap> {
    let left_out = || missing(at.child(field));
    let basin = Plan::basin_place(end.value().ok_or_else(left_out)?);
    sheet.figure(symbol, &RUNNING_LEVEL, &basin)
}
