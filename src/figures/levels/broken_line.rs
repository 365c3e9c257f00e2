//! Every line breaks outside: how far the pumps draw a basin down, themselves or through a gravity line.

use crate::{
    hydraulics::storage::{self, Storages},
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{Basin, Drain, Given, Plan, Pump, Shown},
    quantity::Kind,
};

pub(super) static LEFT_WHEN_LINE_BREAKS: Definition = Definition::quantity(
    Scope::Basins,
    "left-when-line-breaks",
    "water left when a line breaks",
    Kind::Share,
)
.by(
    "water up to the level at which it is drawn no further, divided by the water at still level: the lowest at which a pump in \
     it stops, or a gravity line to a basin with a pump: its mouth, or the level there, whichever is higher",
    "r = V_stop / V_still",
);

/// A line that breaks outside: the pumps draw their basins down until an intake or a cut-off stops them.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages, id: &str, basin: &Given<Basin>) {
    if pumps_of(plan, id).next().is_none() && drains_of(plan, id).next().is_none() {
        return;
    }
    ledger.enter(&LEFT_WHEN_LINE_BREAKS, &basin.place, |sheet| {
        let stops = stop_level_of(sheet, plan, id, &mut Vec::new())?;
        let stops = stops.ok_or_else(|| Gap::DoesNotApply("no pump draws it down".to_owned()))?;
        let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
        let storage = &storage::of(vessels, id)?.storage;
        let left = sheet.worked("V_stop", storage.volume(stops.min(still)), Kind::Volume);
        quantity(left / sheet.worked("V_still", storage.volume(still), Kind::Volume))
    });
}

fn pumps_of<'p>(plan: &'p Plan, id: &str) -> impl Iterator<Item = &'p Given<Pump>> {
    plan.pumps.values().filter(move |pump| pump.draws_from(id))
}

fn drains_of<'p>(plan: &'p Plan, id: &str) -> impl Iterator<Item = &'p Given<Drain>> {
    let leaves = move |drain: &&Given<Drain>| drain.from.value().is_some_and(|from| from == id);
    plan.drains.values().filter(leaves)
}

/// The level at which a basin is drawn no further; none where no pump draws it down. Basins that stand above in
/// `above` are on the way already: lines that lead round in a ring add nothing.
fn stop_level_of<'p>(
    sheet: &mut Worksheet<'_>,
    plan: &'p Plan,
    id: &'p str,
    above: &mut Vec<&'p str>,
) -> Result<Option<f64>, Gap> {
    if above.contains(&id) {
        return Ok(None);
    }
    above.push(id);
    let mut lowest: Option<f64> = None;
    for pump in pumps_of(plan, id) {
        let stop = stop_level(sheet, pump)?;
        lowest = Some(lowest.map_or(stop, |lowest| lowest.min(stop)));
    }
    for drain in drains_of(plan, id) {
        let to = drain
            .to
            .value()
            .ok_or_else(|| Gap::NotShown(vec![drain.place.child("to")]))?;
        if let Some(below) = stop_level_of(sheet, plan, to, above)? {
            let stop = below.max(mouth_level(sheet, drain)?);
            lowest = Some(lowest.map_or(stop, |lowest| lowest.min(stop)));
        }
    }
    above.pop();
    Ok(lowest)
}

fn mouth_level(sheet: &mut Worksheet<'_>, drain: &Given<Drain>) -> Result<f64, Gap> {
    let missing = || Gap::NotShown(vec![drain.place.child("mouth")]);
    let mouth = drain.mouth.given().ok_or_else(missing)?;
    sheet.given("z_mouth", &mouth.level, &mouth.place, "level")
}

fn stop_level(sheet: &mut Worksheet<'_>, pump: &Given<Pump>) -> Result<f64, Gap> {
    match (&pump.low_level_cut_off, &pump.intake) {
        (Shown::Is(cut_off), _) => {
            sheet.note_given("z_stop", cut_off);
            Ok(cut_off.value.0)
        }
        _ => sheet.given("z_stop", &pump.intake, &pump.place, "intake"),
    }
}
