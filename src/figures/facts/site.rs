//! The site: benchmark and barrier.

use super::parts::{Measured, all, any, given, noted, part, said};
use crate::{
    ledger::{Answer, Definition, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, no, yes},
    plan::{Barrier, Gate, Given, Plan, Shown, Waiver},
    quantity::{INCH, agree},
    read::Place,
};

static BARRIER_OR_WAIVER: Definition = Definition::verdict(
    Scope::Plan,
    "barrier-or-waiver",
    "barrier, or the authority’s word that none is required",
)
.by(
    "a barrier is given that is no mesh under the water, or a record of which authority said that none is required, who \
     said so and when",
    "",
);
static BARRIER_SIZE: Definition = Definition::verdict(
    Scope::Plan,
    "barrier-size",
    "barrier that a small child cannot climb or slip through",
)
.by(
    "48 in (1.2 m) or higher, and no opening as wide as 4 in (100 mm); a grille over the water at its surface or above \
     it, rigid, and no opening over 3-1/8 in (80 mm)",
    "",
);
static GATE_LATCHES: Definition = Definition::verdict(
    Scope::Plan,
    "gate-latches",
    "barrier without a gate, or with one that closes and latches by itself",
)
.by("as given for a barrier; a grille over the water has no gate", "");
static BENCHMARK_KEPT: Definition =
    Definition::verdict(Scope::Plan, "benchmark-kept", "benchmark named and protected")
        .by("the mark is named, and how it is protected", "");

static PLAN_IDENTIFIED: Definition =
    Definition::verdict(Scope::Plan, "plan-identified", "plan with its revision and date")
        .by("revision and date are given", "");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &BARRIER_OR_WAIVER,
    &BARRIER_SIZE,
    &GATE_LATCHES,
    &BENCHMARK_KEPT,
    &PLAN_IDENTIFIED,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let root = Place::root();
    ledger.enter(&BARRIER_OR_WAIVER, &root, |sheet| barrier_or_waiver(sheet, plan));
    ledger.enter(&BARRIER_SIZE, &root, |sheet| barrier_size(sheet, plan));
    ledger.enter(&GATE_LATCHES, &root, |sheet| gate_latches(sheet, plan));
    ledger.enter(&BENCHMARK_KEPT, &root, |sheet| benchmark_kept(sheet, plan));
    ledger.enter(&PLAN_IDENTIFIED, &root, |sheet| plan_identified(sheet, plan));
}

/// A whole record decides where there is one; it is not asked for, since most sites have a barrier instead.
fn barrier_or_waiver(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let site = part(&plan.site, &Place::root(), "site")?;
    let barrier = given(
        sheet,
        &site.barrier,
        &site.place,
        "barrier",
        "there is no barrier, and no record that none is required",
    );
    let barrier = match &site.barrier {
        Shown::Is(mesh) if mesh.height.is_none() && mesh.over_water.yes() == Some(false) => {
            drowned(sheet, mesh)
        }
        _ => barrier,
    };
    match &site.barrier_not_required {
        Shown::Is(waiver) => any([waived(sheet, waiver), barrier]),
        _ => barrier,
    }
}

/// A child lies face down in the water over mesh that is under it.
fn drowned(sheet: &mut Worksheet<'_>, mesh: &Given<Barrier>) -> Answer {
    let place = mesh.place.child("over_water");
    sheet.note_place("over_water", &place);
    no("mesh under the surface is no barrier", &place)
}

/// A word that can't be traced to an authority, a person and a day is none.
fn waived(sheet: &mut Worksheet<'_>, waiver: &Given<Waiver>) -> Answer {
    let at = &waiver.place;
    let authority = given(
        sheet,
        &waiver.authority,
        at,
        "authority",
        "the record that no barrier is required names no authority",
    );
    let name = given(
        sheet,
        &waiver.name,
        at,
        "name",
        "the record that no barrier is required does not name who said so",
    );
    let date = given(
        sheet,
        &waiver.date,
        at,
        "date",
        "the record that no barrier is required has no date",
    );
    all(
        "the authority’s word that none is required is on record",
        [authority, name, date],
    )
}

fn barrier_size(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let site = part(&plan.site, &Place::root(), "site")?;
    if matches!(
        (&site.barrier, &site.barrier_not_required),
        (Shown::NotShown, Shown::Is(_))
    ) {
        return Err(does_not_apply("the authority requires no barrier"));
    }
    let barrier = part(&site.barrier, &site.place, "barrier")?;
    let height = Measured {
        symbol: "h",
        value: &barrier.height,
        object: &barrier.place,
        field: "height",
    };
    let opening = Measured {
        symbol: "w",
        value: &barrier.openings,
        object: &barrier.place,
        field: "openings",
    };
    let tall = |h: f64| at_least(h, 1.2);
    // What has no height lies over the water, and has to carry a child clear of it.
    let over_water = barrier.height.is_none();
    let high = match &barrier.height {
        Shown::None(place) => {
            sheet.note_place("h", place);
            said(
                sheet,
                &barrier.over_water,
                &barrier.place,
                "over_water",
                "mesh under the surface is no barrier",
            )
        }
        _ => height.passes(sheet, tall, "the barrier is lower than 48 in (1.2 m)"),
    };
    // A barrier that is said to have no openings has none to slip through.
    let close = if barrier.openings.is_none() {
        yes("it has no openings")
    } else if over_water {
        opening.passes(
            sheet,
            |w| at_most(w, 0.080),
            "an opening of the grille is over 3-1/8 in (80 mm)",
        )
    } else {
        let narrow = |w: f64| w < 4.0 * INCH && !agree(w, 4.0 * INCH);
        opening.passes(sheet, narrow, "an opening is 4 in (100 mm) or wider")
    };
    all("high enough, and its openings are narrow", [high, close])
}

/// A barrier that is not shown is asked for by another rule.
fn gate_latches(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let barrier = plan.site.value().and_then(|site| site.barrier.given());
    let barrier = barrier.filter(|barrier| !barrier.height.is_none());
    let barrier = barrier.ok_or_else(|| does_not_apply("no fence or wall is shown"))?;
    let gate = noted(sheet, &barrier.gate, &barrier.place, "gate")?;
    match gate.value {
        Gate::NoGate | Gate::SelfClosingAndSelfLatching => {
            yes("no gate, or one that closes and latches by itself")
        }
        Gate::SelfClosing => no("the gate closes by itself and does not latch", &gate.place),
        Gate::Plain => no("the gate stays open where somebody leaves it", &gate.place),
    }
}

fn benchmark_kept(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let root = Place::root();
    if let Shown::None(place) = &plan.benchmark {
        return no("there is no benchmark", place);
    }
    let benchmark = part(&plan.benchmark, &root, "benchmark")?;
    let at = &benchmark.place;
    let named = given(sheet, &benchmark.mark, at, "mark", "no mark is named");
    let kept = given(
        sheet,
        &benchmark.protected,
        at,
        "protected",
        "the mark is not protected",
    );
    all("named and protected", [named, kept])
}

fn plan_identified(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let project = part(&plan.project, &Place::root(), "project")?;
    let at = &project.place;
    let revision = given(sheet, &project.revision, at, "revision", "it bears no revision");
    let date = given(sheet, &project.date, at, "date", "it bears no date");
    all("revision and date are given", [revision, date])
}
