//! Pumps and their lines: over the rim of the pump's basin, through the ground, over the rim of the basin they feed.

use super::{
    super::{
        levels::level,
        name_of,
        scene::{Anchor, Bounds, Fill, Item, Point, Stroke, Text, Tone},
        text::fit,
    },
    SMALL, Sheet,
    legend::{Key, PIPE},
};
use crate::plan::{CheckValve, Given, Line, Run};

/// Distance of pipes that run side by side, pt.
const LANE: f64 = 4.0;
/// Height over a rim up to which an air inlet belongs to its basin, m.
const NEAR_RIM: f64 = 0.1;
/// Lanes drawn apart; further pipes share the last.
const LANES: usize = 3;

impl Sheet<'_> {
    /// Every pump, and every run that ends in or starts from a basin of this section.
    pub(super) fn lines(&mut self) {
        let plan = self.plan;
        let mut lane = 0;
        for (id, line) in &plan.lines {
            for run in line.runs.values() {
                let Some(to) = run.to.value() else { continue };
                if self.run(id, line, run, to, lane.min(LANES - 1)) {
                    lane += 1;
                }
            }
        }
        self.pumps();
    }

    fn pumps(&mut self) {
        let plan = self.plan;
        for (id, pump) in &plan.pumps {
            let Some(index) = pump.basin.value().and_then(|id| self.index_of(id)) else {
                continue;
            };
            let intake = level(&pump.intake);
            let drawn = intake.unwrap_or(self.nominal_intake(index));
            let at = [self.pump_x(index, id), self.y(drawn)];
            self.anchors.push((pump.place.clone(), at));
            self.pump_symbol(at);
            self.keep_free(at, 5.0);
            match intake {
                Some(intake) => self.label(index, "intake", intake),
                None => self.ask(index, "intake", drawn, &pump.place.child("intake")),
            }
            self.explain(Key::Pump);
        }
    }

    fn index_of(&self, id: &str) -> Option<usize> {
        self.basins.iter().position(|shown| shown.id == id)
    }

    /// Where a pump is drawn whose intake is not shown: a little above the floor.
    fn nominal_intake(&self, index: usize) -> f64 {
        let levels = &self.basins[index].levels;
        levels.floor.level + 0.15 * (levels.still.level - levels.floor.level).max(0.0)
    }

    /// Where a pump stands across its basin: the first near the right wall, others to its left.
    fn pump_x(&self, index: usize, id: &str) -> f64 {
        let shown = &self.basins[index];
        let wide = shown.inside.1 - shown.inside.0;
        let beside = self
            .plan
            .pumps
            .iter()
            .filter(|(_, pump)| pump.basin.value().is_some_and(|basin| basin == shown.id));
        let before = beside.take_while(|(other, _)| *other != id).count();
        let step = (before as f64 * 13.0).min(wide * 0.5);
        shown.inside.1 - (wide * 0.2).min(26.0) - step
    }

    /// Draws the way of one run; whether any of it lies in this section.
    fn run(&mut self, id: &str, line: &Given<Line>, run: &Given<Run>, to: &str, lane: usize) -> bool {
        let plan = self.plan;
        let pump_id = line.from.value().and_then(|ids| ids.0.first());
        let pump = pump_id.and_then(|id| plan.pumps.get(id));
        let source = pump
            .and_then(|pump| pump.basin.value())
            .and_then(|basin| self.index_of(basin));
        let target = self.index_of(to);
        if source.is_none() && target.is_none() {
            return false;
        }
        let step = lane as f64 * LANE;
        let deep = self.y(self.bottom) + 9.0 + step;
        let mut way: Vec<Point> = Vec::new();
        if let Some(index) = source {
            let intake = pump.and_then(|pump| level(&pump.intake));
            let intake = self.y(intake.unwrap_or(self.nominal_intake(index)));
            let x = self.pump_x(index, pump_id.map_or("", String::as_str));
            let over = self.y(self.basins[index].levels.rim.level) - 4.0 - step / 2.0;
            let out = self.basins[index].inside.1 + 5.0 + step;
            way.extend([[x, intake], [x, over], [out, over], [out, deep]]);
        }
        let mut name_at = [0.0, deep];
        if let Some(index) = target {
            let shown = &self.basins[index];
            let over = self.y(shown.levels.rim.level) - 4.0 - step / 2.0;
            let out = shown.inside.0 - 5.0 - step;
            let inner = shown.inside.0 + 11.0 + step;
            let mouth = run
                .discharge
                .value()
                .and_then(|discharge| level(&discharge.level));
            let nominal = f64::midpoint(shown.levels.water(), shown.levels.floor.level);
            let end = self.y(mouth.unwrap_or(nominal));
            if way.is_empty() {
                way.push([out - 24.0, deep]);
            }
            way.extend([[out, deep], [out, over], [inner, over], [inner, end]]);
            name_at[0] = f64::midpoint(way.first().map_or(out, |first| first[0].max(out)), out);
            match mouth {
                Some(mouth) => self.label(index, "line mouth", mouth),
                None => self.ask(index, "line mouth", nominal, &run.place.join("discharge/level")),
            }
            self.pipe(&way);
            self.arrow([inner, end]);
            self.air_inlet(index, line, inner);
        } else {
            let last = way.last().copied().unwrap_or_default();
            way.push([(last[0] - 30.0).max(super::LEFT), deep]);
            name_at[0] = last[0] - 15.0;
            self.pipe(&way);
        }
        if let Some(index) = source {
            let out = self.basins[index].inside.1 + 5.0 + step;
            let over = self.y(self.basins[index].levels.rim.level) - 4.0;
            self.check_valve(line, [out, f64::midpoint(over, deep)]);
        }
        self.anchors.push((run.place.clone(), name_at));
        self.anchors.push((line.place.clone(), name_at));
        self.name_line(id, line, (source, target), (pump_id, to), name_at);
        self.explain(Key::Line);
        true
    }

    fn name_line(
        &mut self,
        id: &str,
        line: &Line,
        ends: (Option<usize>, Option<usize>),
        (pump, to): (Option<&String>, &str),
        at: Point,
    ) {
        let name = name_of(id, &line.name);
        let words = match ends {
            (Some(_), None) => format!("{name} to {}", self.called(to)),
            (None, Some(_)) => match pump {
                Some(id) => {
                    let pump = self.plan.pumps.get(id).map(|pump| &pump.name);
                    let pump = pump.map_or(id.as_str(), |name| name_of(id, name));
                    format!("{name} from {pump}")
                }
                None => name.to_owned(),
            },
            _ => name.to_owned(),
        };
        let words = fit(&words, SMALL, false, 150.0);
        if self.floating.iter().all(|(_, text)| text.text != words) {
            let text = Text::new(at, Anchor::Start, SMALL, words);
            self.floating.push(([at[0], at[1] + 9.0], text));
        }
    }

    fn pipe(&mut self, way: &[Point]) {
        self.scene.line(way, PIPE);
    }

    fn arrow(&mut self, [x, y]: Point) {
        let corners = [[x - 3.0, y - 5.0], [x + 3.0, y - 5.0], [x, y]];
        self.scene.area(&corners, Fill::Ink, None);
    }

    fn check_valve(&mut self, line: &Given<Line>, at: Point) {
        // A branched line has one, however many of its branches are drawn.
        let place = line.place.child("check_valve");
        if self.anchors.iter().any(|(known, _)| *known == place) {
            return;
        }
        let valve: Option<&Given<CheckValve>> = line.check_valve.given();
        self.anchors.push((place, at));
        if valve.is_some() {
            self.check_valve_symbol(at, false);
            self.keep_free(at, 4.0);
            self.explain(Key::CheckValve);
        }
    }

    fn air_inlet(&mut self, index: usize, line: &Given<Line>, x: f64) {
        let place = line.place.child("air_inlet");
        if self.anchors.iter().any(|(known, _)| *known == place) {
            return;
        }
        let Some(inlet) = line.air_inlet.given() else {
            let shown = &self.basins[index];
            let at = [x, self.y(shown.levels.still.level) + 6.0];
            self.anchors.push((place, at));
            return;
        };
        let height = level(&inlet.level);
        let levels = &self.basins[index].levels;
        let nominal = levels.still.level;
        let inside = levels.floor.level..=levels.rim.level + NEAR_RIM;
        // On a line with branches the inlet is teed off the one whose basin it lies in.
        let outlets = line.runs.values().filter(|run| run.to.value().is_some());
        if outlets.count() > 1 && height.is_some_and(|height| !inside.contains(&height)) {
            return;
        }
        let at = [x, self.y(height.unwrap_or(nominal))];
        self.air_inlet_symbol(at, 1.0);
        self.keep_free([at[0] + 6.0, at[1]], 5.0);
        self.anchors.push((place, [x + 6.0, at[1]]));
        match height {
            Some(height) => self.label(index, "air inlet", height),
            None => self.ask(index, "air inlet", nominal, &inlet.place.child("level")),
        }
        self.explain(Key::AirInlet);
    }

    pub(super) fn pump_symbol(&mut self, [x, y]: Point) {
        self.disc([x, y], 4.6, Stroke::solid(0.9, Tone::Ink), Some(Fill::Paper));
        let blade = [[x - 2.6, y + 2.4], [x + 2.6, y + 2.4], [x, y - 3.6]];
        self.scene.area(&blade, Fill::Ink, None);
    }

    /// A triangle against a bar: water passes the way the triangle points.
    pub(super) fn check_valve_symbol(&mut self, [x, y]: Point, along: bool) {
        let ink = Stroke::solid(0.9, Tone::Ink);
        let turned = |[dx, dy]: Point| if along { [x + dy, y + dx] } else { [x + dx, y + dy] };
        let triangle = [[-3.2, -3.4], [3.2, -3.4], [0.0, 2.4]].map(turned);
        self.scene.area(&triangle, Fill::Paper, Some(ink));
        self.scene.line(&[[-3.4, 3.0], [3.4, 3.0]].map(turned), ink);
    }

    /// A short branch with an open end.
    pub(super) fn air_inlet_symbol(&mut self, [x, y]: Point, turn: f64) {
        self.scene
            .line(&[[x, y], [x + turn * 6.0, y]], Stroke::solid(1.2, Tone::Ink));
        let ring = Stroke::solid(0.8, Tone::Ink);
        self.disc([x + turn * 8.2, y], 2.2, ring, Some(Fill::Paper));
    }

    /// Keeps texts and marks off a symbol.
    fn keep_free(&mut self, [x, y]: Point, radius: f64) {
        let side = 2.0 * radius;
        self.taken
            .claim(Bounds::at([x - radius, y - radius], [side, side]));
    }

    fn disc(&mut self, at: Point, radius: f64, stroke: Stroke, fill: Option<Fill>) {
        self.scene.items.push(Item::Disc {
            at,
            radius,
            stroke,
            fill,
        });
    }
}
