//! Pressure in the runs: at shut-off, and when the water is stopped at once.

use super::{feeding::feeding, runs::RUN_VELOCITY};
use crate::{
    formulas::{
        pipe_table,
        water::{self, NOMINAL_DENSITY},
        water_hammer,
    },
    hydraulics::{curve, inside_diameter, size_and_class},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, missing, quantity, verdict, yes},
    plan::{Given, Line, Measure, Pipe, PipeMaterial, Plan, Pump, Run, Shown, connections::in_series},
    quantity::Kind,
};

static PRESSURE_PIPE: Definition =
    Definition::verdict(Scope::Runs, "pressure-pipe", "pipe made for pressure")
        .by(
            "the class is one made for pressure, or the plan gives its rating; flexible pipe and hose whose pump lifts no \
             more than 15 ft (4.6 m) needs neither",
            "",
        );
static PRESSURE_SHARE: Definition = Definition::quantity(
    Scope::Runs,
    "pressure-share",
    "shut-off pressure as a share of the rating",
    Kind::Share,
)
.by(
    "pressure with the pump shut off at its intake level, divided by the pipe’s rating at the warmest water",
    "r = ρ·g·H_0 / p_rated",
)
.within("PVC up to 140 °F (60 °C), which has a published derating; other pipe by its stated rating");
static SURGE_PRESSURE: Definition = Definition::quantity(
    Scope::Runs,
    "surge-pressure",
    "water hammer when the water is stopped at once",
    Kind::Pressure,
)
.by(
    "density times wave speed times velocity; wave speed from the stiffness of water and pipe wall, \
     a = √((K/ρ) / (1 + (K/E)·(D/e)))",
    "Δp = ρ·a·v",
)
.from("Joukowsky 1898, wave speed by Korteweg 1878; moduli of pipe materials from memory")
.within(
    "upper bound: a valve or check valve that closes faster than the wave travels up the line and back; water \
    without air",
);
static SURGE_SHARE: Definition = Definition::quantity(
    Scope::Runs,
    "surge-share",
    "shut-off and surge pressure as a share of the rating",
    Kind::Share,
)
.by(
    "pressure with the pump shut off plus the surge, divided by the pipe’s rating at the warmest water",
    "r = r_shut-off + Δp / p_rated",
)
.within("conservative: the two pressures do not peak together");

pub(crate) static DEFINITIONS: &[&Definition] =
    &[&PRESSURE_PIPE, &PRESSURE_SHARE, &SURGE_PRESSURE, &SURGE_SHARE];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, line: &Given<Line>, run: &Given<Run>) {
    let at = &run.place;
    ledger.enter(&PRESSURE_PIPE, at, |sheet| {
        pressure_pipe(sheet, plan, &feeding(plan, line), run)
    });
    ledger.enter(&PRESSURE_SHARE, at, |sheet| {
        pressure_share(sheet, plan, &feeding(plan, line), run)
    });
    ledger.enter(&SURGE_PRESSURE, at, |sheet| surge_pressure(sheet, run));
    ledger.enter(&SURGE_SHARE, at, |sheet| {
        let shut_off = sheet.figure("r_shut-off", &PRESSURE_SHARE, at)?;
        let surge = sheet.figure("Δp", &SURGE_PRESSURE, at)?;
        quantity(shut_off + surge / rating(sheet, plan, run)?)
    });
}

/// The table's entry for a run's pipe.
fn entry(run: &Given<Run>) -> Result<(pipe_table::Entry, &Given<Pipe>), Gap> {
    let pipe = run.pipe.given().ok_or_else(|| missing(run.place.child("pipe")))?;
    let (size, class) = size_and_class(pipe)?;
    let nominal = size.si() / 0.0254;
    let entry =
        pipe_table::inside_diameter(nominal, class).map_err(|error| Gap::NotComputed(error.to_string()))?;
    Ok((entry, pipe))
}

/// Head at shut-off that hose and flexible pipe without a printed rating stands, m: 15 ft.
const HOSE_HEAD: f64 = 15.0 * 0.3048;

fn pressure_pipe(sheet: &mut Worksheet<'_>, plan: &Plan, pumps: &[&Given<Pump>], run: &Given<Run>) -> Answer {
    if let Some(pipe) = run.pipe.given()
        && let Shown::Is(rating) = &pipe.pressure_rating
    {
        sheet.note_given("p_rated", rating);
        return yes("the plan gives its pressure rating");
    }
    let material = run.pipe.value().and_then(|pipe| pipe.material.given());
    if let Some(material) = material
        && matches!(
            material.value,
            PipeMaterial::FlexiblePvc | PipeMaterial::RubberHose
        )
        && shut_off_head(sheet, plan, pumps).is_ok_and(|head| head <= HOSE_HEAD)
    {
        sheet.note_place("material", &material.place);
        return yes("hose or flexible pipe on a pump of low head");
    }
    let (entry, pipe) = entry(run)?;
    let class = pipe.place.child("class");
    sheet.note_place("class", &class);
    let because = if entry.pressure {
        "a pressure class"
    } else {
        "a class made for drains, not for pressure"
    };
    verdict(entry.pressure, because, Some(class))
}

/// The pump shut off puts its whole head on the line, measured from the intake.
fn pressure_share(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    pumps: &[&Given<Pump>],
    run: &Given<Run>,
) -> Answer {
    let head = shut_off_head(sheet, plan, pumps)?;
    sheet.assumed(
        "H_0",
        head,
        Kind::Length,
        "the line’s lowest point lies at the pump’s intake",
    );
    let rating = rating(sheet, plan, run)?;
    quantity(1000.0 * water::STANDARD_GRAVITY * head / rating)
}

/// Head of the pumps of a line with its valve shut, and of the water over their intakes.
fn shut_off_head(sheet: &mut Worksheet<'_>, plan: &Plan, pumps: &[&Given<Pump>]) -> Result<f64, Gap> {
    let mut head = 0.0_f64;
    for pump in pumps {
        let mut shut_off = 0.0;
        for stage in in_series(plan, pump) {
            let curve = curve(stage)?;
            sheet.take(&curve.inputs);
            shut_off += curve.item.highest_head();
        }
        let water = pump
            .basin
            .value()
            .and_then(|id| plan.basins.get(id))
            .and_then(|basin| basin.still.given());
        let above_intake = match (water, pump.intake.given()) {
            (Some(still), Some(intake)) => (still.value.0 - intake.value.0).max(0.0),
            _ => 0.0,
        };
        head = head.max(shut_off + above_intake);
    }
    Ok(head)
}

fn rating(sheet: &mut Worksheet<'_>, plan: &Plan, run: &Given<Run>) -> Result<f64, Gap> {
    if let Some(pipe) = run.pipe.given()
        && let Shown::Is(rating) = &pipe.pressure_rating
    {
        sheet.note_given("p_rated", rating);
        return Ok(rating.value.0);
    }
    let (entry, pipe) = entry(run)?;
    let rated = entry
        .rating
        .ok_or_else(|| missing(pipe.place.child("pressure_rating")))?;
    let warmest = plan.water.value().and_then(|water| water.warmest.given());
    let temperature = match warmest {
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
    };
    let factor = entry.material.rating_factor(temperature).ok_or_else(|| {
        Gap::NotComputed("no published derating for this pipe at the warmest water".to_owned())
    })?;
    Ok(sheet.assumed(
        "p_rated",
        rated * factor,
        Kind::Pressure,
        "pressure ratings from the pipe tables, derated for warm water",
    ))
}

fn surge_pressure(sheet: &mut Worksheet<'_>, run: &Given<Run>) -> Answer {
    let velocity = sheet.figure("v", &RUN_VELOCITY, &run.place)?;
    let left_out = || missing(run.place.child("pipe"));
    let pipe = run.pipe.given().ok_or_else(left_out)?;
    let material = pipe
        .material
        .given()
        .ok_or_else(|| missing(pipe.place.child("material")))?;
    sheet.note_place("material", &material.place);
    let modulus = modulus(material.value).ok_or_else(|| {
        Gap::NotComputed("no elastic modulus is known for flexible pipe and hose".to_owned())
    })?;
    let why = "short-term moduli (from memory): PVC 2.8 GPa, PE 1.0, ABS 2.2, copper 117, steel 200";
    sheet.assumed("E", modulus, Kind::Pressure, why);
    let inside = inside_diameter(sheet, run)?;
    let wall = (outside_diameter(sheet, pipe)? - inside) / 2.0;
    if wall <= 0.0 {
        return Err(Gap::NotComputed(
            "the inside diameter leaves the pipe no wall".to_owned(),
        ));
    }
    sheet.assumed("e", wall, Kind::Length, "walls from outside and inside diameters");
    sheet.assumed(
        "ρ",
        NOMINAL_DENSITY,
        Kind::Density,
        "water of 62.4 lb/ft³ (1,000 kg/m³) in lines",
    );
    let speed = water_hammer::wave_speed(NOMINAL_DENSITY, modulus, inside, wall);
    sheet.assumed(
        "a",
        speed,
        Kind::Velocity,
        "speed of a pressure wave by Korteweg in water without air",
    );
    quantity(water_hammer::joukowsky(NOMINAL_DENSITY, speed, velocity))
}

/// Short-term modulus of a pipe's wall, Pa (from memory).
fn modulus(material: PipeMaterial) -> Option<f64> {
    Some(match material {
        PipeMaterial::Pvc => 2.8e9,
        PipeMaterial::Pe => 1.0e9,
        PipeMaterial::Abs => 2.2e9,
        PipeMaterial::Copper => 117e9,
        PipeMaterial::Steel | PipeMaterial::GalvanizedSteel | PipeMaterial::StainlessSteel => 200e9,
        PipeMaterial::Iron => 100e9,
        PipeMaterial::FlexiblePvc | PipeMaterial::RubberHose => return None,
    })
}

/// Outside diameters of iron-pipe sizes by nominal size, in (ASTM D1785 and ASME B36.10).
const IRON_PIPE: [(f64, f64); 12] = [
    (0.5, 0.840),
    (0.75, 1.050),
    (1.0, 1.315),
    (1.25, 1.660),
    (1.5, 1.900),
    (2.0, 2.375),
    (2.5, 2.875),
    (3.0, 3.500),
    (4.0, 4.500),
    (5.0, 5.563),
    (6.0, 6.625),
    (8.0, 8.625),
];

/// Metric pipe with a bore of its own is named by its outside diameter, other pipe by iron-pipe size.
fn outside_diameter(sheet: &mut Worksheet<'_>, pipe: &Given<Pipe>) -> Result<f64, Gap> {
    let (size, place) = match &pipe.size {
        Shown::Is(size) => (size.si(), &size.place),
        _ => return Err(missing(pipe.place.child("size"))),
    };
    sheet.note_place("D_outside", place);
    let class = pipe.class.value().map_or("", String::as_str);
    if ["sidr", "cts", "sdr 35", "corrugated", "sewer"]
        .iter()
        .any(|other| class.to_lowercase().contains(other))
    {
        return Err(Gap::NotComputed(
            "no outside diameter is kept for this class of pipe".to_owned(),
        ));
    }
    let nominal = size / 0.0254;
    let known = IRON_PIPE.iter().find(|(size, _)| (size - nominal).abs() < 1e-3);
    match (known, &pipe.inside) {
        (Some((_, outside)), _) => Ok(outside * 0.0254),
        (None, Shown::Is(_)) => Ok(size),
        (None, _) => Err(Gap::NotComputed(
            "no outside diameter is kept for this size of pipe".to_owned(),
        )),
    }
}
