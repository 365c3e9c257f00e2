//! Levels that only following the water in time can tell: half blocked crests, the design storm, make-up stuck open.

use super::RUNNING_LEVEL;
use crate::{
    figures::falls,
    hydraulics::{Case, HydraulicModel, Outcome, Scenario, case, follow, make_up_flow, note_size},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{Basin, Given, Measure, Plan, Shown, connections::spills_into},
    quantity::Kind,
    read::Place,
};

const FOLLOWED: &str = "water balance of all basins followed in time, flows from the levels at that instant (see bywash review --cases)";
const WALLS: &str = "water above the rim is taken to be held by upright walls, which shows how much the rim lacks; overflows carry what they can";

static BLOCKED_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "blocked-level",
    "level with half the crest blocked",
    Kind::Level,
)
.by(
    "lowest crest level plus the head of the flow over half its width; the pump delivers less against it",
    "z = z_crest + h(Q, b/2)",
)
.from(FOLLOWED)
.within(WALLS);
static FREEBOARD_BLOCKED: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-blocked",
    "freeboard with half the crest blocked",
    Kind::Length,
)
.by(
    "rim level less the level with half the crest blocked",
    "F = z_rim − z_blocked",
);
pub(crate) static STORM_LEVEL: Definition =
    Definition::quantity(Scope::Basins, "storm-level", "level in the design storm", Kind::Level)
        .by(
            "highest level while the design storm falls on the running basin and its catchment, less what the overflow carries",
            "z: A·dz/dt = (d/t)·(A + A_catchment) + Q_in − Q_out, from z_running",
        )
        .from(FOLLOWED)
        .within(WALLS);
static FREEBOARD_STORM: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-storm",
    "freeboard in the design storm",
    Kind::Length,
)
.by(
    "rim level less the level in the design storm",
    "F = z_rim − z_storm",
);
pub(crate) static MAKE_UP_STUCK_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "make-up-stuck-level",
    "level with make-up stuck open",
    Kind::Level,
)
.by(
    "level at which overflow and crests carry what the valve gives",
    "z: Q_overflow(z) = Q_make-up, from z_running",
)
.from(FOLLOWED)
.within(WALLS);
static FREEBOARD_MAKE_UP_STUCK: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-make-up-stuck",
    "freeboard with make-up stuck open",
    Kind::Length,
)
.by(
    "rim level less the level with make-up stuck open",
    "F = z_rim − z_stuck",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &BLOCKED_LEVEL,
    &FREEBOARD_BLOCKED,
    &STORM_LEVEL,
    &FREEBOARD_STORM,
    &MAKE_UP_STUCK_LEVEL,
    &FREEBOARD_MAKE_UP_STUCK,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, works: &HydraulicModel<'_>) {
    let blocked = followed(works, "crest-half-blocked");
    let storm = followed(works, "storm");
    let stuck = followed(works, "make-up-stuck");
    for (id, basin) in &plan.basins {
        enter_blocked(ledger, plan, (id, basin), works, &blocked);
        enter_storm(ledger, plan, basin, works, &storm);
        enter_stuck(ledger, plan, (id, basin), works, &stuck);
    }
}

/// A case followed with walls that go on above the rims.
pub(super) fn followed(works: &HydraulicModel<'_>, name: &str) -> Result<Outcome, Gap> {
    let scenario = case(name).map_or(Scenario::default(), |case: &Case| case.scenario);
    follow(
        works,
        Scenario {
            rims_hold: true,
            ..scenario
        },
    )
}

/// The highest level of a basin in a case.
pub(super) fn highest(
    works: &HydraulicModel<'_>,
    outcome: &Result<Outcome, Gap>,
    at: &Place,
) -> Result<f64, Gap> {
    if let Some((_, gap)) = works.missing.iter().find(|(basin, _)| basin == at) {
        return Err(gap.clone());
    }
    let outcome = outcome.as_ref().map_err(Clone::clone)?;
    let basin = outcome.basins.iter().find(|basin| basin.at == *at);
    let basin = basin.ok_or_else(|| Gap::NotComputed("the basin was not followed".to_owned()))?;
    Ok(basin.highest.level)
}

fn enter_freeboard(
    ledger: &mut Ledger,
    basin: &Given<Basin>,
    freeboard: &'static Definition,
    (symbol, level): (&'static str, &'static Definition),
) {
    let at = &basin.place;
    ledger.enter(freeboard, at, |sheet| {
        let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
        quantity(rim - sheet.figure(symbol, level, at)?)
    });
}

fn enter_blocked(
    ledger: &mut Ledger,
    plan: &Plan,
    (id, basin): (&str, &Given<Basin>),
    works: &HydraulicModel<'_>,
    outcome: &Result<Outcome, Gap>,
) {
    let spills = |fall: &&Given<crate::plan::Fall>| fall.from.value().is_some_and(|from| from == id);
    let falls: Vec<_> = plan.falls.values().filter(spills).collect();
    if falls.is_empty() {
        return;
    }
    let at = &basin.place;
    ledger.enter(&BLOCKED_LEVEL, at, |sheet| {
        for fall in &falls {
            sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
            note_size(sheet, fall)?;
            sheet.figure("h", &falls::CREST_HEAD, &fall.place)?;
        }
        note_overflow(sheet, basin);
        quantity(highest(works, outcome, at)?)
    });
    enter_freeboard(ledger, basin, &FREEBOARD_BLOCKED, ("z_blocked", &BLOCKED_LEVEL));
}

fn enter_storm(
    ledger: &mut Ledger,
    plan: &Plan,
    basin: &Given<Basin>,
    works: &HydraulicModel<'_>,
    outcome: &Result<Outcome, Gap>,
) {
    let at = &basin.place;
    ledger.enter(&STORM_LEVEL, at, |sheet| {
        sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        if let Some(site) = plan.site.value() {
            if let Some(storm) = site.design_storm.value() {
                note(sheet, "d", &storm.depth);
                note(sheet, "t", &storm.duration);
            }
            note(sheet, "A_catchment", &site.catchment);
        }
        note_overflow(sheet, basin);
        quantity(highest(works, outcome, at)?)
    });
    enter_freeboard(ledger, basin, &FREEBOARD_STORM, ("z_storm", &STORM_LEVEL));
}

fn enter_stuck(
    ledger: &mut Ledger,
    plan: &Plan,
    (id, basin): (&str, &Given<Basin>),
    works: &HydraulicModel<'_>,
    outcome: &Result<Outcome, Gap>,
) {
    let at = &basin.place;
    let make_up = plan.water.value().and_then(|water| water.make_up.value());
    let feeds = make_up.and_then(|make_up| make_up.basin.value());
    ledger.enter(&MAKE_UP_STUCK_LEVEL, at, |sheet| {
        make_up_flow(plan)?;
        if feeds.is_some_and(|feeds| !spills_into(plan, feeds, id)) {
            return Err(Gap::DoesNotApply(
                "make-up feeds another basin, which does not spill into it".to_owned(),
            ));
        }
        if let Some(make_up) = make_up {
            note(sheet, "Q_make-up", &make_up.flow);
        }
        note_overflow(sheet, basin);
        quantity(highest(works, outcome, at)?)
    });
    let stuck = ("z_stuck", &MAKE_UP_STUCK_LEVEL);
    enter_freeboard(ledger, basin, &FREEBOARD_MAKE_UP_STUCK, stuck);
}

fn note<T: Measure>(sheet: &mut Worksheet<'_>, symbol: &'static str, shown: &Shown<T>) {
    if let Shown::Is(given) = shown {
        sheet.note_given(symbol, given);
    }
}

fn note_overflow(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) {
    if let Shown::Is(overflow) = &basin.overflow {
        note(sheet, "b_overflow", &overflow.width);
        note(sheet, "D_overflow", &overflow.bore);
        note(sheet, "z_overflow", &overflow.level);
    }
}
