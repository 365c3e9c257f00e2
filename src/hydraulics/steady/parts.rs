//! The parts of a circuit and their pieces, and what stands round each basin.

use std::collections::HashMap;

use indexmap::IndexMap;

use super::{around::Around, ends::OutletPart};
use crate::{
    formulas::{gravity_pipe, pipe, pump::Curve, weir},
    hydraulics::components::{bed::BedPart, piece::Piece, storage::BasinStorage},
    ledger::Gap,
    plan::{Drain, Fall, Given, Line, Pump, Run},
    read::Place,
};

/// The objects of a circuit and their pieces.
pub(super) struct Parts<'a> {
    pub pumps: Vec<PumpPart<'a>>,
    pub runs: Vec<RunPart<'a>>,
    pub falls: Vec<FallPart<'a>>,
    /// Falls that leave streams, each with what passes its crest.
    pub cascades: Vec<Cascade<'a>>,
    pub drains: Vec<DrainPart<'a>>,
    pub beds: Vec<BedPart<'a>>,
    /// Rims and overflows, by which water leaves for good.
    pub outlets: Vec<OutletPart>,
    /// Still level and vessel of each basin.
    pub basins: IndexMap<String, (f64, &'a BasinStorage)>,
    /// What stands round each basin.
    pub around: Around,
    /// The pumps by their ids, and those that feed each line by its place.
    pub pump_ids: HashMap<String, usize>,
    pub feeding: HashMap<&'a Place, Vec<usize>>,
}

impl Parts<'_> {
    /// Whether a fall or a drain leaves a basin that water comes to; one whose own pumps only play back into it keeps
    /// the water it has.
    pub fn leaves(&self, id: &str) -> bool {
        self.around.of(id).leaves
    }

    /// The pumps that feed a line, by their positions.
    pub fn feeding(&self, line: &Given<Line>) -> &[usize] {
        self.feeding.get(&line.place).map_or(&[], Vec::as_slice)
    }

    /// Whether every pump of a run’s line draws from a basin.
    pub fn is_own(&self, run: &RunPart<'_>, id: &str) -> bool {
        let basin = |at: &usize| self.pumps[*at].pump.basin.value();
        self.feeding(run.line)
            .iter()
            .all(|at| basin(at).is_some_and(|basin| basin == id))
    }

    /// Looks up what stands round each basin.
    pub fn look_round(&mut self) {
        self.pump_ids = (self.pumps.iter().map(PumpPart::id).zip(0..)).collect();
        for part in &self.runs {
            let ids = part.line.from.value().map_or(&[][..], |ids| ids.0.as_slice());
            let pumps = || {
                let mut pumps: Vec<usize> = ids
                    .iter()
                    .filter_map(|id| self.pump_ids.get(id))
                    .copied()
                    .collect();
                pumps.sort_unstable();
                pumps.dedup();
                pumps
            };
            self.feeding.entry(&part.line.place).or_insert_with(pumps);
        }
        let mut around = Around::default();
        for (at, part) in self.falls.iter().enumerate() {
            if let Some(from) = part.fall.from.value() {
                let above = around.at(from);
                above.falls_out.push(at);
                above.lowest_lip = above.lowest_lip.min(part.level);
            }
            around.at(&part.to).falls_in.push(at);
        }
        for (at, part) in self.drains.iter().enumerate() {
            let above = around.at(part.from);
            above.drains_out.push(at);
            if !part.shut() {
                above.lowest_lip = above.lowest_lip.min(part.piece.item.level);
            }
            around.at(part.to).drains_in.push(at);
        }
        for (at, part) in self.pumps.iter().enumerate() {
            if let (Some(basin), None) = (part.pump.basin.value(), part.pump.after.value()) {
                around.at(basin).pumps.push(at);
            }
        }
        for (at, part) in self.runs.iter().enumerate() {
            if let Some(to) = part.to {
                around.at(to).runs_in.push(at);
            }
        }
        for (at, part) in self.outlets.iter().enumerate() {
            around.at(&part.basin).outlets.push(at);
        }
        for id in self.basins.keys() {
            let found = around.of(id);
            let spills = !(found.falls_out.is_empty() && found.drains_out.is_empty());
            let mut runs = found.runs_in.iter().map(|at| &self.runs[*at]);
            let goes_round = !found.runs_in.is_empty()
                && found.falls_in.is_empty()
                && found.drains_in.is_empty()
                && runs.all(|part| self.is_own(part, id));
            around.at(id).leaves = spills && !goes_round;
        }
        self.around = around;
    }
}

/// A pump, with its suction run where it stands dry.
pub(super) struct PumpPart<'a> {
    pub pump: &'a Given<Pump>,
    pub curve: Piece<Curve>,
    pub suction: Option<Piece<pipe::Run>>,
    pub valve: Option<Piece<pipe::Run>>,
}

impl PumpPart<'_> {
    pub fn id(&self) -> String {
        self.pump.place.key()
    }
}

/// A run of a line.
pub(super) struct RunPart<'a> {
    pub line: &'a Given<Line>,
    pub id: &'a str,
    pub run: &'a Given<Run>,
    pub pipe: Piece<pipe::Run>,
    /// The basin its water ends in, where the run ends: its own, or the one below its stream.
    pub to: Option<&'a str>,
    /// Level of a free outlet.
    pub outlet: Option<f64>,
}

impl RunPart<'_> {
    /// Id of the run at whose end this one ends: its own, or the one it joins.
    pub fn end(&self) -> &str {
        end_of(self.line, self.id)
    }

    /// Whether it ends under water in a basin.
    pub fn rises_in(&self, id: &str) -> bool {
        self.outlet.is_none() && self.to == Some(id)
    }

    /// Whether a valve in it stands shut.
    pub fn shut(&self) -> bool {
        self.run.shut.yes() == Some(true)
    }
}

impl FallPart<'_> {
    /// Whether water at a level below stands over the crest; a stream between keeps it away.
    pub fn drowned_by(&self, below: f64) -> bool {
        below > self.level && self.fall.to.value() == Some(&self.to)
    }
}

/// A gravity line.
pub(super) struct DrainPart<'a> {
    pub drain: &'a Given<Drain>,
    pub from: &'a str,
    pub to: &'a str,
    pub piece: Piece<gravity_pipe::GravityPipe>,
    /// Level of a free outlet.
    pub outlet: Option<f64>,
}

impl DrainPart<'_> {
    /// Whether a valve in it stands shut.
    pub fn shut(&self) -> bool {
        self.drain
            .run
            .value()
            .is_some_and(|run| run.shut.yes() == Some(true))
    }

    /// The level it works against, for water at a level in the basin below, m.
    pub fn against(&self, below: f64) -> f64 {
        self.outlet.map_or(below, |outlet| outlet.max(below))
    }
}

/// A fall and the basin its water ends in.
pub(super) struct FallPart<'a> {
    pub fall: &'a Given<Fall>,
    pub to: String,
    pub level: f64,
    pub crest: Piece<weir::Crest>,
}

/// A fall that leaves a stream: it passes what the stream brings.
pub(super) struct Cascade<'a> {
    pub fall: &'a Given<Fall>,
    /// The stream it leaves.
    pub stream: &'a str,
    pub crest: Result<Piece<weir::Crest>, Gap>,
}

/// Id of the run at whose end a run ends: its own, or the one it joins.
pub(super) fn end_of<'a>(line: &'a Line, id: &'a str) -> &'a str {
    let joins = line.runs.get(id).and_then(|run| run.joins.value());
    joins.map_or(id, String::as_str)
}
