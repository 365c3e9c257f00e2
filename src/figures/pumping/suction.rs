//! What the suction of a pump out of the water sees: pressure, and water over its mouth.

use super::{
    feeding::{basin_of, count},
    pumps::DUTY_FLOW,
};
use crate::{
    figures::levels::{RUNNING_LEVEL, START_UP_LEVEL},
    formulas::{pipe, pump, water},
    hydraulics::{Losses, inside_diameter, suction, viscosity},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, missing, quantity, verdict},
    plan::{Given, Measure, Mount, Plan, Pump, Run, Shown},
    quantity::Kind,
};

static LOWEST_RUNNING: Definition = Definition::quantity(
    Scope::Pumps,
    "lowest-running-level",
    "lowest water the pump draws from while running",
    Kind::Level,
)
.by(
    "the lower of start-up and running level of the basin it draws from",
    "z_low = min(z_start-up, z_running)",
);
static NPSH_AVAILABLE: Definition = Definition::quantity(
    Scope::Pumps,
    "npsh-available",
    "net positive suction head available",
    Kind::Length,
)
.by(
    "pressure of the air at the altitude less vapour pressure of the warmest water, as head, less the height of the \
     pump over its lowest water and the losses of the suction run",
    "NPSH = (p_air − p_vapour) / (ρ·g) − (z_pump − z_low) − h_suction",
)
.from("definition of suction head (Crane TP-410 works it, read in a copy); ISO 2533 air; IAPWS vapour pressure")
.within("water of 0 to 100 °C; altitudes to 11,000 m (36,000 ft)");
static NPSH_MARGIN: Definition = Definition::quantity(
    Scope::Pumps,
    "npsh-margin",
    "available suction head as a multiple of the required",
    Kind::Ratio,
)
.by(
    "net positive suction head available divided by what the maker requires",
    "r = NPSH / NPSH_required",
)
.comparing("{NPSH} suction head available, {NPSH_required} required");
pub(in crate::figures) static SUBMERGENCE_NEEDED: Definition = Definition::quantity(
    Scope::Pumps,
    "submergence-needed",
    "water needed over the suction mouth",
    Kind::Length,
)
.by(
    "diameter of the mouth, and more with its Froude number F_D = v / √(g·D)",
    "S = D·(1 + 2.3·v / √(g·D))",
)
.from("Hydraulic Institute 9.8, read in a copy")
.within("open mouths with an even approach; the mouth as wide as the suction pipe");
static SUBMERGENCE_SHARE: Definition = Definition::quantity(
    Scope::Pumps,
    "submergence-share",
    "water over the suction mouth as a multiple of what it needs",
    Kind::Ratio,
)
.by(
    "lowest running level less the level of the mouth, divided by the submergence needed",
    "r = (z_low − z_intake) / S",
);

static SUCTION_RISES: Definition = Definition::verdict(
    Scope::Pumps,
    "suction-rises",
    "suction run that rises all the way to the pump",
)
.by(
    "highest point of the suction run no higher than the pump; under one that is, air gathers",
    "z_high ≤ z_pump",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &LOWEST_RUNNING,
    &NPSH_AVAILABLE,
    &NPSH_MARGIN,
    &SUBMERGENCE_NEEDED,
    &SUBMERGENCE_SHARE,
    &SUCTION_RISES,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, pump: &Given<Pump>) {
    // A pump that follows another draws from its outlet, not from a basin.
    if pump.mount.value() != Some(&Mount::Dry) || matches!(pump.after, Shown::Is(_)) {
        return;
    }
    let at = &pump.place;
    ledger.enter(&LOWEST_RUNNING, at, |sheet| {
        let basin = basin_of(pump)?;
        let start_up = sheet.figure("z_start-up", &START_UP_LEVEL, &basin)?;
        quantity(start_up.min(sheet.figure("z_running", &RUNNING_LEVEL, &basin)?))
    });
    ledger.enter(&SUCTION_RISES, at, |sheet| suction_rises(sheet, pump));
    // Makers ask for it of few pumps, so a plan that leaves it out is not asked for the rest.
    if matches!(pump.required_suction_head, Shown::Is(_)) {
        ledger.enter(&NPSH_AVAILABLE, at, |sheet| npsh_available(sheet, plan, pump));
        ledger.enter(&NPSH_MARGIN, at, |sheet| {
            let available = sheet.figure("NPSH", &NPSH_AVAILABLE, at)?;
            let required = &pump.required_suction_head;
            quantity(available / sheet.given("NPSH_required", required, at, "required_suction_head")?)
        });
    }
    ledger.enter(&SUBMERGENCE_NEEDED, at, |sheet| {
        let flow = sheet.figure("Q", &DUTY_FLOW, at)? / count(pump);
        let run = suction_run(pump)?;
        let bare = Given {
            value: (*run.value).clone(),
            place: run.place.clone(),
        };
        let diameter = inside_diameter(sheet, &bare)?;
        let why = "the velocity in the mouth of a suction pipe is that of one pump’s flow";
        sheet.assumed("v", pipe::velocity(flow, diameter), Kind::Velocity, why);
        quantity(pump::least_submergence(flow, diameter))
    });
    ledger.enter(&SUBMERGENCE_SHARE, at, |sheet| {
        let low = sheet.figure("z_low", &LOWEST_RUNNING, at)?;
        let mouth = sheet.given("z_intake", &pump.intake, at, "intake")?;
        quantity((low - mouth) / sheet.figure("S", &SUBMERGENCE_NEEDED, at)?)
    });
}

fn suction_rises(sheet: &mut Worksheet<'_>, pump: &Given<Pump>) -> Answer {
    let place = pump.place.child("suction_high_point");
    let at_high_point = |holds: bool, because: &str| verdict(holds, because, Some(place.clone()));
    match &pump.suction_high_point {
        Shown::NotShown => Err(missing(place)),
        Shown::None(_) => at_high_point(true, "the plan says that it rises all the way"),
        Shown::Is(high) => {
            sheet.note_given("z_high", high);
            if high.si() <= sheet.given("z_pump", &pump.level, &pump.place, "level")? {
                at_high_point(true, "no point of it lies higher than the pump")
            } else {
                at_high_point(
                    false,
                    "air gathers at a point of it that lies higher than the pump",
                )
            }
        }
    }
}

fn suction_run(pump: &Given<Pump>) -> Result<&Given<Box<Run>>, Gap> {
    let left_out = || missing(pump.place.child("suction"));
    pump.suction.given().ok_or_else(left_out)
}

fn npsh_available(sheet: &mut Worksheet<'_>, plan: &Plan, pump: &Given<Pump>) -> Answer {
    let at = &pump.place;
    let low = sheet.figure("z_low", &LOWEST_RUNNING, at)?;
    let centre = sheet.given("z_pump", &pump.level, at, "level")?;
    let flow = sheet.figure("Q", &DUTY_FLOW, at)? / count(pump);
    let line = suction(suction_run(pump)?, Losses::by(plan))?;
    sheet.take(&line.inputs);
    let loss = pipe::head_loss(flow, &line.item, viscosity(plan).item);
    sheet.assumed(
        "h_suction",
        loss,
        Kind::Length,
        "suction losses by Darcy–Weisbach at the operating flow",
    );
    let temperature = warmest(sheet, plan);
    let surface_pressure = air(sheet, plan);
    let vapour_pressure = water::vapour_pressure(temperature);
    sheet.assumed(
        "p_vapour",
        vapour_pressure,
        Kind::Pressure,
        "vapour pressure of the warmest water by IAPWS",
    );
    quantity(pump::npsh_available(&pump::Suction {
        surface_pressure,
        vapour_pressure,
        density: water::density(temperature),
        lift: centre - low,
        loss,
    }))
}

fn warmest(sheet: &mut Worksheet<'_>, plan: &Plan) -> f64 {
    match plan.water.value().and_then(|water| water.warmest.given()) {
        Some(given) => {
            sheet.note_given("T_warmest", given);
            given.value.si()
        }
        None => sheet.assumed(
            "T_warmest",
            299.817,
            Kind::Temperature,
            "warmest water of 80 °F (26.7 °C) where none is shown",
        ),
    }
}

/// Pressure of the air at the place, Pa.
fn air(sheet: &mut Worksheet<'_>, plan: &Plan) -> f64 {
    let altitude = match plan.project.value().and_then(|project| project.altitude.given()) {
        Some(given) => {
            sheet.note_given("h_altitude", given);
            given.value.si()
        }
        None => sheet.assumed(
            "h_altitude",
            0.0,
            Kind::Length,
            "sea level where no altitude is shown",
        ),
    };
    let pressure = water::atmospheric_pressure(altitude);
    sheet.assumed(
        "p_air",
        pressure,
        Kind::Pressure,
        "air pressure at the altitude by the standard atmosphere",
    )
}
