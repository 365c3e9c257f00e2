//! Gravity lines: from where the water enters, through the wall and downhill into the other basin.

use super::{
    super::{
        levels::level,
        name_of,
        scene::{Fill, Point, Stroke, Tone},
    },
    CORRIDOR, SectionDrawing,
    equipment::SUMP,
    legend::Key,
};
use crate::plan::{Drain, Given, MouthForm};

/// Half the bore that a gravity line is drawn with, pt.
const HALF: f64 = 1.6;
/// How far its ends stand inside the walls, pt.
const INSIDE: f64 = 5.0;
/// How far outside the wall a line to or from another part of the drawing is drawn, pt.
const STUB: f64 = 12.0;

impl SectionDrawing<'_> {
    pub(super) fn drains(&mut self) {
        let plan = self.plan;
        for (id, drain) in &plan.drains {
            self.drain(id, drain);
        }
    }

    fn drain(&mut self, id: &str, drain: &Given<Drain>) {
        let place_of = |sheet: &Self, basin: Option<&String>| {
            sheet
                .basins
                .iter()
                .position(|shown| basin.is_some_and(|basin| basin == shown.id))
        };
        let (from, to) = (drain.from.value(), drain.to.value());
        let (upper, lower) = (place_of(self, from), place_of(self, to));
        let name = name_of(id, &drain.name);
        match (upper, lower) {
            (Some(upper), Some(lower)) if upper.abs_diff(lower) == 1 => {
                self.between(upper, lower, name, drain);
            }
            _ => {
                let called = |id: Option<&String>| id.map_or("?".to_owned(), |id| self.called(id).to_owned());
                let (from, to) = (called(from), called(to));
                if let Some(upper) = upper {
                    let (start, certain) = self.mouth(upper, drain, 1.0);
                    let way = [start, [start[0] + STUB, start[1] + 4.0]];
                    self.gravity_pipe(&way, certain);
                    self.float(
                        [start[0] + STUB, start[1] + 12.0],
                        way[1],
                        &format!("{name} to {to}"),
                    );
                    self.anchors.push((drain.place.clone(), start));
                }
                if let Some(lower) = lower.filter(|lower| Some(*lower) != upper) {
                    let end = self.drain_end(lower, drain);
                    let end = self.wall(lower, end, -1.0);
                    let way = [[end[0] - STUB, end[1] - 4.0], [end[0] + INSIDE, end[1]]];
                    self.gravity_pipe(&way, true);
                    self.float(
                        [end[0] - STUB, end[1] - 12.0],
                        way[0],
                        &format!("{name} from {from}"),
                    );
                    self.anchors.push((drain.place.clone(), end));
                }
            }
        }
    }

    /// Between basins that stand side by side: downhill beside the one whose labels stand away, level past the labels
    /// of the other.
    fn between(&mut self, upper: usize, lower: usize, name: &str, drain: &Given<Drain>) {
        let turn = if upper < lower { 1.0 } else { -1.0 };
        let (start, certain) = self.mouth(upper, drain, turn);
        let end = self.drain_end(lower, drain);
        let end = self.wall(lower, end, -turn);
        let labels_at_start = self.basins[upper].labels_left == (turn < 0.0);
        let (one, other) = if labels_at_start {
            (end[0] - turn * (CORRIDOR - 1.0), end[0] - turn * 2.0)
        } else {
            (start[0] + turn * 2.0, start[0] + turn * (CORRIDOR - 1.0))
        };
        let way = [
            start,
            [one, start[1]],
            [other, end[1]],
            [end[0] + turn * INSIDE, end[1]],
        ];
        self.gravity_pipe(&way, certain);
        let middle = [f64::midpoint(other, end[0]), end[1]];
        self.float([middle[0], middle[1] + 10.0], [middle[0], middle[1] + HALF], name);
        self.anchors.push((
            drain.place.clone(),
            [f64::midpoint(one, other), f64::midpoint(start[1], end[1])],
        ));
    }

    /// Where the water enters, at the wall of a turn, with its label, and whether that is shown.
    fn mouth(&mut self, index: usize, drain: &Given<Drain>, turn: f64) -> (Point, bool) {
        let mouth = drain.mouth.value();
        let form = mouth.and_then(|mouth| mouth.form.value());
        let height = mouth.and_then(|mouth| level(&mouth.level));
        let name = match form {
            Some(MouthForm::Skimmer) => "skimmer",
            Some(MouthForm::Standpipe) => "standpipe rim",
            Some(MouthForm::BottomDrain) => "bottom drain",
            Some(MouthForm::WallPipe) | None => "pipe mouth",
        };
        let levels = &self.basins[index].levels;
        let nominal = if form == Some(&MouthForm::BottomDrain) {
            levels.floor.level
        } else {
            levels.water()
        };
        self.label_or_ask(index, name, height, (nominal, &drain.place.join("mouth/level")));
        let at = self.wall(index, height.unwrap_or(nominal), turn);
        if form == Some(&MouthForm::Skimmer) {
            // From the sump of the skimmer, which stands at this wall.
            let side = at[0] - turn * self.skimmer_gap(index, turn);
            if self.basins[index].basin.skimmer.given().is_none() {
                let lip = self.skimmer_at(index, height, turn);
                return ([side, lip[1] + SUMP / 2.0], height.is_some());
            }
            if (self.skimmer_side(index) - turn).abs() < 1e-9 {
                return ([side, at[1] + SUMP / 2.0], height.is_some());
            }
        }
        ([at[0] - turn * INSIDE, at[1]], height.is_some())
    }

    /// Where it ends in the lower basin: as its discharge says, else under the water.
    fn drain_end(&self, index: usize, drain: &Given<Drain>) -> f64 {
        let discharge = drain.run.value().and_then(|run| run.discharge.value());
        let levels = &self.basins[index].levels;
        let under = levels.water() - 0.25 * (levels.water() - levels.floor.level).max(0.0);
        discharge
            .and_then(|discharge| level(&discharge.level))
            .unwrap_or(under)
    }

    /// A point of a basin's wall at a level: the right one for a turn of 1, the left one for −1.
    fn wall(&self, index: usize, level: f64, turn: f64) -> Point {
        let walls = self.walls_at(index, level);
        [if turn > 0.0 { walls.1 } else { walls.0 }, self.y(level)]
    }

    /// A pipe as two lines, over what it passes.
    pub(super) fn gravity_pipe(&mut self, way: &[Point], certain: bool) {
        let stroke = Stroke::solid(0.7, Tone::Ink).dashed_unless(certain);
        let side = |out: f64| {
            way.iter()
                .map(move |[x, y]| [*x, *y + out])
                .collect::<Vec<Point>>()
        };
        let band: Vec<Point> = side(-HALF)
            .into_iter()
            .chain(side(HALF).into_iter().rev())
            .collect();
        self.scene.area(&band, Fill::Paper, None);
        for out in [-HALF, HALF] {
            self.ink(&side(out), stroke);
        }
        self.explain_as(Key::Gravity, certain);
    }
}
