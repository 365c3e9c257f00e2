//! Levels of every basin in the ordinary cases and the failures that can be told by water balance: running, start-up,
//! power-off, a settled edge, a half blocked spillway, a leaking check valve, a broken line.

mod broken_line;
mod drain_back;
mod simulated;

use super::falls;
use crate::{
    hydraulics::{HydraulicModel, System, storage::Storages},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{Basin, Fall, Given, Plan},
    quantity::Kind,
    read::Place,
};

const BALANCE: &str = "water balance over the circuit: what is in flight is missing from the lowest basin";

pub(super) static THROUGH_FLOW: Definition = Definition::quantity(
    Scope::Basins,
    "through-flow",
    "flow through while running",
    Kind::Flow,
)
.by("the sum of what lines and falls bring", "Q = ΣQ_in");
pub(super) static RUNNING_LEVEL: Definition =
    Definition::quantity(Scope::Basins, "running-level", "running level", Kind::Level)
        .by("crest level plus the head at the flow; in the lowest basin, the level that the water in flight leaves, or that make-up keeps", "z_running")
        .from(BALANCE);
static RUNNING_RISE: Definition =
    Definition::quantity(Scope::Basins, "running-rise", "rise while running", Kind::Length)
        .by("running level less still level", "r = z_running − z_still");
static WATER_IN_FLIGHT: Definition =
    Definition::quantity(Scope::Basins, "water-in-flight", "water in flight", Kind::Volume)
        .by(
            "what stands above still level on the basins that spill, and in the streams, while running",
            "V_flight = ΣΔV_basin + ΣV_stream",
        )
        .from(BALANCE);
pub(super) static START_UP_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "start-up-level",
    "lowest level at start-up",
    Kind::Level,
)
.by(
    "the level with the water in flight taken out and no make-up in yet",
    "z: V(z) = V(z_still) − V_flight",
)
.from(BALANCE);
pub(super) static POWER_OFF_LEVEL: Definition =
    Definition::quantity(Scope::Basins, "power-off-level", "level after power-off", Kind::Level)
        .by("the level once all water in flight is back, the check valve holding; make-up added while running adds to it", "z: V(z) = V(z_running) + V_flight")
        .from(BALANCE);
static FREEBOARD_RUNNING: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-running",
    "freeboard while running",
    Kind::Length,
)
.by("rim level less running level", "F = z_rim − z_running");
static FREEBOARD_POWER_OFF: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-power-off",
    "freeboard after power-off",
    Kind::Length,
)
.by(
    "rim level less the level after power-off",
    "F = z_rim − z_power-off",
);
pub(super) static FREEBOARD_NORMAL: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-normal",
    "height of the rim over the highest normal level",
    Kind::Length,
)
.by(
    "rim level less the highest of still, start-up, running and power-off level",
    "F = z_rim − max(z_still, z_start-up, z_running, z_power-off)",
);
static FREEBOARD_SETTLED_EDGE: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-settled-edge",
    "freeboard while running with an edge settled 1 in (25 mm)",
    Kind::Length,
)
.by(
    "rim level less 1 in (25 mm) less running level",
    "F = z_rim − s − z_running",
);
static START_UP_COVER: Definition = Definition::quantity(
    Scope::Pumps,
    "start-up-cover",
    "water over the intake at start-up",
    Kind::Length,
)
.by(
    "lowest level at start-up less intake level",
    "s = z_start-up − z_intake",
);
pub(super) use drain_back::DRAIN_BACK_LEVEL;
pub(super) use simulated::{DEFINITIONS as SIMULATED, MAKE_UP_STUCK_LEVEL, STORM_LEVEL};

pub(super) static DEFINITIONS: &[&Definition] = &[
    &THROUGH_FLOW,
    &RUNNING_LEVEL,
    &RUNNING_RISE,
    &WATER_IN_FLIGHT,
    &START_UP_LEVEL,
    &POWER_OFF_LEVEL,
    &FREEBOARD_RUNNING,
    &FREEBOARD_POWER_OFF,
    &FREEBOARD_NORMAL,
    &FREEBOARD_SETTLED_EDGE,
    &START_UP_COVER,
    &broken_line::LEFT_WHEN_LINE_BREAKS,
    &drain_back::SIPHONS_BACK,
    &drain_back::DRAIN_BACK_VOLUME,
    &drain_back::DRAIN_BACK_VOLUME_NO_AIR,
    &DRAIN_BACK_LEVEL,
    &drain_back::FREEBOARD_DRAIN_BACK,
    &drain_back::AIR_INLET_DEPTH,
    &drain_back::AIR_INLET_ABOVE_LOWER,
];

/// An inch of settlement, m.
const SETTLEMENT: f64 = 0.0254;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, system: &System) {
    for (id, basin) in &plan.basins {
        enter_running(ledger, plan, system, basin);
        broken_line::enter(ledger, plan, vessels, id, basin);
    }
    for pump in plan.pumps.values() {
        ledger.enter(&START_UP_COVER, &pump.place, |sheet| {
            let basin = pump
                .basin
                .value()
                .ok_or_else(|| Gap::NotShown(vec![pump.place.child("basin")]))?;
            let basin = Plan::basin_place(basin);
            let lowest = sheet.figure("z_start-up", &START_UP_LEVEL, &basin)?;
            quantity(lowest - sheet.given("z_intake", &pump.intake, &pump.place, "intake")?)
        });
    }
    let works = HydraulicModel::of(plan, vessels, system);
    drain_back::enter(ledger, plan, vessels, &works);
    simulated::enter(ledger, plan, &works);
}

fn enter_running(ledger: &mut Ledger, plan: &Plan, system: &System, basin: &Given<Basin>) {
    let at = &basin.place;
    let state = || match system.basins.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(Gap::NotShown(vec![Place::root().child("pumps")])),
    };
    ledger.enter(&THROUGH_FLOW, at, |sheet| {
        note_flows_into(sheet, plan, at)?;
        quantity(state()?.inflow)
    });
    ledger.enter(&RUNNING_LEVEL, at, |sheet| {
        let state = state()?;
        note_crests(sheet, plan, at)?;
        sheet.take(&state.inputs);
        sheet.given("z_still", &basin.still, at, "still")?;
        quantity(state.running)
    });
    ledger.enter(&RUNNING_RISE, at, |sheet| {
        let running = sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        quantity(running - sheet.given("z_still", &basin.still, at, "still")?)
    });
    let drained = plan
        .drains
        .values()
        .any(|drain| drain.from.value().is_some_and(|id| &Plan::basin_place(id) == at));
    let spills = drained || falls_from(plan, at).next().is_some();
    ledger.enter(&WATER_IN_FLIGHT, at, |sheet| {
        if spills {
            return Err(Gap::DoesNotApply(
                "what is in flight is missing from the lowest basin, and a fall or a drain leaves this one"
                    .to_owned(),
            ));
        }
        sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        quantity(state()?.in_flight)
    });
    ledger.enter(&START_UP_LEVEL, at, |sheet| {
        if !spills {
            sheet.figure("V_flight", &WATER_IN_FLIGHT, at)?;
        }
        sheet.given("z_still", &basin.still, at, "still")?;
        quantity(state()?.start_up)
    });
    ledger.enter(&POWER_OFF_LEVEL, at, |sheet| {
        if !spills {
            sheet.figure("V_flight", &WATER_IN_FLIGHT, at)?;
        }
        sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        quantity(state()?.power_off.clone()?)
    });
    let rim = |sheet: &mut Worksheet<'_>| sheet.given("z_rim", &basin.rim, at, "rim");
    ledger.enter(&FREEBOARD_RUNNING, at, |sheet| {
        quantity(rim(sheet)? - sheet.figure("z_running", &RUNNING_LEVEL, at)?)
    });
    ledger.enter(&FREEBOARD_POWER_OFF, at, |sheet| {
        quantity(rim(sheet)? - sheet.figure("z_power-off", &POWER_OFF_LEVEL, at)?)
    });
    ledger.enter(&FREEBOARD_NORMAL, at, |sheet| {
        let rim = rim(sheet)?;
        let still = sheet.given("z_still", &basin.still, at, "still")?;
        let start_up = sheet.figure("z_start-up", &START_UP_LEVEL, at)?;
        let running = sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        let power_off = sheet.figure("z_power-off", &POWER_OFF_LEVEL, at)?;
        quantity(rim - still.max(start_up).max(running).max(power_off))
    });
    ledger.enter(&FREEBOARD_SETTLED_EDGE, at, |sheet| {
        let settled = rim(sheet)? - sheet.worked("s", SETTLEMENT, Kind::Length);
        quantity(settled - sheet.figure("z_running", &RUNNING_LEVEL, at)?)
    });
}

fn note_flows_into(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Place) -> Result<(), Gap> {
    for pump in plan.pumps.values() {
        let id = pump.place.parts().last().unwrap_or_default();
        let feeds = plan.lines.values().any(|line| {
            line.from.value().is_some_and(|ids| ids.0.contains(&id))
                && line.runs.values().any(|run| {
                    run.to
                        .value()
                        .is_some_and(|to| basin.parts().last().as_ref() == Some(to))
                })
        });
        if feeds {
            sheet.figure("Q_pump", &super::pumping::DUTY_FLOW, &pump.place)?;
        }
    }
    Ok(())
}

/// The falls that leave a basin.
fn falls_from<'p>(plan: &'p Plan, basin: &Place) -> impl Iterator<Item = &'p Given<Fall>> {
    let id = basin.parts().last();
    plan.falls
        .values()
        .filter(move |fall| id.is_some() && fall.from.value() == id.as_ref())
}

fn note_crests(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Place) -> Result<(), Gap> {
    for fall in falls_from(plan, basin) {
        sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
        sheet.figure("h", &falls::CREST_HEAD, &fall.place)?;
    }
    Ok(())
}
