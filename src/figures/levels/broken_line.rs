//! Every line breaks outside: how far the pumps draw a basin down, themselves or through a gravity line.

use super::scenarios::{Source, read};
use crate::{
    figures::basins::STILL_VOLUME,
    ledger::{Definition, Gap, Ledger, Scope, Worksheet, quantity},
    plan::{
        Basin, Given, Plan, Pump, Shown,
        connections::{drains_from, pumps_in},
    },
    quantity::Kind,
};

static LEFT_WHEN_LINE_BREAKS: Definition = Definition::quantity(
    Scope::Basins,
    "left-when-line-breaks",
    "water left when a line breaks",
    Kind::Share,
)
.by(
    "the least water left while every pumped line is broken and its pump runs on until its cut-off or its intake stops it, \
     divided by the water at still level",
    "r = V_least / V_still",
)
.from("water balance of all basins routed in time (see bywash review --cases)");

pub(crate) static DEFINITIONS: &[&Definition] = &[&LEFT_WHEN_LINE_BREAKS];

/// Which figure is read from which scenario.
pub(super) static READ_FROM: [(&Definition, &str); 1] = [(&LEFT_WHEN_LINE_BREAKS, "line-breaks")];

/// A line that breaks outside: the pumps draw their basins down until an intake or a cut-off stops them.
pub(super) fn enter(ledger: &mut Ledger, source: &Source<'_>, id: &str, basin: &Given<Basin>) {
    let plan = source.plan;
    if pumps_of(plan, id).next().is_none() && drains_from(plan, id).next().is_none() {
        return;
    }
    let at = &basin.place;
    ledger.enter(&LEFT_WHEN_LINE_BREAKS, at, |sheet| {
        if !note_stops(sheet, plan, id, &mut Vec::new())? {
            return Err(Gap::DoesNotApply("no pump draws it down".to_owned()));
        }
        let still = sheet.figure("V_still", &STILL_VOLUME, at)?;
        let left = read(source.runs, READ_FROM[0].1, at, |basin| basin.left)?;
        quantity(sheet.worked("V_least", left.min(still), Kind::Volume) / still)
    });
}

fn pumps_of<'p>(plan: &'p Plan, id: &str) -> impl Iterator<Item = &'p Given<Pump>> {
    pumps_in(plan, id).filter(move |pump| pump.draws_from(id))
}

/// Notes what stops the pumps that draw a basin down, themselves or through gravity lines; whether there are any. Basins
/// that stand above in `above` are on the way already: lines that lead round in a ring add nothing.
fn note_stops<'p>(
    sheet: &mut Worksheet<'_>,
    plan: &'p Plan,
    id: &'p str,
    above: &mut Vec<&'p str>,
) -> Result<bool, Gap> {
    if above.contains(&id) {
        return Ok(false);
    }
    above.push(id);
    let mut drawn = false;
    for pump in pumps_of(plan, id) {
        drawn = true;
        match &pump.low_level_cut_off {
            Shown::Is(cut_off) => sheet.note_given("z_stop", cut_off),
            _ => drop(sheet.given("z_stop", &pump.intake, &pump.place, "intake")?),
        }
    }
    for drain in drains_from(plan, id) {
        let to = drain
            .to
            .value()
            .ok_or_else(|| Gap::NotShown(vec![drain.place.child("to")]))?;
        if note_stops(sheet, plan, to, above)? {
            drawn = true;
            let missing = || Gap::NotShown(vec![drain.place.child("mouth")]);
            let mouth = drain.mouth.given().ok_or_else(missing)?;
            sheet.given("z_mouth", &mouth.level, &mouth.place, "level")?;
        }
    }
    above.pop();
    Ok(drawn)
}
