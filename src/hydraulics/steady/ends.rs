//! Where water leaves: the mouths of lines, and the rims and overflows by which it leaves for good.

use crate::{
    formulas::weir,
    hydraulics::components::{
        overflow::{OverflowPart, overflow},
        storage::{self, BasinStorage},
    },
    ledger::Gap,
    plan::{Basin, Given, Plan, Run},
    read::Place,
};

/// A rim or an overflow of a basin.
pub(super) struct OutletPart {
    pub basin: String,
    pub kind: Outlet,
    pub part: OverflowPart,
}

/// By what water leaves for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outlet {
    Rim,
    Overflow,
}

impl OutletPart {
    /// The level from which it lets water off, m.
    pub fn level(&self) -> f64 {
        match &self.part {
            OverflowPart::Lip { level, .. } => *level,
            OverflowPart::Pipe { pipe, .. } => pipe.level,
        }
    }
}

/// The rim and the overflow of a basin, as far as the plan shows them.
pub(super) fn outlets_of<'p>(
    id: &'p str,
    basin: &'p Given<Basin>,
    storage: &'p BasinStorage,
) -> impl Iterator<Item = OutletPart> + 'p {
    let rim = basin.rim.value().map(|rim| OverflowPart::Lip {
        crest: weir::Crest::in_open_water(
            weir::Edge::BroadStone,
            storage::rim_length(basin, &storage.storage),
        ),
        level: rim.0,
    });
    let overflow = basin.overflow.given().and_then(|shown| overflow(shown).ok());
    let both = [(Outlet::Rim, rim), (Outlet::Overflow, overflow)];
    both.into_iter().filter_map(move |(kind, part)| {
        Some(OutletPart {
            basin: id.to_owned(),
            kind,
            part: part?,
        })
    })
}

/// Level that the end of a run discharges at; none under the water of a basin. In a stream it discharges at its mouth,
/// or at the head of the stream where that is shown and the mouth is not.
pub(super) fn outlet_of(plan: &Plan, run: &Given<Run>) -> Result<Option<f64>, Gap> {
    let Some(stream) = run.to.value().and_then(|to| plan.streams.get(to)) else {
        return discharge_level(run, &run.place);
    };
    let mouth = run.discharge.value().and_then(|end| end.level.value());
    match mouth.or(stream.head.value()) {
        Some(level) => Ok(Some(level.0)),
        None => Err(Gap::NotShown(vec![run.place.child("discharge").child("level")])),
    }
}

/// Level of a free outlet, or none for one under water.
pub(super) fn discharge_level(run: &Run, at: &Place) -> Result<Option<f64>, Gap> {
    use crate::plan::DischargeForm::{Free, Submerged};
    let end = run
        .discharge
        .given()
        .ok_or_else(|| Gap::NotShown(vec![at.child("discharge")]))?;
    match end.form.value() {
        Some(Submerged) => Ok(None),
        Some(Free) => match end.level.value() {
            Some(level) => Ok(Some(level.0)),
            None => Err(Gap::NotShown(vec![end.place.child("level")])),
        },
        None => Err(Gap::NotShown(vec![end.place.child("form")])),
    }
}
