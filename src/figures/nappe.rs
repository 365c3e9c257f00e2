//! The nappe of a fall: how far it is thrown and how thick it lands.

use super::{
    falls::{BRINK_DEPTH, FLOW_PER_WIDTH, clear_brink},
    levels::RUNNING_LEVEL,
};
use crate::{
    formulas::nappe,
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity, verdict},
    plan::{Fall, Form, Given, Plan, Shown, connections::receiver},
    quantity::Kind,
    read::Place,
};

static THROW: Definition = Definition::quantity(
    Scope::Falls,
    "throw",
    "horizontal throw of the nappe",
    Kind::Length,
)
.by(
    "speed on the brink times the time to fall from the middle of the sheet to the running level below",
    "x = (q / y_b)·√(2·(d + y_b / 2) / g)",
)
.from("free fall from the brink; brink depth by Rouse 1936")
.within("level brink, still air; a thin nappe clings to the stone or breaks up and lands nearer");
static LANDING_THICKNESS: Definition = Definition::quantity(
    Scope::Falls,
    "landing-thickness",
    "thickness of the nappe at impact",
    Kind::Length,
)
.by(
    "flow per width divided by the speed the nappe has reached",
    "t = q / √(v_b² + 2·g·d)",
)
.from("free fall from the brink")
.within("an unbroken nappe in still air");
static SHEET_LANDS_INSIDE: Definition = Definition::verdict(
    Scope::Falls,
    "sheet-lands-inside",
    "nappe that lands in the basin below",
)
.by(
    "throw of at most the shortest distance across the basin below, with the brink at its edge",
    "x ≤ W",
);

pub(super) static DEFINITIONS: &[&Definition] = &[&THROW, &LANDING_THICKNESS, &SHEET_LANDS_INSIDE];

/// What rests on the level below; a stream that takes the water has none of its own.
fn enter_one(ledger: &mut Ledger, plan: &Plan, fall: &Given<Fall>) {
    if fall.to.value().is_some_and(|to| plan.streams.contains_key(to)) {
        return;
    }
    let at = &fall.place;
    ledger.enter(&THROW, at, |sheet| {
        let (flow, drop) = falling(sheet, plan, fall)?;
        quantity(nappe::throw(flow, drop))
    });
    ledger.enter(&LANDING_THICKNESS, at, |sheet| {
        let (flow, drop) = falling(sheet, plan, fall)?;
        sheet.assumed(
            "v_b",
            nappe::brink_velocity(flow),
            Kind::Velocity,
            "the nappe leaves the brink at flow per width divided by its depth there",
        );
        quantity(nappe::landing_thickness(flow, drop))
    });
    ledger.enter(&SHEET_LANDS_INSIDE, at, |sheet| lands_inside(sheet, plan, fall));
}

/// Flow per width, and the drop from the crest to the running level below.
fn falling(sheet: &mut Worksheet<'_>, plan: &Plan, fall: &Given<Fall>) -> Result<(f64, f64), Gap> {
    clear_brink(fall)?;
    let at = &fall.place;
    let flow = sheet.figure("q", &FLOW_PER_WIDTH, at)?;
    sheet.figure("y_b", &BRINK_DEPTH, at)?;
    let crest = sheet.given("z_crest", &fall.crest, at, "crest")?;
    let drop = crest - sheet.figure("z_running", &RUNNING_LEVEL, &below(plan, fall)?)?;
    if drop <= 0.0 {
        return Err(does_not_apply(
            "the water below stands over the crest, so there is no nappe",
        ));
    }
    let why = "the nappe falls from the crest to the running level below";
    Ok((flow, sheet.assumed("d", drop, Kind::Length, why)))
}

fn below(plan: &Plan, fall: &Given<Fall>) -> Result<Place, Gap> {
    let to = receiver(plan, fall).ok_or_else(|| missing(fall.place.child("to")))?;
    Ok(Plan::basin_place(to))
}

fn lands_inside(sheet: &mut Worksheet<'_>, plan: &Plan, fall: &Given<Fall>) -> Answer {
    let throw = sheet.figure("x", &THROW, &fall.place)?;
    let basin = receiver(plan, fall).and_then(|id| plan.basins.get(id));
    let basin = basin.ok_or_else(|| missing(fall.place.child("to")))?;
    let Shown::Is(shape) = &basin.shape else {
        return Err(Gap::NotComputed(
            "the basin below has no simple shape to measure across".to_owned(),
        ));
    };
    let length = sheet.given("L", &shape.length, &shape.place, "length")?;
    let across = if shape.form.value() == Some(&Form::Circle) {
        length
    } else {
        length.min(sheet.given("W", &shape.width, &shape.place, "width")?)
    };
    sheet.assumed(
        "x_0",
        0.0,
        Kind::Length,
        "the brink of a fall stands at the edge of the basin below",
    );
    let holds = throw <= across;
    let because = if holds {
        "the basin reaches farther than the nappe is thrown"
    } else {
        "the nappe is thrown farther than the basin reaches"
    };
    verdict(holds, because, Some(fall.place.child("width")))
}

/// Enters the nappe of every fall.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for fall in plan.falls.values() {
        enter_one(ledger, plan, fall);
    }
}
