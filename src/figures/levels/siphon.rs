//! Lines that can siphon back once the pumps stop and the check valves leak, and what their air inlets do about it.

use super::scenarios::{DRAIN_BACK_LEVEL, Source, enter_drain_back, supposed};
use crate::{
    hydraulics::{Outcome, Runs},
    ledger::{Definition, Found, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{Basin, DischargeForm, Given, Line, Plan, Pump, Run, Shown},
    quantity::Kind,
    read::Place,
};

const SIPHON: &str = "water balance of all basins routed in time; the siphon stops at the air inlet, at the mouth of the line, or where levels meet";

static SIPHONS_BACK: Definition =
    Definition::verdict(Scope::Lines, "siphons-back", "line that can siphon back").by(
        "it ends under water in a basin that stands higher than the one it starts in",
        "z_upper > z_lower",
    );
static DRAIN_BACK_VOLUME: Definition = Definition::quantity(
    Scope::Lines,
    "drain-back-volume",
    "water that drains back through a leaking check valve",
    Kind::Volume,
)
.by(
    "what passes back through its ends from the running levels until the siphon stops, with the air inlet as the plan shows it",
    "V = ∫Q·dt",
)
.from(SIPHON);
static DRAIN_BACK_VOLUME_NO_AIR: Definition = Definition::quantity(
    Scope::Lines,
    "drain-back-volume-no-air",
    "water that drains back without an air inlet",
    Kind::Volume,
)
.by(
    "what passes back through its ends from the running levels until the siphon stops without air",
    "V = ∫Q·dt",
)
.from(SIPHON);
static SIPHON_UPPER_LEVEL: Definition = Definition::quantity(
    Scope::Lines,
    "siphon-upper-level",
    "still level that can siphon back",
    Kind::Level,
)
.by(
    "still level of the highest basin that the line ends in under water",
    "z_upper = max z_still",
);
static AIR_INLET_DEPTH: Definition = Definition::quantity(
    Scope::Lines,
    "air-inlet-depth",
    "air inlet below the upper still level",
    Kind::Length,
)
.by(
    "still level of the highest upper basin less the level of the air inlet",
    "d = z_still − z_inlet",
);
static AIR_INLET_ABOVE_LOWER: Definition = Definition::quantity(
    Scope::Lines,
    "air-inlet-above-lower",
    "air inlet above the lower water",
    Kind::Length,
)
.by(
    "level of the air inlet less the highest level of the lower basin when the check valve leaks",
    "d = z_inlet − z_drain-back",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &SIPHONS_BACK,
    &DRAIN_BACK_VOLUME,
    &DRAIN_BACK_VOLUME_NO_AIR,
    &SIPHON_UPPER_LEVEL,
    &AIR_INLET_DEPTH,
    &AIR_INLET_ABOVE_LOWER,
];

/// A run that ends under water in a basin above the one its pump draws from.
struct Siphon<'a> {
    line: &'a Given<Line>,
    run: &'a Given<Run>,
    upper: &'a str,
    lower: &'a str,
}

/// Enters the figures of lines that can siphon back, and of the basins that receive what they bring.
pub(super) fn enter(ledger: &mut Ledger, source: &Source<'_>) {
    let plan = source.plan;
    let mut siphons = Vec::new();
    for line in plan.lines.values() {
        ledger.enter(&SIPHONS_BACK, &line.place, |sheet| {
            let found = siphons_of(sheet, plan, line)?;
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
        });
    }
    for of_line in siphons.chunk_by(|a, b| a.line.place == b.line.place) {
        enter_line(ledger, plan, source.runs, of_line);
    }
    enter_lower_basins(ledger, source, &siphons);
}

/// Which figures of a line are read from which scenario.
pub(super) static READ_FROM: [(&Definition, &str); 2] = [
    (&DRAIN_BACK_VOLUME, "check-valve-leaks"),
    (&DRAIN_BACK_VOLUME_NO_AIR, "air-inlet-blocked"),
];

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
    let mut gap: Option<Gap> = None;
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
                    Some(first) => first.and(further),
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
fn enter_line(ledger: &mut Ledger, plan: &Plan, runs: &Runs<'_, '_>, ends: &[Siphon<'_>]) {
    let Some(first) = ends.first() else { return };
    let at = &first.line.place;
    for (definition, scenario) in READ_FROM {
        ledger.enter(definition, at, |sheet| {
            let air = definition.name == DRAIN_BACK_VOLUME.name;
            note_ends(sheet, plan, ends, air)?;
            let back = runs.read(supposed(scenario), |outcome| drained(outcome, at))?;
            quantity(back.ok_or_else(|| Gap::NotComputed("the line is not modelled".to_owned()))?)
        });
    }
    let Some(highest) = highest(plan, ends) else {
        return;
    };
    ledger.enter(&SIPHON_UPPER_LEVEL, at, |sheet| {
        let upper = &plan.basins[highest.upper];
        quantity(sheet.given("z_still", &upper.still, &upper.place, "still")?)
    });
    if let Shown::Is(inlet) = &first.line.air_inlet {
        ledger.enter(&AIR_INLET_DEPTH, at, |sheet| {
            let upper = &plan.basins[highest.upper];
            let still = sheet.given("z_still", &upper.still, &upper.place, "still")?;
            quantity(still - sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?)
        });
    }
}

/// What came back through the ends of a line, m³; none where the line was not modelled.
fn drained(outcome: &Outcome, line: &Place) -> Option<f64> {
    let ends = outcome.siphons.iter().filter(|siphon| siphon.line == *line);
    ends.map(|siphon| siphon.volume.max(0.0)).reduce(|a, b| a + b)
}

fn note_ends(sheet: &mut Worksheet<'_>, plan: &Plan, ends: &[Siphon<'_>], air: bool) -> Result<(), Gap> {
    for siphon in ends {
        let upper = &plan.basins[siphon.upper];
        sheet.given("z_still", &upper.still, &upper.place, "still")?;
        let end = siphon
            .run
            .discharge
            .given()
            .ok_or_else(|| Gap::NotShown(vec![siphon.run.place.child("discharge")]))?;
        sheet.given("z_mouth", &end.level, &end.place, "level")?;
        if let (Shown::Is(inlet), true) = (&siphon.line.air_inlet, air) {
            sheet.given("z_inlet", &inlet.level, &inlet.place, "level")?;
        }
    }
    Ok(())
}

/// The end in the basin that stands highest, whatever the order of the file.
fn highest<'e, 'p>(plan: &Plan, ends: &'e [Siphon<'p>]) -> Option<&'e Siphon<'p>> {
    let still = |siphon: &Siphon<'_>| {
        plan.basins[siphon.upper]
            .still
            .value()
            .map_or(f64::MIN, |still| still.0)
    };
    ends.iter().min_by(|a, b| {
        still(b)
            .total_cmp(&still(a))
            .then_with(|| a.run.place.cmp(&b.run.place))
    })
}

/// The figures of the basins that receive what drains back.
fn enter_lower_basins(ledger: &mut Ledger, source: &Source<'_>, siphons: &[Siphon<'_>]) {
    for (id, basin) in &source.plan.basins {
        let own: Vec<_> = siphons.iter().filter(|siphon| siphon.lower == id).collect();
        if own.is_empty() {
            continue;
        }
        let at = &basin.place;
        enter_drain_back(ledger, source, basin, |sheet| {
            for ends in own.chunk_by(|a, b| a.line.place == b.line.place) {
                sheet.figure("V", &DRAIN_BACK_VOLUME, &ends[0].line.place)?;
            }
            Ok(())
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
