//! Basins that the pumped water passes by: a bed, a skimmer or a return through which nothing flows.

use super::{drains::DRAIN_FLOW, levels::THROUGH_FLOW, pumping::RUN_FLOW};
use crate::{
    ledger::{Answer, Definition, Found, Gap, Ledger, Scope, Worksheet},
    plan::{
        Basin, BasinKind, Drain, Given, MouthForm, Plan, Run,
        connections::{drains_from, ending, runs_into},
    },
    read::Place,
};

static WATER_PASSES: Definition = Definition::verdict(
    Scope::Basins,
    "water-passes",
    "water that runs through the basin while the pumps run",
)
.by(
    "flow into a bed, a pool or a basin with a fall, into each skimmer line that leaves the basin, and out of each line \
     that ends in it",
    "Q > 0",
);

pub(super) static DEFINITIONS: &[&Definition] = &[&WATER_PASSES];

/// Flow that counts as none, m³/s: 0.1 mL/s, far below what any gauge shows and above what the solver leaves over.
const NONE: f64 = 1e-7;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, basin) in &plan.basins {
        ledger.enter(&WATER_PASSES, &basin.place, |sheet| {
            passes(sheet, plan, id, basin)
        });
    }
}

fn passes(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let skimmers: Vec<&Given<Drain>> = open_skimmers(plan, id).collect();
    let returns: Vec<&Given<Run>> = open_ends(plan, id).collect();
    let fed = is_fed(plan, id, basin);
    if !fed && skimmers.is_empty() && returns.is_empty() {
        return Err(Gap::DoesNotApply("no pumped water is led through it".to_owned()));
    }
    if fed && inflow(sheet, plan, basin)? <= NONE {
        return dry(plan, basin);
    }
    for drain in skimmers {
        if sheet.figure("Q_skimmer", &DRAIN_FLOW, &drain.place)? <= NONE {
            return no("no water runs into its skimmer line", drain.place.child("mouth"));
        }
    }
    for run in returns {
        if sheet.figure("Q_run", &RUN_FLOW, &run.place)? <= NONE {
            return no("no water comes out of a line that ends in it", run.place.clone());
        }
    }
    Ok(Found::Verdict {
        holds: true,
        because: "water runs through it".to_owned(),
        at: None,
    })
}

/// Whether a basin is there for water to run through: beds, pools on a stream, and basins with a fall.
fn is_fed(plan: &Plan, id: &str, basin: &Basin) -> bool {
    let through = matches!(basin.kind.value(), Some(BasinKind::Bed | BasinKind::Pool));
    let spills = |from: &String| from == id;
    through
        || plan
            .falls
            .values()
            .any(|fall| fall.from.value().is_some_and(spills))
}

/// What comes in while the pumps run, m³/s; nothing where no pump moves its water though pumps are shown.
fn inflow(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Result<f64, Gap> {
    match sheet.figure("Q", &THROUGH_FLOW, &basin.place) {
        Err(Gap::DoesNotApply(_)) if !plan.pumps.is_empty() => Ok(0.0),
        other => other,
    }
}

/// Nothing comes in: a line that ends in its own pump's basin may have been meant for this one.
fn dry(plan: &Plan, basin: &Given<Basin>) -> Answer {
    let lines = plan.lines.values();
    let mut runs = lines.flat_map(|line| line.runs.values().map(move |run| (line, run)));
    let back = runs.find_map(|(line, run)| {
        let to = run.to.given()?;
        let pumps = line.from.value()?.0.iter().filter_map(|id| plan.pumps.get(id));
        let own = |basin: &String| ending(plan, &to.value) == Some(basin.as_str());
        let mut drawn = pumps.filter_map(|pump| pump.basin.value());
        drawn.any(own).then(|| to.place.clone())
    });
    match back {
        Some(at) => no(
            "no line, fall or drain brings it water, and a line ends in the basin its own pump draws from",
            at,
        ),
        None => no("no line, fall or drain brings it water", basin.place.clone()),
    }
}

#[allow(clippy::unnecessary_wraps, reason = "an answer, as every part is")]
fn no(because: &str, at: Place) -> Answer {
    Ok(Found::Verdict {
        holds: false,
        because: because.to_owned(),
        at: Some(at),
    })
}

/// The skimmer lines that leave a basin, but for those shut by a valve.
fn open_skimmers<'p>(plan: &'p Plan, id: &'p str) -> impl Iterator<Item = &'p Given<Drain>> {
    let skims = |drain: &&Given<Drain>| {
        let mouth = drain.mouth.value();
        mouth.is_some_and(|mouth| mouth.form.value() == Some(&MouthForm::Skimmer))
    };
    let open = |drain: &&Given<Drain>| drain.run.value().is_none_or(|run| run.shut.yes() != Some(true));
    drains_from(plan, id).filter(skims).filter(open)
}

/// The runs of pumped lines that end in a basin, but for those shut by a valve.
fn open_ends<'p>(plan: &'p Plan, id: &'p str) -> impl Iterator<Item = &'p Given<Run>> {
    let open = |run: &&Given<Run>| run.shut.yes() != Some(true);
    runs_into(plan, id).filter(open)
}
