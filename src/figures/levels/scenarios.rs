//! Levels that scenarios come to: start-up, power-off, crests half blocked, a leaking check valve, the design storm,
//! make-up stuck open; and how much goes over the rim.

use super::running::{FREEBOARD_RUNNING, FREEBOARD_SETTLED_EDGE, RUNNING_LEVEL, WATER_IN_FLIGHT, spills};
use crate::{
    figures::falls::CREST_HEAD,
    hydraulics::{BasinOutcome, OVERFLOW_BLOCKED, Outcome, Runs, Scenario, System, note_size, scenario},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{
        Basin, Given, Measure, Plan, Shown,
        connections::{Check, falls_from, spills_into},
    },
    quantity::Kind,
    read::Place,
};

const SIMULATED: &str = "water balance of all basins routed in time, flows from the levels at that instant (see bywash review --cases)";
const OVERFLOWS: &str = "overflows carry what they can; past the rim the water leaves over its whole length";
const NOTICED: &str = "until it is noticed, which is taken to be after a day";

pub(crate) static START_UP_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "start-up-level",
    "lowest level at start-up",
    Kind::Level,
)
.by(
    "the lowest level while the pumps start from still water and no make-up comes in",
    "z = min z(t), from z_still",
)
.from(SIMULATED);
pub(crate) static POWER_OFF_LEVEL: Definition =
    Definition::quantity(Scope::Basins, "power-off-level", "level after power-off", Kind::Level)
        .by("the highest level after the pumps stop, with check valves as the plan has them; where the water only falls, the level it falls to", "z = max z(t), from z_running")
        .from(SIMULATED)
        .within(OVERFLOWS);
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
.from(SIMULATED)
.within(OVERFLOWS);
pub(crate) static DRAIN_BACK_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "drain-back-level",
    "level after draining back",
    Kind::Level,
)
.by(
    "the highest level once the pumps stop and the check valves leak, with air inlets as the plan shows them",
    "z = max z(t), from z_running",
)
.from(SIMULATED)
.within(OVERFLOWS);
pub(crate) static STORM_LEVEL: Definition =
    Definition::quantity(Scope::Basins, "storm-level", "level in the design storm", Kind::Level)
        .by(
            "highest level while the design storm falls on the running basin and its catchment, less what the overflow carries",
            "z: A·dz/dt = (d/t)·(A + A_catchment) + Q_in − Q_out, from z_running",
        )
        .from(SIMULATED)
        .within(OVERFLOWS);
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
.from(SIMULATED)
.within(OVERFLOWS);

/// Freeboard of a scenario and the water it sends over the rim.
macro_rules! beside {
    ($freeboard:ident, $spilled:ident, $name:literal, $title:literal, $symbol:literal) => {
        static $freeboard: Definition = Definition::quantity(
            Scope::Basins,
            concat!("freeboard-", $name),
            concat!("freeboard ", $title),
            Kind::Length,
        )
        .by(
            concat!("rim level less the level ", $title),
            concat!("F = z_rim − ", $symbol),
        );
        static $spilled: Definition = Definition::quantity(
            Scope::Basins,
            concat!("spilled-", $name),
            concat!("water over the rim ", $title),
            Kind::Volume,
        )
        .by(
            "what the rim passes as a broad crest as long as it is",
            "V = ∫C·L_rim·(z − z_rim)^1.5·dt",
        )
        .from("broad-crested weir, levels routed in time")
        .within(NOTICED);
    };
}

/// Freeboard of a scenario with every overflow blocked, where one helps in it.
macro_rules! blocked {
    ($freeboard:ident, $name:literal, $title:literal) => {
        static $freeboard: Definition = Definition::quantity(
            Scope::Basins,
            concat!("freeboard-", $name, "-overflow-blocked"),
            concat!("freeboard ", $title, " and the overflow blocked"),
            Kind::Length,
        )
        .by(
            concat!(
                "rim level less the highest level ",
                $title,
                ", no overflow passing water"
            ),
            "F = z_rim − max z(t)",
        )
        .from(SIMULATED);
    };
}

blocked!(
    FREEBOARD_DRAIN_BACK_BLOCKED,
    "drain-back",
    "with the check valve leaking"
);
blocked!(FREEBOARD_STORM_BLOCKED, "storm", "in the design storm");

beside!(
    FREEBOARD_POWER_OFF,
    SPILLED_POWER_OFF,
    "power-off",
    "after power-off",
    "z_power-off"
);
beside!(
    FREEBOARD_BLOCKED,
    SPILLED_BLOCKED,
    "blocked",
    "with half the crest blocked",
    "z_blocked"
);
beside!(
    FREEBOARD_DRAIN_BACK,
    SPILLED_DRAIN_BACK,
    "drain-back",
    "with the check valve leaking",
    "z_drain-back"
);
beside!(
    FREEBOARD_STORM,
    SPILLED_STORM,
    "storm",
    "in the design storm",
    "z_storm"
);
beside!(
    FREEBOARD_STUCK,
    SPILLED_STUCK,
    "make-up-stuck",
    "with make-up stuck open",
    "z_stuck"
);

/// The figures that a scenario gives of a basin.
pub struct ScenarioFigures {
    /// The scenario.
    pub scenario: &'static str,
    /// What a chart calls its level.
    pub label: &'static str,
    /// Its level.
    pub level: &'static Definition,
    /// Symbol of its level.
    symbol: &'static str,
    /// Freeboard over it; none where it is a lowest level.
    pub freeboard: Option<&'static Definition>,
    /// Water over the rim; none where it can't be.
    pub spilled: Option<&'static Definition>,
    /// Freeboard with every overflow blocked, where one helps; none where the scenario is not told so.
    pub blocked: Option<&'static Definition>,
}

/// The scenarios that give figures of basins: the one list that figures, drawings and tables read.
pub static SCENARIO_FIGURES: [ScenarioFigures; 8] = [
    ScenarioFigures {
        scenario: "start-up",
        label: "start-up, lowest",
        level: &START_UP_LEVEL,
        symbol: "z_start-up",
        freeboard: None,
        spilled: None,
        blocked: None,
    },
    ScenarioFigures {
        scenario: "running",
        label: "running",
        level: &RUNNING_LEVEL,
        symbol: "z_running",
        freeboard: Some(&FREEBOARD_RUNNING),
        spilled: None,
        blocked: None,
    },
    ScenarioFigures {
        scenario: "power-off",
        label: "after power-off",
        level: &POWER_OFF_LEVEL,
        symbol: "z_power-off",
        freeboard: Some(&FREEBOARD_POWER_OFF),
        spilled: Some(&SPILLED_POWER_OFF),
        blocked: None,
    },
    ScenarioFigures {
        scenario: "crest-half-blocked",
        label: "crest half blocked",
        level: &BLOCKED_LEVEL,
        symbol: "z_blocked",
        freeboard: Some(&FREEBOARD_BLOCKED),
        spilled: Some(&SPILLED_BLOCKED),
        blocked: None,
    },
    ScenarioFigures {
        scenario: "check-valve-leaks",
        label: "check valve leaks",
        level: &DRAIN_BACK_LEVEL,
        symbol: "z_drain-back",
        freeboard: Some(&FREEBOARD_DRAIN_BACK),
        spilled: Some(&SPILLED_DRAIN_BACK),
        blocked: Some(&FREEBOARD_DRAIN_BACK_BLOCKED),
    },
    ScenarioFigures {
        scenario: "storm",
        label: "design storm",
        level: &STORM_LEVEL,
        symbol: "z_storm",
        freeboard: Some(&FREEBOARD_STORM),
        spilled: Some(&SPILLED_STORM),
        blocked: Some(&FREEBOARD_STORM_BLOCKED),
    },
    ScenarioFigures {
        scenario: "make-up-stuck",
        label: "make-up stuck",
        level: &MAKE_UP_STUCK_LEVEL,
        symbol: "z_stuck",
        freeboard: Some(&FREEBOARD_STUCK),
        spilled: Some(&SPILLED_STUCK),
        blocked: None,
    },
    ScenarioFigures {
        scenario: "edge-settled",
        label: "running, an edge settled",
        level: &RUNNING_LEVEL,
        symbol: "z_running",
        freeboard: Some(&FREEBOARD_SETTLED_EDGE),
        spilled: None,
        blocked: None,
    },
];

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &START_UP_LEVEL,
    &POWER_OFF_LEVEL,
    &FREEBOARD_POWER_OFF,
    &SPILLED_POWER_OFF,
    &BLOCKED_LEVEL,
    &FREEBOARD_BLOCKED,
    &SPILLED_BLOCKED,
    &DRAIN_BACK_LEVEL,
    &FREEBOARD_DRAIN_BACK,
    &SPILLED_DRAIN_BACK,
    &FREEBOARD_DRAIN_BACK_BLOCKED,
    &STORM_LEVEL,
    &FREEBOARD_STORM,
    &SPILLED_STORM,
    &FREEBOARD_STORM_BLOCKED,
    &MAKE_UP_STUCK_LEVEL,
    &FREEBOARD_STUCK,
    &SPILLED_STUCK,
];

/// What a scenario supposes, by its name in the list.
pub(super) fn supposed(name: &str) -> Scenario {
    scenario(name).map_or(Scenario::default(), |named| named.scenario)
}

/// Reads what a scenario does to a basin.
pub(super) fn read<T>(
    runs: &Runs<'_, '_>,
    name: &str,
    at: &Place,
    read: impl FnOnce(&BasinOutcome) -> T,
) -> Result<T, Gap> {
    if let Some((_, gap)) = runs.model.missing.iter().find(|(basin, _)| basin == at) {
        return Err(gap.clone());
    }
    let of_basin = |outcome: &Outcome| outcome.basin(at).map(read);
    let found = runs.read(supposed(name), of_basin)?;
    found.ok_or_else(|| Gap::NotComputed("the basin is not modelled".to_owned()))
}

/// What the scenarios are read from.
pub(super) struct Source<'s> {
    pub plan: &'s Plan,
    pub system: &'s System,
    pub runs: &'s Runs<'s, 's>,
}

/// Enters the levels of a basin in the scenarios before a line drains back.
pub(super) fn enter_ordinary(ledger: &mut Ledger, source: &Source<'_>, basin: &Given<Basin>) {
    let (plan, at) = (source.plan, &basin.place);
    ledger.enter(&START_UP_LEVEL, at, |sheet| {
        if !spills(plan, at) {
            sheet.figure("V_flight", &WATER_IN_FLIGHT, at)?;
        }
        sheet.given("z_still", &basin.still, at, "still")?;
        quantity(read(source.runs, "start-up", at, |basin| basin.lowest.level)?)
    });
    ledger.enter(&POWER_OFF_LEVEL, at, |sheet| {
        if !spills(plan, at) {
            sheet.figure("V_flight", &WATER_IN_FLIGHT, at)?;
        }
        sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        if let Some(Ok(state)) = source.system.basins.get(at) {
            state.make_up.clone()?;
        }
        note_check_valves(sheet, source.runs, at);
        quantity(read(source.runs, "power-off", at, BasinOutcome::peak)?)
    });
    enter_beside(ledger, source.runs, basin, "power-off");
}

/// Enters the levels of a basin in the failures.
pub(super) fn enter_failures(ledger: &mut Ledger, source: &Source<'_>, id: &str, basin: &Given<Basin>) {
    enter_blocked(ledger, source, id, basin);
    enter_storm(ledger, source, basin);
    enter_stuck(ledger, source, id, basin);
}

/// Enters the level of a basin that lines drain back into; `note` notes the lines.
pub(super) fn enter_drain_back(
    ledger: &mut Ledger,
    source: &Source<'_>,
    basin: &Given<Basin>,
    note: impl FnOnce(&mut Worksheet<'_>) -> Result<(), Gap>,
) {
    let at = &basin.place;
    ledger.enter(&DRAIN_BACK_LEVEL, at, |sheet| {
        sheet.figure("z_power-off", &POWER_OFF_LEVEL, at)?;
        note(sheet)?;
        quantity(read(source.runs, "check-valve-leaks", at, BasinOutcome::peak)?)
    });
    enter_beside(ledger, source.runs, basin, "check-valve-leaks");
}

/// Freeboard over the level of a scenario, and what goes over the rim where anything does.
fn enter_beside(ledger: &mut Ledger, runs: &Runs<'_, '_>, basin: &Given<Basin>, name: &str) {
    let at = &basin.place;
    let Some(figures) = SCENARIO_FIGURES.iter().find(|figures| figures.scenario == name) else {
        return;
    };
    if let Some(freeboard) = figures.freeboard {
        ledger.enter(freeboard, at, |sheet| {
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            quantity(rim - sheet.figure(figures.symbol, figures.level, at)?)
        });
    }
    let scenario = supposed(name);
    let helped = runs.read(scenario, Outcome::overflowed).unwrap_or_default();
    if let (Some(blocked), true) = (figures.blocked, helped) {
        ledger.enter(blocked, at, |sheet| {
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            let without = scenario.and(OVERFLOW_BLOCKED.scenario);
            let highest = runs.read(without, |outcome| outcome.basin(at).map(BasinOutcome::peak))?;
            let highest = highest.ok_or_else(|| Gap::NotComputed("the basin is not modelled".to_owned()))?;
            quantity(rim - sheet.worked("max z(t)", highest, Kind::Level))
        });
    }
    let known = ledger.quantity(at, figures.level.name).is_some();
    let spilled = known.then(|| read(runs, name, at, |basin| basin.over_rim));
    if let (Some(definition), Some(Ok(spilled))) = (figures.spilled, spilled)
        && spilled > 0.0
    {
        ledger.enter(definition, at, |sheet| {
            sheet.given("z_rim", &basin.rim, at, "rim")?;
            sheet.figure(figures.symbol, figures.level, at)?;
            quantity(spilled)
        });
    }
}

/// What is taken of the check valves of lines that could run back into a basin.
fn note_check_valves(sheet: &mut Worksheet<'_>, runs: &Runs<'_, '_>, at: &Place) {
    let own = runs.model.positions.get(at);
    for end in runs.model.ends.iter().filter(|end| Some(&end.from) == own) {
        match end.check {
            Check::Shown => {}
            Check::None => sheet.note_place("check valve", &end.line.place.child("check_valve")),
            Check::Unknown => {
                let why = "a line whose check valve is not shown is taken to have one that holds; a leaking check valve \
                           is a scenario of its own";
                sheet.assumed("V_back", 0.0, Kind::Volume, why);
            }
        }
    }
}

fn enter_blocked(ledger: &mut Ledger, source: &Source<'_>, id: &str, basin: &Given<Basin>) {
    let falls: Vec<_> = falls_from(source.plan, id).collect();
    if falls.is_empty() {
        return;
    }
    let at = &basin.place;
    ledger.enter(&BLOCKED_LEVEL, at, |sheet| {
        for fall in &falls {
            sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
            note_size(sheet, fall)?;
            sheet.figure("h", &CREST_HEAD, &fall.place)?;
        }
        note_overflow(sheet, basin);
        quantity(read(source.runs, "crest-half-blocked", at, |basin| {
            basin.highest.level
        })?)
    });
    enter_beside(ledger, source.runs, basin, "crest-half-blocked");
}

fn enter_storm(ledger: &mut Ledger, source: &Source<'_>, basin: &Given<Basin>) {
    let at = &basin.place;
    ledger.enter(&STORM_LEVEL, at, |sheet| {
        sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        if let Some(site) = source.plan.site.value() {
            if let Some(storm) = site.design_storm.value() {
                note(sheet, "d", &storm.depth);
                note(sheet, "t", &storm.duration);
            }
            note(sheet, "A_catchment", &site.catchment);
        }
        note_overflow(sheet, basin);
        quantity(read(source.runs, "storm", at, |basin| basin.highest.level)?)
    });
    enter_beside(ledger, source.runs, basin, "storm");
}

fn enter_stuck(ledger: &mut Ledger, source: &Source<'_>, id: &str, basin: &Given<Basin>) {
    let (plan, at) = (source.plan, &basin.place);
    let make_up = plan.water.value().and_then(|water| water.make_up.value());
    let feeds = make_up.and_then(|make_up| make_up.basin.value());
    ledger.enter(&MAKE_UP_STUCK_LEVEL, at, |sheet| {
        source.runs.model.make_up.as_ref().map_err(Clone::clone)?;
        if feeds.is_some_and(|feeds| !spills_into(plan, feeds, id)) {
            return Err(Gap::DoesNotApply(
                "make-up feeds another basin, which does not spill into it".to_owned(),
            ));
        }
        if let Some(make_up) = make_up {
            note(sheet, "Q_make-up", &make_up.flow);
        }
        note_overflow(sheet, basin);
        quantity(read(source.runs, "make-up-stuck", at, |basin| {
            basin.highest.level
        })?)
    });
    enter_beside(ledger, source.runs, basin, "make-up-stuck");
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
