//! Overflows: what they carry, and what a storm brings.

use crate::{
    formulas::{gravity_pipe, weir},
    hydraulics::{
        piped,
        storage::{self, Storages},
        viscosity,
    },
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{
        Basin, Given, Measure, Overflow, Plan, Shown,
        connections::{catchment, spilling_into, spills_into, water_reaches},
    },
    quantity::Kind,
    read::Place,
};

static STORM_INFLOW: Definition = Definition::quantity(
    Scope::Basins,
    "storm-inflow",
    "storm inflow to the overflow",
    Kind::Flow,
)
.by(
    "rain over the basin, over those that spill into it and over the catchment where that drains into it or into one whose \
     water comes to it, spread evenly over its duration, and the make-up water led into any of them",
    "Q_in = (ΣA_basins + A_catchment)·P / t + Q_make-up",
)
.within("mean intensity of the storm; all rain on the catchment runs off");
static OVERFLOW_CAPACITY: Definition = Definition::quantity(
    Scope::Basins,
    "overflow-capacity",
    "overflow capacity",
    Kind::Flow,
)
.by(
    "with the water 1 in (25 mm) below the rim, behind a frame 1/2 in (13 mm), the least of what its lip (1.84·b·h^1.5 in m³/s and m), its mouth and its pipe pass",
    "Q_out: min(Q_lip(b, h), 0.61·A·√(2·g·h), Q_pipe), h = z_rim − c − z_overflow",
)
.from(
    "sharp-crested weir (Francis), orifice, Darcy–Weisbach; a pipe in the wall as critical flow in its mouth",
)
.within("lips measured from 30 mm (1.2 in) of head, continued below; free fall at the outlet");
static OVERFLOW_CAPACITY_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "overflow-capacity-share",
    "overflow capacity as a multiple of the storm inflow",
    Kind::Ratio,
)
.by(
    "overflow capacity divided by storm inflow and make-up",
    "r = Q_out / Q_in",
)
.comparing("the overflow carries {Q_out} of a storm inflow of {Q_in}")
.at_zero("the overflow carries none of the storm inflow ({Q_in})");

pub(crate) static DEFINITIONS: &[&Definition] =
    &[&STORM_INFLOW, &OVERFLOW_CAPACITY, &OVERFLOW_CAPACITY_SHARE];

/// Water kept below the rim while the overflow runs, m: 1 in.
const BELOW_RIM: f64 = 0.0254;
/// The same behind a frame, which does not settle, m: 1/2 in.
const BELOW_FRAME: f64 = 0.0127;

/// Enters the figures of every overflow.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, storages: &Storages) {
    for (id, basin) in &plan.basins {
        enter_one(ledger, plan, storages, id, basin);
    }
}

fn enter_one(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    let Shown::Is(overflow) = &basin.overflow else {
        return;
    };
    let at = &basin.place;
    ledger.enter(&STORM_INFLOW, at, |sheet| storm_inflow(sheet, plan, vessels, id));
    ledger.enter(&OVERFLOW_CAPACITY, at, |sheet| {
        capacity(sheet, plan, basin, overflow)
    });
    ledger.enter(&OVERFLOW_CAPACITY_SHARE, at, |sheet| {
        let out = sheet.figure("Q_out", &OVERFLOW_CAPACITY, at)?;
        let inflow = sheet.figure("Q_in", &STORM_INFLOW, at)?;
        if inflow <= 0.0 {
            return Err(does_not_apply("no rain, run-off or make-up water reaches it"));
        }
        quantity(out / inflow)
    });
}

fn storm_inflow(sheet: &mut Worksheet<'_>, plan: &Plan, vessels: &Storages, id: &str) -> Answer {
    let mut area = 0.0;
    let mut rained_on = false;
    for (id, basin) in spilling_into(plan, id) {
        let place = basin.place.child("open_to_rain");
        match basin.open_to_rain.yes() {
            Some(true) => {
                sheet.note_place("open_to_rain", &place);
                rained_on = true;
                let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
                let vessel = storage::of(vessels, id)?;
                let own = vessel.storage.plan_area(rim);
                sheet.assumed(
                    "A_basins",
                    own,
                    Kind::Area,
                    "rain falls on a basin over its area at the rim",
                );
                area += own;
            }
            Some(false) => sheet.note_place("open_to_rain", &place),
            None => return Err(missing(place)),
        }
    }
    match catchment(plan).map_err(|place| Gap::NotShown(vec![place]))? {
        Some((basin, catchment)) if water_reaches(plan, basin, id) => {
            sheet.note_given("A_catchment", catchment);
            rained_on = true;
            area += catchment.si();
        }
        Some(_) => {
            sheet.worked("A_catchment", 0.0, Kind::Area);
        }
        None => sheet.note_value(
            "A_catchment",
            0.0,
            Kind::Area,
            &Place::from_pointer("/site/catchment"),
        ),
    }
    let rain = if rained_on {
        area * intensity(sheet, plan)?
    } else {
        0.0
    };
    quantity(rain + make_up(sheet, plan, id)?)
}

/// Mean intensity of the design storm, m/s.
fn intensity(sheet: &mut Worksheet<'_>, plan: &Plan) -> Result<f64, Gap> {
    let storm = plan.site.value().map(|site| &site.design_storm);
    let storm = match storm {
        Some(Shown::Is(storm)) => storm,
        Some(Shown::None(_)) => {
            return Err(does_not_apply("the plan says that there is no storm"));
        }
        _ => return Err(missing(Place::from_pointer("/site/design_storm"))),
    };
    let depth = sheet.given("P", &storm.depth, &storm.place, "depth")?;
    let duration = sheet.given("t", &storm.duration, &storm.place, "duration")?;
    if duration <= 0.0 {
        return Err(Gap::NotComputed("the storm’s duration is zero".to_owned()));
    }
    Ok(depth / duration)
}

/// Make-up water that is led into this basin or into one that spills into it, m³/s; a valve that sticks open runs
/// through the storm.
fn make_up(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str) -> Result<f64, Gap> {
    let Some(make_up) = plan.water.value().and_then(|water| water.make_up.given()) else {
        return Ok(0.0);
    };
    let elsewhere = |fed: &String| !spills_into(plan, fed, id);
    if make_up.basin.value().is_some_and(elsewhere) || make_up.automatic.yes() == Some(false) {
        return Ok(0.0);
    }
    sheet.given("Q_make-up", &make_up.flow, &make_up.place, "flow")
}

/// By its width, its bore, or both; else as the plan states it.
fn capacity(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    basin: &Given<Basin>,
    overflow: &Given<Overflow>,
) -> Answer {
    let shaped = matches!(overflow.width, Shown::Is(_)) || matches!(overflow.bore, Shown::Is(_));
    if !shaped && let Shown::Is(stated) = &overflow.capacity {
        sheet.note_given("Q_out", stated);
        sheet.assumed(
            "h",
            BELOW_RIM,
            Kind::Length,
            "a stated overflow capacity is taken as that with the water 1 in (25 mm) below the rim",
        );
        return quantity(stated.si());
    }
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let level = sheet.given("z_overflow", &overflow.level, &overflow.place, "level")?;
    let framed = matches!(basin.frame, Shown::Is(_));
    let below = if framed { BELOW_FRAME } else { BELOW_RIM };
    let water = rim - sheet.worked("c", below, Kind::Length);
    let head = (water - level).max(0.0);
    sheet.assumed(
        "h",
        head,
        Kind::Length,
        "overflows are evaluated with the water 1 in (25 mm) below the rim, behind a frame 1/2 in (13 mm)",
    );
    let width = match &overflow.width {
        Shown::Is(_) => Some(sheet.given("b", &overflow.width, &overflow.place, "width")?),
        _ => None,
    };
    let bore = match &overflow.bore {
        Shown::Is(_) => Some(sheet.given("D", &overflow.bore, &overflow.place, "bore")?),
        _ => None,
    };
    match (width, bore) {
        (Some(width), None) => quantity(weir::francis(width, head, 0)),
        (width, Some(bore)) => {
            let (drain, outlet) = piped(sheet, level, width, bore);
            let (flow, _) = gravity_pipe::discharge(&drain, water, outlet, viscosity(plan).item);
            quantity(flow)
        }
        (None, None) => Err(missing(overflow.place.child("width"))),
    }
}
