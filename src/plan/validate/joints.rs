//! Runs that meet again, and gravity lines.

use super::Sense;
use crate::{
    plan::{Drain, Given, Line, Pump, Run, Shown},
    read::ProblemKind,
    text::shown,
};

impl<'a> Sense<'a> {
    /// A run that joins another: two ways from one joint to another, and nothing else.
    pub(super) fn joint(&mut self, line: &'a Given<Line>, id: &str, run: &'a Given<Run>) {
        let Shown::Is(joins) = &run.joins else { return };
        let name = shown(id);
        let Some(met) = line.runs.get(&joins.value) else {
            let known: Vec<&String> = line.runs.keys().collect();
            return self.unknown(&joins.place, &joins.value, "run", &known);
        };
        let fault = if run.to.value().is_some() {
            (
                format!("run `{name}` ends in a basin and joins a run"),
                "it can only do one of the two",
            )
        } else if met.to.value().is_some() {
            (
                format!("run `{name}` joins one that ends in a basin"),
                "end it in that basin with `to`",
            )
        } else if met.joins.value().is_some() {
            (
                format!("run `{name}` joins one that itself joins another"),
                "name the run both of them meet",
            )
        } else if follows(line, id, &joins.value) || follows(line, &joins.value, id) {
            (
                format!("run `{name}` joins a run of its own way"),
                "comes back to where it started",
            )
        } else {
            return;
        };
        self.tell(ProblemKind::Joint, &joins.place, fault.0, fault.1);
    }

    /// A pump in series follows another that draws from the same basin, and not itself.
    pub(super) fn series(&mut self, pump: &'a Given<Pump>) {
        let Shown::Is(after) = &pump.after else { return };
        let pumps = &self.plan.pumps;
        let Some(before) = pumps.get(&after.value) else {
            let known: Vec<&String> = pumps.keys().collect();
            return self.unknown(&after.place, &after.value, "pump", &known);
        };
        let next = |pump: &&'a Given<Pump>| pump.after.value().and_then(|id| pumps.get(id));
        if std::iter::successors(Some(pump), next)
            .take(pumps.len() + 1)
            .count()
            > pumps.len()
        {
            self.tell(
                ProblemKind::Circle,
                &after.place,
                "these pumps follow one another in a circle",
                "comes back to where it started",
            );
        } else if before.basin.value() != pump.basin.value() {
            self.tell(
                ProblemKind::Joint,
                &after.place,
                "a pump in series draws from the basin of the pump it follows",
                "that pump draws from another basin",
            );
        }
    }

    /// A gravity line leads from one basin to another.
    pub(super) fn drain(&mut self, drain: &'a Given<Drain>) {
        self.basin_id(&drain.from);
        self.basin_id(&drain.to);
        if drain.from.value().is_some() && drain.from.value() == drain.to.value() {
            self.tell(
                ProblemKind::Circle,
                &drain.place.child("to"),
                "this drain ends in the basin it starts from",
                "the same basin",
            );
        }
        if let Shown::Is(run) = &drain.run {
            let ends = [("after", &run.after), ("joins", &run.joins), ("to", &run.to)];
            for (key, end) in ends {
                if let Shown::Is(end) = end {
                    self.tell(
                        ProblemKind::Joint,
                        &end.place,
                        format!("the pipe of a drain has no `{key}`"),
                        "a drain runs from its mouth to the basin in its own `to`",
                    );
                }
            }
            self.pieces(run);
        }
    }
}

/// Whether a run is the other one or comes after it.
fn follows(line: &Line, run: &str, other: &str) -> bool {
    let mut at = run;
    for _ in 0..=line.runs.len() {
        if at == other {
            return true;
        }
        match line.runs.get(at).and_then(|run| run.after.value()) {
            Some(after) => at = after,
            None => return false,
        }
    }
    false
}
