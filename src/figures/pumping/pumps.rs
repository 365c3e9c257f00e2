//! Pumps at their operating point: flow, head, power, energy, screen.

use super::feeding::{NETWORK, count, feeding};
use crate::{
    formulas::{pipe, pump},
    hydraulics::{System, inside_diameter},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, missing, quantity, verdict, yes},
    plan::{Given, Line, Mount, Plan, Pump, Shown, Tariff},
    quantity::Kind,
    read::Place,
};

pub(crate) static DUTY_FLOW: Definition = Definition::quantity(
    Scope::Pumps,
    "duty-flow",
    "operating flow",
    Kind::Flow,
)
.by(
    "the flow at which the pump curve meets the head of pipes, fittings, beds fed from below, levels and crests",
    "Q: H(Q) = Δz + Σ h(Q)",
)
.from(NETWORK)
.within("within the ends of the pump curve; full pipes");
pub(crate) static DUTY_HEAD: Definition =
    Definition::quantity(Scope::Pumps, "duty-head", "operating head", Kind::Length)
        .by("the head of the pump curve at the operating flow", "H = H(Q)")
        .from(NETWORK);
static WITHIN_CURVE: Definition =
    Definition::verdict(Scope::Pumps, "within-curve", "operating point on the curve").by(
        "the operating flow lies between the ends of the curve given",
        "Q_first ≤ Q ≤ Q_last",
    );
static OFF_DUTY_POINT: Definition = Definition::quantity(
    Scope::Pumps,
    "off-duty-point",
    "operating flow away from the only duty point known",
    Kind::Share,
)
.by(
    "difference of the operating flow of one pump from the flow of its duty point, as a share of that flow; where a curve \
     is given it does not arise",
    "r = |Q/N − Q_duty| / Q_duty",
);
static FLOW_SHARE_OF_CLAIM: Definition = Definition::quantity(
    Scope::Pumps,
    "flow-share-of-claim",
    "computed flow as a share of the stated flow",
    Kind::Share,
)
.by(
    "operating flow divided by the flow the plan counts on",
    "r = Q / Q_stated",
)
.comparing("{Q} computed, {Q_stated} stated");
static BEST_FLOW_SHARE: Definition = Definition::quantity(
    Scope::Pumps,
    "best-flow-share",
    "flow as a share of the best-efficiency flow",
    Kind::Share,
)
.by(
    "operating flow divided by the flow at best efficiency, of one pump",
    "r = Q / Q_best",
)
.comparing("{Q} where the best efficiency is at {Q_best}");
static WATER_POWER: Definition =
    Definition::quantity(Scope::Pumps, "water-power", "water power", Kind::Power)
        .by("weight of water lifted per second times head", "P_w = ρ·g·Q·H");
static WATER_POWER_SHARE: Definition = Definition::quantity(
    Scope::Pumps,
    "water-power-share",
    "wire-to-water efficiency",
    Kind::Share,
)
.by("water power divided by power drawn", "η = P_w / P");
static YEARLY_ENERGY: Definition =
    Definition::quantity(Scope::Pumps, "yearly-energy", "energy in a year", Kind::Energy).by(
        "power drawn by all pumps alike, over the hours of a year",
        "E = N·P·t",
    );
static YEARLY_COST: Definition = Definition::quantity(
    Scope::Pumps,
    "yearly-cost",
    "cost of the energy in a year",
    Kind::Money,
)
.by(
    "energy in a year at the plan’s price of a kWh, in its currency",
    "C = E·p_kWh",
);
static SOLIDS_OVER_OPENING: Definition = Definition::quantity(
    Scope::Pumps,
    "solids-over-opening",
    "largest solid passed as a multiple of the screen opening",
    Kind::Ratio,
)
.by(
    "largest solid the pump passes divided by the width of a screen opening; below 1 the screen lets through what can jam \
     the pump",
    "r = d_solids / w",
);
static PUMPS_IN_PARALLEL: Definition =
    Definition::verdict(Scope::Lines, "pumps-in-parallel", "line that several pumps share")
        .by("two or more pumps that run at once feed it", "");
static PARALLEL_CHECK_VALVES: Definition = Definition::verdict(
    Scope::Lines,
    "parallel-check-valves",
    "check valve at each pump of a shared line",
)
.by(
    "each of the pumps that share the line has a check valve of its own",
    "",
);
static SCREEN_VELOCITY: Definition = Definition::quantity(
    Scope::Pumps,
    "screen-velocity",
    "velocity through a half-clogged screen",
    Kind::Velocity,
)
.by(
    "operating flow divided by half the screen area",
    "v = Q / (A_screen / 2)",
);
static SUCTION_VELOCITY: Definition = Definition::quantity(
    Scope::Pumps,
    "suction-velocity",
    "velocity in the suction run",
    Kind::Velocity,
)
.by(
    "operating flow divided by the area of the suction pipe",
    "v = 4·Q / (π·D²)",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &DUTY_FLOW,
    &DUTY_HEAD,
    &WITHIN_CURVE,
    &OFF_DUTY_POINT,
    &FLOW_SHARE_OF_CLAIM,
    &BEST_FLOW_SHARE,
    &WATER_POWER,
    &WATER_POWER_SHARE,
    &YEARLY_ENERGY,
    &YEARLY_COST,
    &SOLIDS_OVER_OPENING,
    &PUMPS_IN_PARALLEL,
    &PARALLEL_CHECK_VALVES,
    &SCREEN_VELOCITY,
    &SUCTION_VELOCITY,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System, pump: &Given<Pump>) {
    let at = &pump.place;
    let state = || match system.pumps.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(missing(at.child("basin"))),
    };
    ledger.enter(&DUTY_FLOW, at, |sheet| {
        let state = state()?;
        sheet.share(&state.inputs);
        quantity(state.flow)
    });
    ledger.enter(&DUTY_HEAD, at, |sheet| {
        sheet.figure("Q", &DUTY_FLOW, at)?;
        quantity(state()?.head)
    });
    ledger.enter(&WITHIN_CURVE, at, |sheet| {
        if let Some(off) = system.off_curve.get(at) {
            let curve = pump.curve.given().map(|curve| curve.place.clone());
            return verdict(false, off.because.clone(), off.at.clone().or(curve));
        }
        sheet.figure("Q", &DUTY_FLOW, at)?;
        yes("the operating point lies on the curve")
    });
    if let (false, Shown::Is(duty)) = (matches!(pump.curve, Shown::Is(_)), &pump.duty) {
        ledger.enter(&OFF_DUTY_POINT, at, |sheet| {
            let known = sheet.given("Q_duty", &duty.flow, &duty.place, "flow")?;
            let flow = sheet.figure("Q", &DUTY_FLOW, at)?;
            let number = sheet.worked("N", count(pump), Kind::Ratio);
            quantity((flow / number - known).abs() / known)
        });
    }
    if matches!(pump.stated_flow, Shown::Is(_)) {
        ledger.enter(&FLOW_SHARE_OF_CLAIM, at, |sheet| {
            let stated = sheet.given("Q_stated", &pump.stated_flow, at, "stated_flow")?;
            quantity(sheet.figure("Q", &DUTY_FLOW, at)? / stated)
        });
    }
    let count = count(pump);
    // Makers seldom publish it, so a plan that leaves it out is not asked for it.
    if matches!(pump.best_flow, Shown::Is(_)) {
        ledger.enter(&BEST_FLOW_SHARE, at, |sheet| {
            let best = sheet.given("Q_best", &pump.best_flow, at, "best_flow")?;
            quantity(sheet.figure("Q", &DUTY_FLOW, at)? / count / best)
        });
    }
    ledger.enter(&WATER_POWER, at, |sheet| {
        let (flow, head) = (
            sheet.figure("Q", &DUTY_FLOW, at)?,
            sheet.figure("H", &DUTY_HEAD, at)?,
        );
        quantity(pump::water_power(1000.0, flow, head))
    });
    if matches!(pump.power, Shown::Is(_)) {
        ledger.enter(&WATER_POWER_SHARE, at, |sheet| {
            let power = sheet.given("P", &pump.power, at, "power")?;
            quantity(sheet.figure("P_w", &WATER_POWER, at)? / (power * count))
        });
    }
    if matches!(pump.power, Shown::Is(_)) {
        ledger.enter(&YEARLY_ENERGY, at, |sheet| yearly_energy(sheet, pump));
        if let Some(tariff) = plan
            .electrical
            .value()
            .and_then(|electrical| electrical.tariff.given())
        {
            ledger.enter(&YEARLY_COST, at, |sheet| yearly_cost(sheet, tariff, at));
        }
    }
    if let Shown::Is(screen) = &pump.screen {
        if matches!((&pump.solids, &screen.opening), (Shown::Is(_), Shown::Is(_))) {
            ledger.enter(&SOLIDS_OVER_OPENING, at, |sheet| {
                let solids = sheet.given("d_solids", &pump.solids, at, "solids")?;
                quantity(solids / sheet.given("w", &screen.opening, &screen.place, "opening")?)
            });
        }
        ledger.enter(&SCREEN_VELOCITY, at, |sheet| {
            let area = sheet.given("A_screen", &screen.area, &screen.place, "area")?;
            quantity(sheet.figure("Q", &DUTY_FLOW, at)? / (area / 2.0))
        });
    }
    if pump.mount.value() == Some(&Mount::Dry) {
        ledger.enter(&SUCTION_VELOCITY, at, |sheet| {
            let flow = sheet.figure("Q", &DUTY_FLOW, at)?;
            let suction = pump.suction.given().ok_or_else(|| missing(at.child("suction")))?;
            let run = Given {
                value: (*suction.value).clone(),
                place: suction.place.clone(),
            };
            let diameter = inside_diameter(sheet, &run)?;
            quantity(pipe::velocity(flow, diameter))
        });
    }
}

/// Seconds in a year of 365 days.
const YEAR: f64 = 365.0 * 86_400.0;

fn yearly_energy(sheet: &mut Worksheet<'_>, pump: &Given<Pump>) -> Answer {
    let power = sheet.given("P", &pump.power, &pump.place, "power")?;
    let number = count(pump);
    match &pump.count {
        Shown::Is(given) => sheet.note_value("N", number, Kind::Ratio, &given.place),
        _ => {
            sheet.assumed("N", number, Kind::Ratio, "one pump where no number is shown");
        }
    }
    let why = "circulation pumps run 24 hours a day all year at the power stated";
    quantity(number * power * sheet.assumed("t", YEAR, Kind::Time, why))
}

/// One kWh, J.
const KWH: f64 = 3.6e6;

fn yearly_cost(sheet: &mut Worksheet<'_>, tariff: &Given<Tariff>, at: &Place) -> Answer {
    let energy = sheet.figure("E", &YEARLY_ENERGY, at)?;
    let price = tariff.price_per_kwh.given();
    let price = price.ok_or_else(|| missing(tariff.place.child("price_per_kwh")))?;
    sheet.note_value("p_kWh", price.value, Kind::Money, &price.place);
    quantity(energy / KWH * price.value)
}

/// What the pumps of one line do to each other.
pub(super) fn enter_line(ledger: &mut Ledger, plan: &Plan, line: &Given<Line>) {
    let pumps = feeding(plan, line);
    let several = pumps.iter().map(|pump| count(pump)).sum::<f64>() >= 2.0;
    ledger.enter(&PUMPS_IN_PARALLEL, &line.place, |sheet| {
        if pumps.is_empty() {
            return Err(missing(line.place.child("from")));
        }
        sheet.note_place("from", &line.place.child("from"));
        let because = if several {
            "several pumps feed it"
        } else {
            "one pump feeds it"
        };
        verdict(several, because, None)
    });
    if !several {
        return;
    }
    ledger.enter(&PARALLEL_CHECK_VALVES, &line.place, |sheet| {
        let mut left_out = Vec::new();
        for pump in pumps {
            match &pump.check_valve {
                Shown::Is(valve) => sheet.note_place("check_valve", &valve.place),
                Shown::None(place) => {
                    sheet.note_place("check_valve", place);
                    return verdict(false, "a pump has no check valve of its own", Some(place.clone()));
                }
                Shown::NotShown => left_out.push(pump.place.child("check_valve")),
            }
        }
        if left_out.is_empty() {
            yes("each pump has its own")
        } else {
            Err(Gap::NotShown(left_out))
        }
    });
}
