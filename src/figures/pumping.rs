//! Pumps at their operating point, and the runs they feed.

use super::{
    definition::{Definition, Scope},
    ledger::{Answer, Found, Gap, Ledger, Sheet, quantity},
    system::{System, size_and_class},
};
use crate::{
    formulas::{pipe, pipe_table, pump, water},
    plan::{Given, Line, Measure, Mount, Plan, Pump, Run, Shown},
    quantity::Kind,
    read::Place,
};

const NETWORK: &str = "heads and flows solved together: Darcy–Weisbach with Colebrook–White, monotone cubic pump curve \
                       (Fritsch & Carlson), fittings by K from one table";

pub(super) static DUTY_FLOW: Definition =
    Definition::quantity(Scope::Pumps, "duty-flow", "operating flow", Kind::Flow)
        .by(
            "the flow at which the pump curve meets what pipes, fittings, levels and crests ask",
            "Q: H(Q) = Δz + Σ h(Q)",
        )
        .from(NETWORK)
        .within("within the ends of the pump curve; full pipes");
pub(super) static DUTY_HEAD: Definition =
    Definition::quantity(Scope::Pumps, "duty-head", "operating head", Kind::Length)
        .by("the head of the pump curve at the operating flow", "H = H(Q)")
        .from(NETWORK);
static WITHIN_CURVE: Definition =
    Definition::verdict(Scope::Pumps, "within-curve", "operating point on the curve").by(
        "the operating flow lies between the ends of the curve given",
        "Q_first ≤ Q ≤ Q_last",
    );
static FLOW_SHARE_OF_CLAIM: Definition = Definition::quantity(
    Scope::Pumps,
    "flow-share-of-claim",
    "computed over stated flow",
    Kind::Share,
)
.by(
    "operating flow over the flow the plan counts on",
    "r = Q / Q_stated",
);
static BEST_FLOW_SHARE: Definition = Definition::quantity(
    Scope::Pumps,
    "best-flow-share",
    "flow over best-efficiency flow",
    Kind::Share,
)
.by(
    "operating flow over the flow at best efficiency, of one pump",
    "r = Q / Q_best",
);
static WATER_POWER: Definition =
    Definition::quantity(Scope::Pumps, "water-power", "water power", Kind::Power)
        .by("weight of water lifted per second times head", "P_w = ρ·g·Q·H");
static WATER_POWER_SHARE: Definition = Definition::quantity(
    Scope::Pumps,
    "water-power-share",
    "water power over input power",
    Kind::Share,
)
.by("water power over power drawn", "η = P_w / P");
static SCREEN_VELOCITY: Definition = Definition::quantity(
    Scope::Pumps,
    "screen-velocity",
    "velocity through a half clogged screen",
    Kind::Velocity,
)
.by(
    "operating flow over half the screen area",
    "v = Q / (A_screen / 2)",
);
static SUCTION_VELOCITY: Definition = Definition::quantity(
    Scope::Pumps,
    "suction-velocity",
    "velocity in the suction run",
    Kind::Velocity,
)
.by(
    "operating flow over the area of the suction pipe",
    "v = 4·Q / (π·D²)",
);

static RUN_FLOW: Definition = Definition::quantity(Scope::Runs, "run-flow", "flow", Kind::Flow)
    .by("the flow in the run with the whole system solved together", "Q")
    .from(NETWORK);
static RUN_VELOCITY: Definition =
    Definition::quantity(Scope::Runs, "run-velocity", "velocity", Kind::Velocity)
        .by("flow over the area of the pipe", "v = 4·Q / (π·D²)");
static RUN_REYNOLDS: Definition =
    Definition::quantity(Scope::Runs, "run-reynolds", "Reynolds number", Kind::Ratio)
        .by("velocity times diameter over kinematic viscosity", "Re = v·D / ν");
static RUN_HEAD_LOSS: Definition =
    Definition::quantity(Scope::Runs, "run-head-loss", "head loss", Kind::Length)
        .by(
            "friction and fittings at the velocity",
            "h = (f·L/D + ΣK)·v² / (2·g)",
        )
        .from("Darcy–Weisbach; Colebrook–White from Re 4000, 64/Re below 2000, a smooth bridge between")
        .within("full round pipe; relative roughness up to 0.05");
static OUTLET_SHARE_OF_CLAIM: Definition = Definition::quantity(
    Scope::Runs,
    "outlet-share-of-claim",
    "computed over stated flow",
    Kind::Share,
)
.by(
    "flow at the outlet over the flow the plan counts on there",
    "r = Q / Q_stated",
);
static PRESSURE_PIPE: Definition =
    Definition::verdict(Scope::Runs, "pressure-pipe", "pipe made for pressure")
        .by("the class is one made for pressure", "");
static PRESSURE_SHARE: Definition = Definition::quantity(
    Scope::Runs,
    "pressure-share",
    "pressure at shut-off over rating",
    Kind::Share,
)
.by(
    "pressure with the pump shut off at its intake level, over the pipe's rating at the warmest water",
    "r = ρ·g·H_0 / p_rated",
)
.within("PVC up to 140 °F (60 °C), which has a published derating; other pipe by its stated rating");
static WINTER_SAFE: Definition =
    Definition::verdict(Scope::Runs, "winter-safe", "buried line safe from frost").by(
        "it lies below the frost, or drains by gravity, or a winter plan is written",
        "",
    );
static COVER_ENOUGH: Definition =
    Definition::verdict(Scope::Runs, "cover-enough", "cover over the buried run").by(
        "soil cover by nominal size: 6 in to 1-1/2 in pipe, 12 in to 3 in, 18 in to 5 in, 24 in above",
        "",
    );

pub(super) static DEFINITIONS: &[&Definition] = &[
    &DUTY_FLOW,
    &DUTY_HEAD,
    &WITHIN_CURVE,
    &FLOW_SHARE_OF_CLAIM,
    &BEST_FLOW_SHARE,
    &WATER_POWER,
    &WATER_POWER_SHARE,
    &SCREEN_VELOCITY,
    &SUCTION_VELOCITY,
    &RUN_FLOW,
    &RUN_VELOCITY,
    &RUN_REYNOLDS,
    &RUN_HEAD_LOSS,
    &OUTLET_SHARE_OF_CLAIM,
    &PRESSURE_PIPE,
    &PRESSURE_SHARE,
    &WINTER_SAFE,
    &COVER_ENOUGH,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System) {
    for pump in plan.pumps.values() {
        enter_pump(ledger, system, pump);
    }
    for line in plan.lines.values() {
        for run in line.runs.values() {
            enter_run(ledger, plan, system, line, run);
        }
    }
}

fn enter_pump(ledger: &mut Ledger, system: &System, pump: &Given<Pump>) {
    let at = &pump.place;
    let state = || match system.pumps.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(Gap::NotShown(vec![at.child("basin")])),
    };
    ledger.enter(&DUTY_FLOW, at, |sheet| {
        let state = state()?;
        sheet.take(&state.inputs);
        quantity(state.flow)
    });
    ledger.enter(&DUTY_HEAD, at, |sheet| {
        sheet.figure("Q", &DUTY_FLOW, at)?;
        quantity(state()?.head)
    });
    ledger.enter(&WITHIN_CURVE, at, |sheet| {
        if let Some(off) = system.off_curve.get(at) {
            let curve = pump.curve.given().map(|curve| curve.place.clone());
            return Ok(Found::Verdict {
                holds: false,
                because: off.because.clone(),
                at: off.at.clone().or(curve),
            });
        }
        sheet.figure("Q", &DUTY_FLOW, at)?;
        Ok(Found::Verdict {
            holds: true,
            because: "the operating point lies on the curve".to_owned(),
            at: None,
        })
    });
    if matches!(pump.stated_flow, Shown::Is(_)) {
        ledger.enter(&FLOW_SHARE_OF_CLAIM, at, |sheet| {
            let stated = sheet.given("Q_stated", &pump.stated_flow, at, "stated_flow")?;
            quantity(sheet.figure("Q", &DUTY_FLOW, at)? / stated)
        });
    }
    let count = f64::from(pump.count.value().copied().unwrap_or(1));
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
    if let Shown::Is(screen) = &pump.screen {
        ledger.enter(&SCREEN_VELOCITY, at, |sheet| {
            let area = sheet.given("A_screen", &screen.area, &screen.place, "area")?;
            quantity(sheet.figure("Q", &DUTY_FLOW, at)? / (area / 2.0))
        });
    }
    if pump.mount.value() == Some(&Mount::Dry) {
        ledger.enter(&SUCTION_VELOCITY, at, |sheet| {
            let flow = sheet.figure("Q", &DUTY_FLOW, at)?;
            let suction = pump
                .suction
                .given()
                .ok_or_else(|| Gap::NotShown(vec![at.child("suction")]))?;
            let run = Given {
                value: (*suction.value).clone(),
                place: suction.place.clone(),
            };
            let diameter = super::system::inside_diameter(sheet, &run)?;
            quantity(pipe::velocity(flow, diameter))
        });
    }
}

fn enter_run(ledger: &mut Ledger, plan: &Plan, system: &System, line: &Given<Line>, run: &Given<Run>) {
    let at = &run.place;
    let state = || match system.runs.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(Gap::NotShown(vec![line.place.child("from")])),
    };
    let feeding = || {
        let ids = line.from.value().map(|ids| ids.0.as_slice()).unwrap_or_default();
        ids.iter().filter_map(|id| plan.pumps.get(id)).collect::<Vec<_>>()
    };
    ledger.enter(&RUN_FLOW, at, |sheet| {
        for pump in feeding() {
            sheet.figure("Q_pump", &DUTY_FLOW, &pump.place)?;
        }
        quantity(state()?.flow)
    });
    ledger.enter(&RUN_VELOCITY, at, |sheet| {
        sheet.figure("Q", &RUN_FLOW, at)?;
        let state = state()?;
        sheet.take(state.of("D"));
        quantity(state.velocity)
    });
    ledger.enter(&RUN_REYNOLDS, at, |sheet| {
        sheet.figure("v", &RUN_VELOCITY, at)?;
        quantity(state()?.reynolds)
    });
    ledger.enter(&RUN_HEAD_LOSS, at, |sheet| {
        sheet.figure("v", &RUN_VELOCITY, at)?;
        let state = state()?;
        sheet.take(&state.inputs);
        quantity(state.head_loss)
    });
    if matches!(run.stated_flow, Shown::Is(_)) {
        ledger.enter(&OUTLET_SHARE_OF_CLAIM, at, |sheet| {
            let stated = sheet.given("Q_stated", &run.stated_flow, at, "stated_flow")?;
            quantity(sheet.figure("Q", &RUN_FLOW, at)? / stated)
        });
    }
    ledger.enter(&PRESSURE_PIPE, at, |sheet| pressure_pipe(sheet, run));
    ledger.enter(&PRESSURE_SHARE, at, |sheet| {
        pressure_share(sheet, plan, &feeding(), run)
    });
    if matches!(run.buried, Shown::Is(_)) {
        ledger.enter(&WINTER_SAFE, at, |sheet| winter_safe(sheet, plan, line, run));
        ledger.enter(&COVER_ENOUGH, at, |sheet| cover_enough(sheet, run));
    }
}

/// The table's entry for a run's pipe.
fn entry(run: &Given<Run>) -> Result<(pipe_table::Entry, &Given<crate::plan::Pipe>), Gap> {
    let pipe = run
        .pipe
        .given()
        .ok_or_else(|| Gap::NotShown(vec![run.place.child("pipe")]))?;
    let (size, class) = size_and_class(pipe)?;
    let nominal = size.si() / 0.0254;
    let entry =
        pipe_table::inside_diameter(nominal, class).map_err(|error| Gap::NotComputed(error.to_string()))?;
    Ok((entry, pipe))
}

fn pressure_pipe(sheet: &mut Sheet<'_>, run: &Given<Run>) -> Answer {
    if let Some(pipe) = run.pipe.given()
        && let Shown::Is(rating) = &pipe.pressure_rating
    {
        sheet.note_given("p_rated", rating);
        return Ok(Found::Verdict {
            holds: true,
            because: "the plan gives its pressure rating".to_owned(),
            at: None,
        });
    }
    let (entry, pipe) = entry(run)?;
    let class = pipe.place.child("class");
    sheet.note_place("class", &class);
    let because = if entry.pressure {
        "a pressure class"
    } else {
        "a class made for drains, not for pressure"
    };
    Ok(Found::Verdict {
        holds: entry.pressure,
        because: because.to_owned(),
        at: Some(class),
    })
}

/// The pump shut off puts its whole head on the line, measured from the intake.
fn pressure_share(sheet: &mut Sheet<'_>, plan: &Plan, pumps: &[&Given<Pump>], run: &Given<Run>) -> Answer {
    let mut head = 0.0_f64;
    for pump in pumps {
        let mut shut_off = 0.0;
        for stage in super::system::in_series(plan, pump) {
            let curve = super::system::curve(stage)?;
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
    sheet.assumed(
        "H_0",
        head,
        Kind::Length,
        "the line's lowest point lies at the pump's intake",
    );
    let rating = rating(sheet, plan, run)?;
    quantity(1000.0 * water::STANDARD_GRAVITY * head / rating)
}

fn rating(sheet: &mut Sheet<'_>, plan: &Plan, run: &Given<Run>) -> Result<f64, Gap> {
    if let Some(pipe) = run.pipe.given()
        && let Shown::Is(rating) = &pipe.pressure_rating
    {
        sheet.note_given("p_rated", rating);
        return Ok(rating.value.0);
    }
    let (entry, pipe) = entry(run)?;
    let rated = entry
        .rating
        .ok_or_else(|| Gap::NotShown(vec![pipe.place.child("pressure_rating")]))?;
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

fn winter_safe(sheet: &mut Sheet<'_>, plan: &Plan, line: &Given<Line>, run: &Given<Run>) -> Answer {
    let holds = |because: &str| {
        Ok(Found::Verdict {
            holds: true,
            because: because.to_owned(),
            at: None,
        })
    };
    let site = plan.site.value();
    let frost = match site.map(|site| &site.frost_depth) {
        Some(Shown::None(_)) => return Err(Gap::DoesNotApply("the ground does not freeze".to_owned())),
        Some(Shown::Is(frost)) => frost,
        _ => return Err(Gap::NotShown(vec![Place::from_pointer("/site/frost_depth")])),
    };
    sheet.note_given("d_frost", frost);
    let cover = sheet.given("d_cover", &run.buried, &run.place, "buried")?;
    if cover >= frost.si() {
        return holds("it lies below the frost");
    }
    let winter = plan.upkeep.value().map(|upkeep| &upkeep.winter);
    match (line.drains_for_winter.yes(), winter) {
        (Some(true), _) => holds("it drains for winter"),
        (_, Some(Shown::Is(_))) => holds("a winter plan is written"),
        (None, _) => Err(Gap::NotShown(vec![line.place.child("drains_for_winter")])),
        (Some(false), _) => Ok(Found::Verdict {
            holds: false,
            because: "it lies above the frost, does not drain, and no winter plan is written".to_owned(),
            at: Some(run.place.child("buried")),
        }),
    }
}

/// Cover by nominal size, inches: up to this size, this cover.
const COVER: [(f64, f64); 4] = [(1.5, 6.0), (3.0, 12.0), (5.0, 18.0), (f64::INFINITY, 24.0)];

fn cover_enough(sheet: &mut Sheet<'_>, run: &Given<Run>) -> Answer {
    let cover = sheet.given("d_cover", &run.buried, &run.place, "buried")?;
    let pipe = run
        .pipe
        .given()
        .ok_or_else(|| Gap::NotShown(vec![run.place.child("pipe")]))?;
    let size = sheet.given("D_nominal", &pipe.size, &pipe.place, "size")?;
    let needed = COVER
        .iter()
        .find(|(up_to, _)| size / 0.0254 <= up_to + 1e-9)
        .map_or(24.0, |(_, cover)| *cover);
    // 300 mm is as good as 12 in: the metric depth is the rounded one that metric crews dig to.
    let holds = cover >= needed * 0.025 - 1e-9;
    let because = if holds {
        "deep enough for its size"
    } else {
        "too shallow for its size"
    };
    let because = format!("{because}: {needed} in ({} mm) are due", (needed * 25.0).round());
    Ok(Found::Verdict {
        holds,
        because,
        at: Some(run.place.child("buried")),
    })
}
