//! Pumps and lines: cover over the intake, running dry, what a run carries.

use crate::{
    ledger::{
        Answer, Definition, Found, Gap, Ledger, Scope, Worksheet, either, missing, no, quantity, stated, yes,
    },
    plan::{CheckValve, Circuit, Given, Line, Plan, Pump, Shown},
    quantity::{INCH, Kind},
    read::Place,
};

pub(in crate::figures) static LEAST_COVER: Definition = Definition::quantity(
    Scope::Pumps,
    "least-cover",
    "least water over the intake: the maker’s minimum, or 2 in (50 mm)",
    Kind::Length,
)
.by("the maker’s least submergence, else 2 in (50 mm)", "s_min");
static STOPS_BEFORE_DRY: Definition = Definition::verdict(
    Scope::Pumps,
    "stops-before-dry",
    "dry-run protection",
)
.by(
    "it has a low-level cut-off, or its circuit has a low-water cut-off: the only circuit, or of several those that \
     say they serve the pump, by its name or id",
    "",
);
static CARRIES_UNSCREENED: Definition = Definition::verdict(
    Scope::Runs,
    "carries-unscreened",
    "run that carries unscreened water",
)
.by("its line does", "");

static CHECK_VALVE_REACHABLE: Definition =
    Definition::verdict(Scope::Lines, "check-valve-reachable", "accessible check valve").by(
        "the line has one, or every pump that feeds it has its own, and it can be reached",
        "",
    );

pub(super) static DEFINITIONS: &[&Definition] = &[
    &LEAST_COVER,
    &STOPS_BEFORE_DRY,
    &CARRIES_UNSCREENED,
    &CHECK_VALVE_REACHABLE,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, pump) in &plan.pumps {
        ledger.enter(&LEAST_COVER, &pump.place, |sheet| least_cover(sheet, pump));
        ledger.enter(&STOPS_BEFORE_DRY, &pump.place, |sheet| {
            stops_before_dry(sheet, plan, id, pump)
        });
    }
    for line in plan.lines.values() {
        ledger.enter(&CHECK_VALVE_REACHABLE, &line.place, |sheet| {
            check_valve_reachable(sheet, plan, line)
        });
        for run in line.runs.values() {
            ledger.enter(&CARRIES_UNSCREENED, &run.place, |sheet| {
                carries_unscreened(sheet, line)
            });
        }
    }
}

fn least_cover(sheet: &mut Worksheet<'_>, pump: &Given<Pump>) -> Answer {
    if let Shown::Is(least) = &pump.least_submergence {
        sheet.note_given("s_min", least);
        return quantity(least.value.0);
    }
    let usual = sheet.assumed(
        "s_min",
        2.0 * INCH,
        Kind::Length,
        "2 in (50 mm) of water over an intake whose maker’s minimum is not shown (common practice)",
    );
    stated(usual, 0.050)
}

/// Either cut-off will do, so one that is left out is asked for only where the plan says nothing of either.
fn stops_before_dry(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, pump: &Given<Pump>) -> Answer {
    if let Shown::Is(cut_off) = &pump.low_level_cut_off {
        sheet.note_given("z_stop", cut_off);
        return yes("a low-level cut-off stops it");
    }
    let mut denied = None;
    if let Shown::None(place) = &pump.low_level_cut_off {
        sheet.note_place("z_stop", place);
        denied = Some(place.clone());
    }
    let circuits = circuits_of(plan, id, pump);
    for circuit in &circuits {
        let place = circuit.place.child("dry_run_cut_off");
        let cut_off = circuit.dry_run_cut_off.yes();
        if cut_off.is_some() {
            sheet.note_place("dry_run_cut_off", &place);
        }
        match cut_off {
            Some(true) => return yes("its circuit cuts off at low water"),
            Some(false) => denied = denied.or(Some(place)),
            None => {}
        }
    }
    let silent = silent_circuits(plan);
    match denied {
        Some(_) if circuits.is_empty() && !silent.is_empty() => Err(Gap::NotShown(silent)),
        Some(place) => no("no cut-off stops the pump before it runs dry", &place),
        None => Err(missing(pump.place.child("low_level_cut_off"))),
    }
}

pub(super) fn circuits(plan: &Plan) -> impl Iterator<Item = &Given<Circuit>> {
    let electrical = plan.electrical.value();
    electrical
        .into_iter()
        .flat_map(|electrical| electrical.circuits.values())
}

/// The circuits that feed a pump: the only one, or of several those that say so.
pub(super) fn circuits_of<'p>(plan: &'p Plan, id: &str, pump: &Pump) -> Vec<&'p Given<Circuit>> {
    let only = circuits(plan).count() == 1;
    let names: Vec<_> = [Some(id), pump.name.value().map(String::as_str)]
        .into_iter()
        .flatten()
        .map(words)
        .collect();
    let feeds = |circuit: &&Given<Circuit>| {
        let serves = circuit
            .serves
            .value()
            .map(|serves| words(serves))
            .unwrap_or_default();
        let named = |name: &Vec<String>| {
            !name.is_empty() && serves.windows(name.len()).any(|part| part == name.as_slice())
        };
        only || names.iter().any(named)
    };
    circuits(plan).filter(feeds).collect()
}

/// Where circuits do not say what they feed.
pub(super) fn silent_circuits(plan: &Plan) -> Vec<Place> {
    let silent = circuits(plan).filter(|circuit| circuit.serves.value().is_none());
    silent.map(|circuit| circuit.place.child("serves")).collect()
}

fn words(text: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// One in the line, or one at every pump; a plan that shows neither is asked for the line's.
fn check_valve_reachable(sheet: &mut Worksheet<'_>, plan: &Plan, line: &Given<Line>) -> Answer {
    if let Shown::Is(valve) = &line.check_valve {
        return in_reach(sheet, valve);
    }
    let ids = line.from.value().map_or(&[][..], |ids| ids.0.as_slice());
    let pumps: Vec<_> = ids.iter().filter_map(|id| plan.pumps.get(id)).collect();
    let own: Vec<_> = pumps.iter().filter_map(|pump| pump.check_valve.given()).collect();
    if own.is_empty() || own.len() < pumps.len() {
        return match &line.check_valve {
            Shown::None(place) => {
                sheet.note_place("check_valve", place);
                no("the plan says that there is none", place)
            }
            _ => Err(missing(line.place.child("check_valve"))),
        };
    }
    for valve in own {
        let found = in_reach(sheet, valve)?;
        if matches!(found, Found::Verdict { holds: false, .. }) {
            return Ok(found);
        }
    }
    yes("each pump has its own, and it can be reached")
}

fn in_reach(sheet: &mut Worksheet<'_>, valve: &Given<CheckValve>) -> Answer {
    let place = valve.place.child("reachable");
    let reachable = valve.reachable.yes().ok_or_else(|| missing(place.clone()))?;
    sheet.note_place("reachable", &place);
    if reachable {
        yes("it can be reached")
    } else {
        no("it can’t be reached", &place)
    }
}

fn carries_unscreened(sheet: &mut Worksheet<'_>, line: &Given<Line>) -> Answer {
    let place = line.place.child("unscreened");
    let unscreened = line.unscreened.yes().ok_or_else(|| missing(place.clone()))?;
    sheet.note_place("unscreened", &place);
    either(unscreened, "mud and leaves can enter it", "its water is screened")
}
