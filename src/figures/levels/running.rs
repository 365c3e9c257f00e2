//! Levels while the pumps run evenly.

use crate::{
    figures::{falls::CREST_HEAD, pumping::DUTY_FLOW},
    hydraulics::System,
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{
        Basin, Given, Plan, Shown,
        connections::{drains_from, falls_from, runs_into},
    },
    quantity::Kind,
    read::Place,
};

const BALANCE: &str = "water balance over the circuit: what is in flight is missing from the lowest basin";

pub(crate) static THROUGH_FLOW: Definition = Definition::quantity(
    Scope::Basins,
    "through-flow",
    "flow through while running",
    Kind::Flow,
)
.by("the sum of what lines and falls bring", "Q = ΣQ_in");
pub(crate) static RUNNING_LEVEL: Definition =
    Definition::quantity(Scope::Basins, "running-level", "running level", Kind::Level)
        .by("crest level plus the head at the flow; in the lowest basin, the level that the water in flight leaves, or that make-up keeps", "z_running")
        .from(BALANCE);
static RUNNING_RISE: Definition =
    Definition::quantity(Scope::Basins, "running-rise", "rise while running", Kind::Length)
        .by("running level less still level", "r = z_running − z_still");
pub(super) static WATER_IN_FLIGHT: Definition =
    Definition::quantity(Scope::Basins, "water-in-flight", "water in flight", Kind::Volume)
        .by(
            "what stands above still level on the basins that spill, in the streams, and in the pipes that run empty at \
             rest, while running",
            "V_flight = ΣΔV_basin + ΣV_stream + V_pipes",
        )
        .from(BALANCE);
pub(super) static FREEBOARD_RUNNING: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-running",
    "freeboard while running",
    Kind::Length,
)
.by("rim level less running level", "F = z_rim − z_running");
static SPILL_RUNNING: Definition = Definition::quantity(
    Scope::Basins,
    "spill-running",
    "flow over the rim while running",
    Kind::Flow,
)
.by(
    "what the rim passes as a broad crest as long as it is, at the running level",
    "Q = C·L_rim·(z_running − z_rim)^1.5",
)
.from("broad-crested weir");
static OVERFLOWING: Definition = Definition::quantity(
    Scope::Basins,
    "overflowing-running",
    "flow by the overflow while running",
    Kind::Flow,
)
.by(
    "what the overflow passes at the running level: water that leaves for good as long as the pump runs",
    "Q: Q_overflow(z_running)",
)
.from(BALANCE);
pub(super) static FREEBOARD_SETTLED_EDGE: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-settled-edge",
    "freeboard while running with an edge settled 1 in (25 mm)",
    Kind::Length,
)
.by(
    "rim level less 1 in (25 mm) less running level",
    "F = z_rim − s − z_running",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &THROUGH_FLOW,
    &RUNNING_LEVEL,
    &RUNNING_RISE,
    &WATER_IN_FLIGHT,
    &FREEBOARD_RUNNING,
    &SPILL_RUNNING,
    &OVERFLOWING,
    &FREEBOARD_SETTLED_EDGE,
];

/// An inch of settlement, m.
const SETTLEMENT: f64 = 0.0254;

/// Enters the running levels of a basin.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System, basin: &Given<Basin>) {
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
    ledger.enter(&WATER_IN_FLIGHT, at, |sheet| {
        if spills(plan, at) {
            return Err(Gap::DoesNotApply(
                "what is in flight is missing from the lowest basin, and a fall or a drain leaves this one"
                    .to_owned(),
            ));
        }
        sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        quantity(state()?.in_flight)
    });
    let rim = |sheet: &mut Worksheet<'_>| sheet.given("z_rim", &basin.rim, at, "rim");
    ledger.enter(&FREEBOARD_RUNNING, at, |sheet| {
        quantity(rim(sheet)? - sheet.figure("z_running", &RUNNING_LEVEL, at)?)
    });
    if let Some(spill) = system.spills.get(at).filter(|spill| spill.over_rim > 0.0) {
        ledger.enter(&SPILL_RUNNING, at, |sheet| {
            rim(sheet)?;
            sheet.figure("z_running", &RUNNING_LEVEL, at)?;
            quantity(spill.over_rim)
        });
    }
    if let Shown::Is(overflow) = &basin.overflow {
        ledger.enter(&OVERFLOWING, at, |sheet| {
            sheet.given("z_overflow", &overflow.level, &overflow.place, "level")?;
            sheet.figure("z_running", &RUNNING_LEVEL, at)?;
            quantity(system.spills.get(at).map_or(0.0, |spill| spill.by_overflow))
        });
    }
    ledger.enter(&FREEBOARD_SETTLED_EDGE, at, |sheet| {
        let settled = rim(sheet)? - sheet.worked("s", SETTLEMENT, Kind::Length);
        quantity(settled - sheet.figure("z_running", &RUNNING_LEVEL, at)?)
    });
}

/// Whether a fall or a gravity line leaves a basin.
pub(super) fn spills(plan: &Plan, at: &Place) -> bool {
    let id = at.key();
    falls_from(plan, &id).next().is_some() || drains_from(plan, &id).next().is_some()
}

fn note_flows_into(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Place) -> Result<(), Gap> {
    let lines = runs_into(plan, &basin.key()).filter_map(|run| {
        let line = run.place.parent()?.parent()?;
        plan.lines.get(&line.key())
    });
    let ids = lines.filter_map(|line| line.from.value()).flat_map(|ids| &ids.0);
    let mut pumps: Vec<usize> = ids.filter_map(|id| plan.pumps.get_index_of(id)).collect();
    pumps.sort_unstable();
    pumps.dedup();
    for (_, pump) in pumps.iter().filter_map(|at| plan.pumps.get_index(*at)) {
        sheet.figure("Q_pump", &DUTY_FLOW, &pump.place)?;
    }
    Ok(())
}

fn note_crests(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Place) -> Result<(), Gap> {
    for fall in falls_from(plan, &basin.key()) {
        sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
        sheet.figure("h", &CREST_HEAD, &fall.place)?;
    }
    Ok(())
}
