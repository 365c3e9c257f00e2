//! The pumps stop and the check valves leak: what drains back through the lines, and where that ends.

use super::super::{
    definition::{Definition, Scope},
    ledger::{Found, Gap, Ledger, Sheet, quantity},
    levels::POWER_OFF_LEVEL,
    system::{run_pipe, viscosity},
    vessel::{self, Vessel, Vessels},
};
use crate::{
    formulas::siphon::{DrainBack, Rest, rest},
    plan::{DischargeForm, Given, Line, Plan, Pump, Run, Shown},
    quantity::Kind,
    read::Place,
};

const SIPHON: &str = "water balance of two basins; the siphon stops at the air inlet, at the mouth of the line, or where levels meet";

pub(super) static SIPHONS_BACK: Definition =
    Definition::verdict(Scope::Lines, "siphons-back", "line that can siphon back").by(
        "it ends under water in a basin that stands higher than the one it starts in",
        "z_upper > z_lower",
    );
pub(super) static DRAIN_BACK_VOLUME: Definition =
    Definition::quantity(Scope::Lines, "drain-back-volume", "water that drains back through a leaking check valve", Kind::Volume)
        .by("water of the upper basin between its still level and the level at which the siphon stops, with the air inlet as the plan shows it", "V = V(z_still) − V(z_stop)")
        .from(SIPHON);
pub(super) static DRAIN_BACK_VOLUME_NO_AIR: Definition = Definition::quantity(
    Scope::Lines,
    "drain-back-volume-no-air",
    "the same without an air inlet",
    Kind::Volume,
)
.by(
    "water of the upper basin between its still level and the level at which the siphon stops without air",
    "V = V(z_still) − V(z_stop)",
)
.from(SIPHON);
pub(super) static DRAIN_BACK_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "drain-back-level",
    "level after draining back",
    Kind::Level,
)
.by(
    "the level after power-off with the water drained back through every line that ends under water above",
    "z: V(z) = V(z_power-off) + ΣV",
)
.from(SIPHON);
pub(super) static FREEBOARD_DRAIN_BACK: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-drain-back",
    "freeboard with the check valve leaking",
    Kind::Length,
)
.by(
    "rim level less the level after draining back",
    "F = z_rim − z_drain-back",
);
pub(super) static AIR_INLET_DEPTH: Definition = Definition::quantity(
    Scope::Lines,
    "air-inlet-depth",
    "air inlet below the upper still level",
    Kind::Length,
)
.by(
    "still level of the upper basin less the level of the air inlet",
    "d = z_still − z_inlet",
);
pub(super) static AIR_INLET_ABOVE_LOWER: Definition = Definition::quantity(
    Scope::Lines,
    "air-inlet-above-lower",
    "air inlet above the lower water",
    Kind::Length,
)
.by(
    "level of the air inlet less the highest level of the lower basin in that case",
    "d = z_inlet − z_drain-back",
);

/// A run that ends under water in a basin above the one its pump draws from.
struct Siphon<'a> {
    line: &'a Given<Line>,
    run: &'a Given<Run>,
    upper: &'a str,
    lower: &'a str,
}

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Vessels) {
    let mut siphons = Vec::new();
    for line in plan.lines.values() {
        ledger.enter(&SIPHONS_BACK, &line.place, |sheet| {
            match siphons_of(sheet, plan, line) {
                Ok(found) => {
                    let holds = !found.is_empty();
                    siphons.extend(found);
                    let because = if holds {
                        "it ends under water above its start"
                    } else {
                        "no end lies under water above its start"
                    };
                    Ok(Found::Verdict {
                        holds,
                        because: because.to_owned(),
                        at: None,
                    })
                }
                Err(gap) => Err(gap),
            }
        });
    }
    for siphon in &siphons {
        enter_line(ledger, plan, vessels, siphon);
    }
    enter_lower_basins(ledger, plan, vessels, &siphons);
}

fn siphons_of<'a>(
    sheet: &mut Sheet<'_>,
    plan: &'a Plan,
    line: &'a Given<Line>,
) -> Result<Vec<Siphon<'a>>, Gap> {
    let pump: Option<(&String, &Given<Pump>)> = line
        .from
        .value()
        .and_then(|ids| ids.0.first())
        .and_then(|id| plan.pumps.get_key_value(id));
    let lower = pump
        .and_then(|(_, pump)| pump.basin.value())
        .and_then(|id| plan.basins.get_key_value(id));
    let (lower_id, lower) = lower.ok_or_else(|| Gap::NotShown(vec![line.place.child("from")]))?;
    let ends: Vec<_> = line
        .runs
        .values()
        .filter(|run| run.to.value().is_some())
        .collect();
    if ends.is_empty() {
        return Err(Gap::NotShown(vec![line.place.child("runs")]));
    }
    let mut siphons = Vec::new();
    for run in ends {
        let form = run
            .discharge
            .given()
            .ok_or_else(|| Gap::NotShown(vec![run.place.child("discharge")]))?;
        match form.form.given() {
            None => return Err(Gap::NotShown(vec![form.place.child("form")])),
            Some(given) => sheet.note_place("form", &given.place),
        }
        let Some((upper_id, upper)) = run.to.value().and_then(|id| plan.basins.get_key_value(id)) else {
            continue;
        };
        let above = sheet.given("z_upper", &upper.still, &upper.place, "still")?
            - sheet.given("z_lower", &lower.still, &lower.place, "still")?;
        if form.form.value() == Some(&DischargeForm::Submerged) && above > 0.0 {
            siphons.push(Siphon {
                line,
                run,
                upper: upper_id,
                lower: lower_id,
            });
        }
    }
    Ok(siphons)
}

/// The figures of a line: what drains back with its air inlet and without.
fn enter_line(ledger: &mut Ledger, plan: &Plan, vessels: &Vessels, siphon: &Siphon<'_>) {
    let at = &siphon.line.place;
    for (definition, air) in [(&DRAIN_BACK_VOLUME, true), (&DRAIN_BACK_VOLUME_NO_AIR, false)] {
        ledger.enter(definition, at, |sheet| {
            let lower = sheet.figure("z_power-off", &POWER_OFF_LEVEL, &basin_place(siphon.lower))?;
            quantity(drained(sheet, plan, vessels, siphon, lower, air)?.volume)
        });
    }
    if let Shown::Is(inlet) = &siphon.line.air_inlet {
        ledger.enter(&AIR_INLET_DEPTH, at, |sheet| {
            let upper = &plan.basins[siphon.upper];
            let still = sheet.given("z_still", &upper.still, &upper.place, "still")?;
            quantity(still - sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?)
        });
    }
}

/// The figures of the basins that receive what drains back, one line after another.
fn enter_lower_basins(ledger: &mut Ledger, plan: &Plan, vessels: &Vessels, siphons: &[Siphon<'_>]) {
    for (id, basin) in &plan.basins {
        let own: Vec<_> = siphons.iter().filter(|siphon| siphon.lower == id).collect();
        if own.is_empty() {
            continue;
        }
        let at = &basin.place;
        ledger.enter(&DRAIN_BACK_LEVEL, at, |sheet| {
            let mut level = sheet.figure("z_power-off", &POWER_OFF_LEVEL, at)?;
            for siphon in &own {
                sheet.figure("V", &DRAIN_BACK_VOLUME, &siphon.line.place)?;
                level = drained(sheet, plan, vessels, siphon, level, true)?.lower_level;
            }
            quantity(level)
        });
        ledger.enter(&FREEBOARD_DRAIN_BACK, at, |sheet| {
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            quantity(rim - sheet.figure("z_drain-back", &DRAIN_BACK_LEVEL, at)?)
        });
        for siphon in own {
            let Shown::Is(inlet) = &siphon.line.air_inlet else {
                continue;
            };
            ledger.enter(&AIR_INLET_ABOVE_LOWER, &siphon.line.place, |sheet| {
                let inlet = sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?;
                quantity(inlet - sheet.figure("z_drain-back", &DRAIN_BACK_LEVEL, at)?)
            });
        }
    }
}

fn drained(
    sheet: &mut Sheet<'_>,
    plan: &Plan,
    vessels: &Vessels,
    siphon: &Siphon<'_>,
    lower_level: f64,
    with_air: bool,
) -> Result<Rest, Gap> {
    let upper = &plan.basins[siphon.upper];
    let upper_level = sheet.given("z_still", &upper.still, &upper.place, "still")?;
    let end = siphon
        .run
        .discharge
        .given()
        .ok_or_else(|| Gap::NotShown(vec![siphon.run.place.child("discharge")]))?;
    let mouth = sheet.given("z_mouth", &end.level, &end.place, "level")?;
    let air_inlet = match &siphon.line.air_inlet {
        Shown::Is(inlet) if with_air => Some(sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?),
        _ => None,
    };
    let (Vessel { storage: upper, .. }, Vessel { storage: lower, .. }) = (
        vessel::of(vessels, siphon.upper)?,
        vessel::of(vessels, siphon.lower)?,
    );
    let line = run_pipe(siphon.run, siphon.line)?;
    let nu = viscosity(plan).item;
    Ok(rest(&DrainBack {
        upper,
        upper_level,
        lower,
        lower_level,
        line: line.item,
        nu,
        mouth,
        air_inlet,
        outlet: None,
    }))
}

fn basin_place(id: &str) -> Place {
    Place::root().child("basins").child(id)
}
