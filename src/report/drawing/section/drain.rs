//! Gravity lines: from where the water enters, through the wall and downhill into the other basin.

use super::{
    super::{
        levels::level,
        name_of,
        scene::{Point, Stroke, Tone},
    },
    Sheet,
    legend::Key,
};
use crate::plan::{Drain, Given, MouthForm};

/// Half the bore that a gravity line is drawn with, pt.
const HALF: f64 = 1.6;
/// How far its ends stand inside the walls, pt.
const INSIDE: f64 = 5.0;

impl Sheet<'_> {
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
        let (mouth, certain) = match upper {
            Some(upper) => self.mouth(upper, drain),
            None => (0.0, true),
        };
        let called = |sheet: &Self, id: Option<&String>| id.map_or("?", |id| sheet.called(id)).to_owned();
        match (upper, lower) {
            (Some(upper), Some(lower)) if upper != lower => {
                let turn = if upper < lower { 1.0 } else { -1.0 };
                let start = self.wall(upper, mouth, turn);
                let end = self.drain_end(lower, drain);
                let end = self.wall(lower, end, -turn);
                let way = [
                    [start[0] - turn * INSIDE, start[1]],
                    [start[0] + turn * INSIDE, start[1]],
                    [end[0] - turn * INSIDE, end[1]],
                    [end[0] + turn * INSIDE, end[1]],
                ];
                self.gravity_pipe(&way, certain);
                let middle = [f64::midpoint(start[0], end[0]), f64::midpoint(start[1], end[1])];
                self.float([middle[0], middle[1] + 10.0], name);
                self.anchors.push((drain.place.clone(), middle));
            }
            (Some(upper), _) => {
                let start = self.wall(upper, mouth, 1.0);
                let way = [[start[0] - INSIDE, start[1]], [start[0] + 12.0, start[1] + 4.0]];
                self.gravity_pipe(&way, certain);
                let words = format!("{name} to {}", called(self, to));
                self.float([start[0] + 14.0, start[1] + 12.0], &words);
                self.anchors.push((drain.place.clone(), start));
            }
            (None, Some(lower)) => {
                let end = self.drain_end(lower, drain);
                let end = self.wall(lower, end, -1.0);
                let way = [[end[0] - 12.0, end[1] - 4.0], [end[0] + INSIDE, end[1]]];
                self.gravity_pipe(&way, certain);
                let words = format!("{name} from {}", called(self, from));
                self.float([end[0] - 14.0, end[1] - 12.0], &words);
                self.anchors.push((drain.place.clone(), end));
            }
            (None, None) => {}
        }
    }

    /// The level of the mouth with its label, and whether it is shown.
    fn mouth(&mut self, index: usize, drain: &Given<Drain>) -> (f64, bool) {
        let mouth = drain.mouth.value();
        let form = mouth.and_then(|mouth| mouth.form.value());
        let name = match form {
            Some(MouthForm::Skimmer) => "skimmer lip",
            Some(MouthForm::Standpipe) => "standpipe rim",
            Some(MouthForm::BottomDrain) => "bottom drain",
            Some(MouthForm::WallPipe) | None => "pipe mouth",
        };
        if let Some(height) = mouth.and_then(|mouth| level(&mouth.level)) {
            self.label(index, name, height);
            return (height, true);
        }
        let levels = &self.basins[index].levels;
        let nominal = if form == Some(&MouthForm::BottomDrain) {
            levels.floor.level
        } else {
            levels.water()
        };
        self.ask(index, name, nominal, &drain.place.join("mouth/level"));
        (nominal, false)
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

    /// A pipe as two lines.
    pub(super) fn gravity_pipe(&mut self, way: &[Point], certain: bool) {
        let stroke = Stroke::solid(0.7, Tone::Ink).dashed_unless(certain);
        for out in [-HALF, HALF] {
            let side: Vec<Point> = way.iter().map(|[x, y]| [*x, *y + out]).collect();
            self.scene.line(&side, stroke);
        }
        self.explain(Key::Gravity);
    }
}
