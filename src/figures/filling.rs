//! Filling and joining: doses, the temperature step, the water there is, the order of work.

use super::{
    basins::STILL_VOLUME,
    living_water::{no_fish, water_of},
};
use crate::{
    formulas::{filling, water_quality::un_ionised_share},
    ledger::{
        Answer, Definition, Found, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity, stated,
        verdict, yes,
    },
    plan::{
        Basin, BasinKind, Disinfectant, Filling, Given, Measure, Plan, Shown, Step, StepKind, Temperature,
        Work,
    },
    quantity::Kind,
    read::Place,
};

static DOSE_SHARE: Definition = Definition::quantity(
    Scope::Plan,
    "dose-over-residual",
    "sodium thiosulfate as a multiple of the chlorine",
    Kind::Ratio,
)
.by(
    "dose divided by the residual of the supply, mass by mass",
    "r = c_dose / c_residual",
)
.from(
    "stoichiometry of the pentahydrate: 7.0 mg/mg where the reaction ends at tetrathionate, 0.9 where it ends at sulfate",
)
.within("sodium thiosulfate; the test for a residual decides, not the dose");
static JOINING_VOLUME: Definition = Definition::quantity(
    Scope::Plan,
    "joining-volume",
    "new water of the first fill",
    Kind::Volume,
)
.by(
    "in new work the water of every basin at still level; in a retrofit that of the beds, which join a pond that stands full",
    "V_new = ΣV",
);
static DECHLORINATOR_MASS: Definition = Definition::quantity(
    Scope::Plan,
    "dechlorinator-mass",
    "dechlorinator for the first fill",
    Kind::Mass,
)
.by("dose times the new water of the first fill", "m = c_dose·V_new");
static STOCKED_VOLUME: Definition = Definition::quantity(
    Scope::Plan,
    "stocked-volume",
    "water that holds fish",
    Kind::Volume,
)
.by("water of all basins with fish at still level", "V_fish = ΣV");
static AMMONIA_FREED: Definition = Definition::quantity(
    Scope::Plan,
    "ammonia-freed",
    "un-ionized ammonia that breaking the chloramine adds",
    Kind::Concentration,
)
.by(
    "nitrogen of the residual in the new water, spread over all, times the share un-ionised in the warmest water at the \
     highest pH; in new work all the water is new",
    "c = c_residual·(14/70.9)·x·f, x = V_new / (V_new + V_fish), new work 1",
)
.from("stoichiometry; share after Emerson et al. (1975)")
.within("as nitrogen; what binds ammonia is not counted");
static TEMPERATURE_STEP: Definition = Definition::quantity(
    Scope::Plan,
    "joining-temperature-step",
    "temperature step that the fish see",
    Kind::TemperatureStep,
)
.by(
    "temperature of the pond at its warmest or coldest against that of all water mixed at once: the season whose \
    step is the larger share of what fish tolerate in that direction; none where the new water stood a day with \
    air",
    "ΔT = T_fish − (V_new·T_new + V_fish·T_fish) / (V_new + V_fish)",
)
.from("balance of heat")
.within("all new water joins within half an hour: slower joining steps less");
static STEP_ALLOWED: Definition = Definition::quantity(
    Scope::Plan,
    "temperature-step-allowed",
    "temperature step that fish tolerate, 5 °F (2.8 °C) colder, 7 °F (3.9 °C) warmer",
    Kind::TemperatureStep,
)
.by(
    "5 °F (2.8 °C) colder or 7 °F (3.9 °C) warmer in half an hour",
    "ΔT_max",
)
.from("LSU AgCenter stocking procedures");
static WATER_ENOUGH: Definition = Definition::quantity(
    Scope::Plan,
    "standing-over-needed",
    "standing water as a multiple of the first fill",
    Kind::Ratio,
)
.by(
    "water in the tanks divided by the water of the first fill",
    "r = V_tanks / V_new",
);
static FILL_TIME: Definition =
    Definition::quantity(Scope::Plan, "fill-time", "duration of the first fill", Kind::Time).by(
        "new water divided by the flow of the supply",
        "t = V_new / Q_supply",
    );
static DIRT_LEFT: Definition = Definition::quantity(
    Scope::Plan,
    "dirt-left",
    "dirt left after the wash cycles",
    Kind::Share,
)
.by(
    "share that stays when each cycle fills a part, stirs it up and pumps it out",
    "r = (1 − x)^N",
)
.from("staged dilution")
.within("dirt that is stirred up evenly; what clings to the stone stays");
static ORDER_OF_WORK: Definition = Definition::verdict(
    Scope::Plan,
    "order-of-work",
    "washing, joining and planting in that order",
)
.by(
    "washed before it is joined, joined before it is planted, no fish before residual and temperature pass; by day where \
     both days are shown, else as written",
    "",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &DOSE_SHARE,
    &JOINING_VOLUME,
    &DECHLORINATOR_MASS,
    &STOCKED_VOLUME,
    &AMMONIA_FREED,
    &TEMPERATURE_STEP,
    &STEP_ALLOWED,
    &WATER_ENOUGH,
    &FILL_TIME,
    &DIRT_LEFT,
    &ORDER_OF_WORK,
];

/// Fahrenheit degrees a fish stands in half an hour, colder and warmer.
const STEPS: (f64, f64) = (5.0 / 1.8, 7.0 / 1.8);
/// Water that has stood this long with air has the pond's temperature, s.
const STOOD: f64 = 86_400.0;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let root = Place::root();
    let stocked = |basin: &Basin| matches!(basin.fish, Shown::Is(_));
    let bed = |basin: &Basin| basin.kind.value() == Some(&BasinKind::Bed);
    ledger.enter(&JOINING_VOLUME, &root, |sheet| {
        let whole = new_work(sheet, plan);
        let none = || does_not_apply("the plan has no bed to fill");
        volume_of(sheet, "V", plan, |basin| whole || bed(basin), none)
    });
    ledger.enter(&STOCKED_VOLUME, &root, |sheet| {
        volume_of(sheet, "V", plan, stocked, || no_fish(plan))
    });
    ledger.enter(&DOSE_SHARE, &root, |sheet| dose_share(sheet, plan));
    ledger.enter(&DECHLORINATOR_MASS, &root, |sheet| {
        let filling = plan.filling.given();
        let product = filling.and_then(|filling| filling.dechlorinator.given());
        let product = product.ok_or_else(|| does_not_apply("no dechlorinator is used"))?;
        let dose = sheet.given("c_dose", &product.dose, &product.place, "dose")?;
        quantity(dose * sheet.figure("V_new", &JOINING_VOLUME, &Place::root())?)
    });
    ledger.enter(&AMMONIA_FREED, &root, |sheet| ammonia_freed(sheet, plan));
    ledger.enter(&TEMPERATURE_STEP, &root, |sheet| {
        Ok(Found::Quantity(temperature_step(sheet, plan)?.abs()))
    });
    ledger.enter(&STEP_ALLOWED, &root, |sheet| {
        // The step is published in °F; in whole tenths of a degree it is no more than rounded.
        let step = step_allowed(temperature_step(sheet, plan)?);
        stated(step, (step * 10.0).round() / 10.0)
    });
    let Shown::Is(filling) = &plan.filling else { return };
    ledger.enter(&WATER_ENOUGH, &root, |sheet| water_enough(sheet, filling));
    ledger.enter(&FILL_TIME, &root, |sheet| {
        let flow = sheet.given("Q_supply", &filling.supply_flow, &filling.place, "supply_flow")?;
        quantity(sheet.figure("V_new", &JOINING_VOLUME, &Place::root())? / flow)
    });
    ledger.enter(&DIRT_LEFT, &root, |sheet| {
        let (cycles, share) = wash(sheet, filling)?;
        quantity(filling::staged_dilution(1.0, 0.0, share, cycles))
    });
    ledger.enter(&ORDER_OF_WORK, &root, |sheet| order_of_work(sheet, plan, filling));
}

fn volume_of(
    sheet: &mut Worksheet<'_>,
    symbol: &'static str,
    plan: &Plan,
    wanted: impl Fn(&Basin) -> bool,
    none: impl FnOnce() -> Gap,
) -> Answer {
    let mut volume = None;
    for basin in plan.basins.values().filter(|basin| wanted(&basin.value)) {
        volume = Some(volume.unwrap_or(0.0) + sheet.figure(symbol, &STILL_VOLUME, &basin.place)?);
    }
    quantity(volume.ok_or_else(none)?)
}

fn dose_share(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let water = water_of(plan)?;
    if matches!(water.disinfectant, Shown::None(_)) {
        return Err(does_not_apply("the supply is not disinfected"));
    }
    let product = plan
        .filling
        .value()
        .and_then(|filling| filling.dechlorinator.given());
    let Some(product) = product else {
        return Err(does_not_apply("no dechlorinator is used"));
    };
    let named = product
        .product
        .value()
        .is_some_and(|name| name.to_lowercase().contains("thiosulfate"));
    if !named {
        return Err(does_not_apply("the dechlorinator is another product"));
    }
    let residual = sheet.given("c_residual", &water.residual, &water.place, "residual")?;
    quantity(sheet.given("c_dose", &product.dose, &product.place, "dose")? / residual)
}

fn ammonia_freed(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let water = water_of(plan)?;
    let at = &water.place;
    match &water.disinfectant {
        Shown::Is(kind) if kind.value == Disinfectant::Chloramine => {
            sheet.note_place("disinfectant", &kind.place);
        }
        Shown::NotShown => return Err(missing(at.child("disinfectant"))),
        _ => return Err(does_not_apply("the supply carries no chloramine")),
    }
    let share_new = if new_work(sheet, plan) {
        sheet.figure("V_fish", &STOCKED_VOLUME, &Place::root())?;
        1.0
    } else {
        let fish = sheet.figure("V_fish", &STOCKED_VOLUME, &Place::root())?;
        let new = sheet.figure("V_new", &JOINING_VOLUME, &Place::root())?;
        new / (new + fish)
    };
    let share_new = sheet.worked("x", share_new, Kind::Share);
    let residual = sheet.given("c_residual", &water.residual, at, "residual")?;
    let warmest = sheet.given("T", &water.warmest, at, "warmest")?;
    let ph = water
        .highest_ph
        .given()
        .ok_or_else(|| missing(at.child("highest_ph")))?;
    sheet.note_value("pH", ph.value, Kind::Ratio, &ph.place);
    let total = filling::ammonia_of_chloramine(residual) * share_new;
    let share = un_ionised_share(warmest, ph.value);
    quantity(total * sheet.worked("f", share, Kind::Share))
}

/// Whether all of it is built and filled new.
fn new_work(sheet: &mut Worksheet<'_>, plan: &Plan) -> bool {
    let work = plan.project.value().and_then(|project| project.work.given());
    if let Some(work) = work {
        sheet.note_place("work", &work.place);
    }
    work.is_some_and(|work| work.value == Work::New)
}

/// The step of the stocked water, K: warmer is positive.
fn temperature_step(sheet: &mut Worksheet<'_>, plan: &Plan) -> Result<f64, Gap> {
    let fish = sheet.figure("V_fish", &STOCKED_VOLUME, &Place::root())?;
    let new = sheet.figure("V_new", &JOINING_VOLUME, &Place::root())?;
    if new_work(sheet, plan) {
        return Err(Gap::DoesNotApply(
            "in new work no fish are in the water yet".to_owned(),
        ));
    }
    let tanks = plan
        .filling
        .value()
        .and_then(|filling| filling.standing_tanks.given());
    if let Some(tanks) = tanks
        && tanks.stood.value().is_some_and(|stood| stood.si() >= STOOD)
        && tanks.aerated.yes() == Some(true)
    {
        sheet.note_place("tanks", &tanks.place);
        return Ok(0.0);
    }
    let water = water_of(plan)?;
    let at = &water.place;
    let fresh = sheet.given("T_new", &water.fill_temperature, at, "fill_temperature")?;
    // A step colder is stood less well than one warmer: the season that asks more of the fish counts.
    let season = |value: &Shown<Temperature>, field: &str| {
        let (pond, inputs) = sheet.aside(|sheet| sheet.given("T_fish", value, at, field));
        pond.map(|pond| {
            let step = filling::mixed_temperature((new, fresh), (fish, pond)) - pond;
            (step, inputs)
        })
    };
    let (warm, cold) = match (
        season(&water.warmest, "warmest"),
        season(&water.coldest, "coldest"),
    ) {
        (Ok(warm), Ok(cold)) => (warm, cold),
        (Err(warm), Err(cold)) => return Err(warm.and(cold)),
        (Err(gap), _) | (_, Err(gap)) => return Err(gap),
    };
    let share = |step: f64| step.abs() / step_allowed(step);
    let (step, inputs) = if share(warm.0) >= share(cold.0) {
        warm
    } else {
        cold
    };
    sheet.take(&inputs);
    Ok(step)
}

/// How far a fish stands a step this way, K: warmer is positive.
fn step_allowed(step: f64) -> f64 {
    if step > 0.0 { STEPS.1 } else { STEPS.0 }
}

/// Wash cycles, and the share filled in each.
fn wash(sheet: &mut Worksheet<'_>, filling: &Given<Filling>) -> Result<(u32, f64), Gap> {
    let wash = match &filling.wash {
        Shown::Is(wash) => wash,
        Shown::None(_) => return Err(does_not_apply("new stone is not washed")),
        Shown::NotShown => return Err(missing(filling.place.child("wash"))),
    };
    let cycles = wash
        .cycles
        .given()
        .ok_or_else(|| missing(wash.place.child("cycles")))?;
    sheet.note_value("N", f64::from(cycles.value), Kind::Ratio, &cycles.place);
    let share = sheet.given("x", &wash.fraction, &wash.place, "fraction")?;
    Ok((cycles.value, share))
}

fn water_enough(sheet: &mut Worksheet<'_>, filling: &Given<Filling>) -> Answer {
    let tanks = match &filling.standing_tanks {
        Shown::Is(tanks) => tanks,
        Shown::None(_) => {
            return Err(does_not_apply("the water comes straight from the supply"));
        }
        Shown::NotShown => return Err(missing(filling.place.child("standing_tanks"))),
    };
    let new = sheet.figure("V_new", &JOINING_VOLUME, &Place::root())?;
    let volume = sheet.given("V_tanks", &tanks.volume, &tanks.place, "volume")?;
    quantity(volume / new)
}

/// What must come before what.
const ORDER: [(StepKind, StepKind, &str); 12] = [
    (
        StepKind::Dig,
        StepKind::Underlay,
        "the underlay is laid before the hole is dug",
    ),
    (
        StepKind::Dig,
        StepKind::Membrane,
        "the membrane is laid before the hole is dug",
    ),
    (
        StepKind::Underlay,
        StepKind::Membrane,
        "the underlay is laid after the membrane that lies on it",
    ),
    (
        StepKind::Membrane,
        StepKind::Stone,
        "stone goes in before the membrane",
    ),
    (
        StepKind::Membrane,
        StepKind::Fill,
        "it is filled before the membrane is in",
    ),
    (
        StepKind::Membrane,
        StepKind::LeakTest,
        "it is tested for leaks before the membrane is in",
    ),
    (
        StepKind::LeakTest,
        StepKind::Stone,
        "stone goes in before the leak test, and comes out again for a leak",
    ),
    (
        StepKind::Wash,
        StepKind::Plant,
        "it is planted before it is washed",
    ),
    (StepKind::Wash, StepKind::Join, "it is joined before it is washed"),
    (
        StepKind::Join,
        StepKind::Plant,
        "it is planted before it is joined",
    ),
    (
        StepKind::ResidualTest,
        StepKind::Fish,
        "fish go in before the residual is tested",
    ),
    (
        StepKind::Temper,
        StepKind::Fish,
        "fish go in before the temperature matches",
    ),
];

/// Whether one step, with its position, is done before another: by their days where both are shown and differ, else by
/// the order they are written in.
fn precedes((position, step): (usize, &Step), (other_position, other): (usize, &Step)) -> bool {
    match (step.day.value(), other.day.value()) {
        (Some(day), Some(other)) if day != other => day < other,
        _ => position < other_position,
    }
}

fn order_of_work(sheet: &mut Worksheet<'_>, plan: &Plan, filling: &Given<Filling>) -> Answer {
    let bed = |basin: &Given<Basin>| basin.kind.value() == Some(&BasinKind::Bed);
    let order = filling.order.given().ok_or_else(|| {
        if plan.basins.values().any(bed) {
            Gap::NotShown(vec![filling.place.child("order")])
        } else {
            Gap::DoesNotApply("there is no bed to wash and join".to_owned())
        }
    })?;
    sheet.note_place("order", &order.place);
    let first = |kind: StepKind| {
        let mut steps = order.iter().enumerate();
        steps.find(|(_, step)| step.step.value() == Some(&kind))
    };
    let stocked = plan
        .basins
        .values()
        .any(|basin| matches!(basin.fish, Shown::Is(_)));
    // In a stocked pond, joining is where the fish meet the new water.
    let meets = |kind: StepKind| {
        if kind == StepKind::Fish && stocked {
            first(kind).or(first(StepKind::Join))
        } else {
            first(kind)
        }
    };
    for (before, after, because) in ORDER {
        let (Some(earlier), Some(later)) = (first(before), meets(after)) else {
            continue;
        };
        if precedes(later, earlier) {
            return verdict(false, because, Some(order.place.clone()));
        }
    }
    yes("each step follows what it needs")
}
