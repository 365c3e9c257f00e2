//! The pumps stop and the check valves leak: what drains back through the lines, and where that ends.

use std::{cell::LazyCell, collections::HashMap};

use super::{
    POWER_OFF_LEVEL,
    simulated::{followed, highest},
};
use crate::{
    formulas::siphon::{DrainBack, Rest, rest},
    hydraulics::{
        HydraulicModel, Losses, run_pipe,
        storage::{self, BasinStorage, Storages},
    },
    ledger::{Definition, Found, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{Basin, DischargeForm, Given, Line, Plan, Pump, Run, Shown},
    quantity::Kind,
};

const SIPHON: &str = "water balance of two basins; the siphon stops at the air inlet, at the mouth of the line, or where levels meet";

pub(super) static SIPHONS_BACK: Definition =
    Definition::verdict(Scope::Lines, "siphons-back", "line that can siphon back").by(
        "it ends under water in a basin that stands higher than the one it starts in",
        "z_upper > z_lower",
    );
pub(super) static DRAIN_BACK_VOLUME: Definition =
    Definition::quantity(Scope::Lines, "drain-back-volume", "water that drains back through a leaking check valve", Kind::Volume)
        .by("water of each upper basin between its still level and the level at which the siphon stops, with the air inlet as the plan shows it", "V = V(z_still) − V(z_stop)")
        .from(SIPHON);
pub(super) static DRAIN_BACK_VOLUME_NO_AIR: Definition = Definition::quantity(
    Scope::Lines,
    "drain-back-volume-no-air",
    "water that drains back without an air inlet",
    Kind::Volume,
)
.by(
    "water of the upper basin between its still level and the level at which the siphon stops without air",
    "V = V(z_still) − V(z_stop)",
)
.from(SIPHON);
pub(crate) static DRAIN_BACK_LEVEL: Definition = Definition::quantity(
    Scope::Basins,
    "drain-back-level",
    "level after draining back",
    Kind::Level,
)
.by(
    "the level after power-off with the water drained back through every line that ends under water above; where a \
gravity line joins the basin, the highest level while it does",
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
    "still level of the highest upper basin less the level of the air inlet",
    "d = z_still − z_inlet",
);
pub(super) static AIR_INLET_ABOVE_LOWER: Definition = Definition::quantity(
    Scope::Lines,
    "air-inlet-above-lower",
    "air inlet above the lower water",
    Kind::Length,
)
.by(
    "level of the air inlet less the highest level of the lower basin while the line siphons",
    "d = z_inlet − z_drain-back",
);

/// A run that ends under water in a basin above the one its pump draws from.
struct Siphon<'a> {
    line: &'a Given<Line>,
    run: &'a Given<Run>,
    upper: &'a str,
    lower: &'a str,
}

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, works: &HydraulicModel<'_>) {
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
    for of_line in siphons.chunk_by(|a, b| a.line.place == b.line.place) {
        enter_line(ledger, plan, vessels, of_line);
    }
    enter_lower_basins(ledger, plan, vessels, works, &siphons);
}

fn siphons_of<'a>(
    sheet: &mut Worksheet<'_>,
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
    let mut gap = None;
    for run in ends {
        match upper_end(sheet, plan, run, lower) {
            Ok(upper) => siphons.extend(upper.map(|upper| Siphon {
                line,
                run,
                upper,
                lower: lower_id,
            })),
            Err(further) => {
                gap = Some(match gap {
                    Some(first) => Gap::and(first, further),
                    None => further,
                });
            }
        }
    }
    gap.map_or(Ok(siphons), Err)
}

/// The basin that a run ends in, where it ends under its water and above the basin that the pump draws from.
fn upper_end<'a>(
    sheet: &mut Worksheet<'_>,
    plan: &'a Plan,
    run: &'a Given<Run>,
    lower: &Given<Basin>,
) -> Result<Option<&'a str>, Gap> {
    let end = run
        .discharge
        .given()
        .ok_or_else(|| Gap::NotShown(vec![run.place.child("discharge")]))?;
    let form = end
        .form
        .given()
        .ok_or_else(|| Gap::NotShown(vec![end.place.child("form")]))?;
    sheet.note_place("form", &form.place);
    let Some((id, upper)) = run.to.value().and_then(|id| plan.basins.get_key_value(id)) else {
        return Ok(None);
    };
    let above = sheet.given("z_upper", &upper.still, &upper.place, "still")?
        - sheet.given("z_lower", &lower.still, &lower.place, "still")?;
    Ok((form.value == DischargeForm::Submerged && above > 0.0).then_some(id.as_str()))
}

/// The figures of a line, over all its ends: what drains back with its air inlet and without.
fn enter_line(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, ends: &[Siphon<'_>]) {
    let Some(first) = ends.first() else { return };
    let at = &first.line.place;
    let ends: Vec<&Siphon<'_>> = ends.iter().collect();
    for (definition, air) in [(&DRAIN_BACK_VOLUME, true), (&DRAIN_BACK_VOLUME_NO_AIR, false)] {
        ledger.enter(definition, at, |sheet| {
            let lower = sheet.figure("z_power-off", &POWER_OFF_LEVEL, &Plan::basin_place(first.lower))?;
            quantity(drained(sheet, plan, vessels, &ends, lower, air)?.volume)
        });
    }
    if let Shown::Is(inlet) = &first.line.air_inlet {
        let highest = highest_first(plan, &ends)[0];
        ledger.enter(&AIR_INLET_DEPTH, at, |sheet| {
            let upper = &plan.basins[highest.upper];
            let still = sheet.given("z_still", &upper.still, &upper.place, "still")?;
            quantity(still - sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?)
        });
    }
}

/// The figures of the basins that receive what drains back, one line after another.
fn enter_lower_basins(
    ledger: &mut Ledger,
    plan: &Plan,
    vessels: &Storages,
    works: &HydraulicModel<'_>,
    siphons: &[Siphon<'_>],
) {
    // Followed only where a gravity line asks for it, and then once.
    let leaking = LazyCell::new(|| followed(works, "check-valve-leaks"));
    for (id, basin) in &plan.basins {
        let own: Vec<_> = siphons.iter().filter(|siphon| siphon.lower == id).collect();
        if own.is_empty() {
            continue;
        }
        let at = &basin.place;
        ledger.enter(&DRAIN_BACK_LEVEL, at, |sheet| {
            let level = sheet.figure("z_power-off", &POWER_OFF_LEVEL, at)?;
            for ends in own.chunk_by(|a, b| a.line.place == b.line.place) {
                sheet.figure("V", &DRAIN_BACK_VOLUME, &ends[0].line.place)?;
            }
            let alone = drained(sheet, plan, vessels, &own, level, true)?.lower_level;
            // A gravity line passes on part of what comes: how much, only following the water tells.
            let joined = plan
                .drains
                .values()
                .any(|drain| [&drain.from, &drain.to].iter().any(|end| end.value() == Some(id)));
            quantity(if joined {
                highest(works, &leaking, at)?
            } else {
                alone
            })
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

/// What drains back through all of these.
struct Drained {
    /// Water that leaves the upper basins, m³.
    volume: f64,
    /// Level of the lower basin at the end, m.
    lower_level: f64,
}

/// Ends by the still level of their upper basins, whatever their order in the plan.
fn highest_first<'a, 's>(plan: &Plan, siphons: &[&'s Siphon<'a>]) -> Vec<&'s Siphon<'a>> {
    let still = |siphon: &Siphon<'_>| {
        plan.basins[siphon.upper]
            .still
            .value()
            .map_or(f64::MIN, |still| still.0)
    };
    let mut sorted = siphons.to_vec();
    sorted.sort_by(|a, b| {
        still(b)
            .total_cmp(&still(a))
            .then_with(|| a.run.place.cmp(&b.run.place))
    });
    sorted
}

/// Drains lines into one lower basin, the highest end first: each finds the levels that those before it left.
fn drained(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    vessels: &Storages,
    siphons: &[&Siphon<'_>],
    lower_level: f64,
    with_air: bool,
) -> Result<Drained, Gap> {
    let mut so_far = Drained {
        volume: 0.0,
        lower_level,
    };
    let mut upper_levels: HashMap<&str, f64> = HashMap::new();
    for siphon in highest_first(plan, siphons) {
        let upper = &plan.basins[siphon.upper];
        let still = sheet.given("z_still", &upper.still, &upper.place, "still")?;
        let upper_level = upper_levels.entry(siphon.upper).or_insert(still);
        let levels = (*upper_level, so_far.lower_level);
        let rest = drained_through(sheet, plan, vessels, siphon, levels, with_air)?;
        *upper_level = rest.upper_level;
        so_far.volume += rest.volume;
        so_far.lower_level = rest.lower_level;
    }
    Ok(so_far)
}

/// Drains one end of a line, from an upper and a lower level.
fn drained_through(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    vessels: &Storages,
    siphon: &Siphon<'_>,
    (upper_level, lower_level): (f64, f64),
    with_air: bool,
) -> Result<Rest, Gap> {
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
    let (BasinStorage { storage: upper, .. }, BasinStorage { storage: lower, .. }) = (
        storage::of(vessels, siphon.upper)?,
        storage::of(vessels, siphon.lower)?,
    );
    run_pipe(siphon.run, siphon.line, Losses::by(plan))?;
    Ok(rest(&DrainBack {
        upper,
        upper_level,
        lower,
        lower_level,
        mouth,
        air_inlet,
        outlet: None,
    }))
}
