//! Static lift: the height from the water a pump draws from to the highest water or mouth it feeds.

use super::feeding::basin_of;
use crate::{
    figures::levels::RUNNING_LEVEL,
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, greatest, missing, quantity},
    plan::{DischargeForm, Given, Plan, Pump, Run, connections::lines_from},
    quantity::Kind,
};

static STATIC_LIFT: Definition = Definition::quantity(
    Scope::Pumps,
    "static-lift",
    "static lift while running",
    Kind::Length,
)
.by(
    "highest running level fed, or the mouth of a free outlet where that is higher, less the running level drawn from",
    "h_s = z_high − z_low",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[&STATIC_LIFT];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, id: &str, pump: &Given<Pump>) {
    let outlets: Vec<_> = lines_from(plan, id)
        .flat_map(|line| line.runs.values())
        .filter(|run| run.to.value().is_some())
        .collect();
    // A pump that another one follows in series ends in that one, not in water.
    if outlets.is_empty() {
        return;
    }
    ledger.enter(&STATIC_LIFT, &pump.place, |sheet| {
        static_lift(sheet, pump, &outlets)
    });
}

fn static_lift(sheet: &mut Worksheet<'_>, pump: &Given<Pump>, outlets: &[&Given<Run>]) -> Answer {
    let low = sheet.figure("z_low", &RUNNING_LEVEL, &basin_of(pump)?)?;
    let heights: Vec<_> = outlets
        .iter()
        .map(|run| sheet.aside(|sheet| outlet_level(sheet, run)))
        .collect();
    let nothing_settles_it = |_| false;
    let highest = greatest(sheet, heights, nothing_settles_it)?;
    quantity(highest.ok_or_else(|| missing(pump.place.child("basin")))? - low)
}

/// The level that the water of a run has to reach, m.
fn outlet_level(sheet: &mut Worksheet<'_>, run: &Given<Run>) -> Result<f64, Gap> {
    const SYMBOL: &str = "z_high";
    let to = run.to.value().ok_or_else(|| missing(run.place.child("to")))?;
    let basin = Plan::basin_place(to);
    let (water, noted) = sheet.aside(|sheet| sheet.figure(SYMBOL, &RUNNING_LEVEL, &basin));
    let water = water?;
    if let Some(discharge) = run.discharge.given()
        && discharge.form.value() == Some(&DischargeForm::Free)
        && let Some(mouth) = discharge.level.value()
        && mouth.0 > water
    {
        return sheet.given(SYMBOL, &discharge.level, &discharge.place, "level");
    }
    sheet.take(&noted);
    Ok(water)
}
