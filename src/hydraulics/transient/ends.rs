//! Where lines end: what a plan says of their mouths and of the runs that lead there.

use crate::{
    formulas::gravity_pipe,
    ledger::Gap,
    plan::{DischargeForm, Given, Line, Measure, Plan, Run, Shown},
    read::Place,
};

/// The runs from the pump to the end of a run, the last first.
pub(super) fn upstream<'l>(line: &'l Line, id: &str) -> Vec<&'l str> {
    let known = |id: &str| line.runs.get_key_value(id).map(|(id, _)| id.as_str());
    let before = |id: &&'l str| line.runs[*id].after.value().and_then(|before| known(before));
    std::iter::successors(known(id), before)
        .take(line.runs.len())
        .collect()
}

/// Level of a free outlet, m; an outlet in a stream is one, at its mouth or else at the head of the stream.
pub(super) fn free_outlet(plan: &Plan, run: &Run) -> Option<f64> {
    let end = run.discharge.value();
    let level = end.and_then(|end| end.level.value());
    if let Some(stream) = run.to.value().and_then(|id| plan.streams.get(id)) {
        return level.or(stream.head.value()).map(|level| level.si());
    }
    let free = end.and_then(|end| end.form.value()) == Some(&DischargeForm::Free);
    level.filter(|_| free).map(|level| level.si())
}

/// A drowned mouth passes water as a riser once the water above falls to it, and none below it.
pub(super) fn down_to_its_mouth(pipe: gravity_pipe::GravityPipe) -> gravity_pipe::GravityPipe {
    let mouth = match pipe.mouth {
        gravity_pipe::Mouth::Submerged => gravity_pipe::Mouth::Riser,
        other => other,
    };
    gravity_pipe::GravityPipe { mouth, ..pipe }
}

/// Level of the mouth at the end of a run, m, free or under water.
pub(super) fn mouth_level(run: &Run) -> Option<f64> {
    let end = run.discharge.value()?;
    end.level.value().map(|level| level.si())
}

/// Where the plan shows its make-up.
pub(super) fn make_up_place() -> Place {
    Place::root().child("water").child("make_up")
}

pub(super) fn mouth(run: &Given<Run>) -> Result<f64, Gap> {
    let Shown::Is(end) = &run.discharge else {
        return Err(Gap::NotShown(vec![run.place.child("discharge")]));
    };
    let level = end.level.value().map(|level| level.si());
    level.ok_or_else(|| Gap::NotShown(vec![end.place.child("level")]))
}
