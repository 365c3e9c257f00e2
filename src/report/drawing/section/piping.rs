//! Pumps and their lines: over the rim of the pump's basin, along grade at their depth, over the rim of the basin they feed.

use super::{
    super::{
        levels::level,
        name_of,
        scene::{Anchor, Bounds, Fill, Item, Pattern, Point, Stroke, Text, Tone},
        text::{fit, width},
    },
    Floating, HEAD, SMALL, SectionDrawing, WIDTH,
    legend::{Key, PIPE},
    pumps::{LinePumps, PAST},
};
use crate::{
    plan::{Given, Line, Measure, Run, Shown},
    read::Place,
};

/// Distance of pipes that run side by side, pt.
const LANE: f64 = 4.0;
/// Distance of the first pipe from the wall it passes, and its height over the rim, pt.
const BESIDE: f64 = 5.0;
const OVER: f64 = 4.0;
/// How far inside the wall the first pipe goes down, pt.
const INNER: f64 = 11.0;
/// What is drawn of a pipe to or from another section, pt.
const STUB: f64 = 28.0;
/// Height over a rim up to which an air inlet belongs to its basin, m.
const NEAR_RIM: f64 = 0.1;
/// Room between a check valve and the leader of a level, pt, and the places that are tried for it either way.
const VALVE_CLEAR: f64 = 9.0;
const VALVE_STEPS: u32 = 20;
/// Depth that a pipe is drawn at whose cover is not shown, m: for the drawing only.
const NOMINAL_COVER: f64 = 0.3;
/// Distance of pumps that follow one another on a pipe, pt.
const BOOSTER: f64 = 14.0;
/// Lanes drawn apart; further pipes share the last.
const LANES: usize = 3;

/// Which way water passes a symbol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Toward {
    /// Up the sheet.
    Up,
    /// Down the sheet.
    Down,
    /// To the right.
    Right,
}

/// A name and the point of the pipe it belongs to.
struct PipeName {
    at: Point,
    words: String,
}

/// The point of a way at a distance across; its ends beyond it.
fn on_way(way: &[Point], x: f64) -> Point {
    for pair in way.windows(2) {
        let [[left, from], [right, to]] = [pair[0], pair[1]];
        if x <= right {
            let share = ((x - left) / (right - left).max(1e-9)).clamp(0.0, 1.0);
            return [x, from + (to - from) * share];
        }
    }
    [x, way.last().map_or(0.0, |last| last[1])]
}

impl SectionDrawing<'_> {
    /// Every pump, and every line that ends in or starts from a basin of this section.
    pub(super) fn lines(&mut self) {
        let plan = self.plan;
        let mut lane = 0;
        let (mut names, mut headers) = (Vec::new(), Vec::new());
        for (id, line) in &plan.lines {
            if let Some(header) = self.line(id, line, lane.min(LANES - 1), &mut names) {
                headers.push(header);
                lane += 1;
            }
        }
        self.pipe_names(names, &headers);
        self.pumps();
        self.on_pipes();
    }

    /// The lowest that the pipes of a lane run.
    pub(super) fn deep(&self, lane: usize) -> f64 {
        self.y(self.bottom) + self.under + 9.0 + lane as f64 * LANE
    }

    /// Draws a line: up from its pumps and over the rim, along grade, and up again at each outlet; with a named stub for
    /// what lies in another section. Tells how far it runs along grade and how low, where any of it lies in this one.
    fn line(
        &mut self,
        id: &str,
        line: &Given<Line>,
        lane: usize,
        names: &mut Vec<PipeName>,
    ) -> Option<(f64, f64, f64)> {
        let sources = self.sources(line);
        let (mut here, mut away) = (Vec::new(), Vec::new());
        for run in line.runs.values() {
            let Some(to) = run.to.value() else { continue };
            match self.index_of(to) {
                Some(index) => here.push((index, run)),
                None => away.push((to.as_str(), run)),
            }
        }
        if (sources.is_empty() && here.is_empty()) || (here.is_empty() && away.is_empty()) {
            return None;
        }
        let mut ways: Vec<Vec<Point>> = Vec::new();
        for source in &sources {
            ways.push(self.trunk(line, source, lane));
        }
        for (at, &(index, run)) in here.iter().enumerate() {
            let beside = here.iter().take(at).filter(|(other, _)| *other == index).count();
            let lanes = (lane, (lane + beside).min(LANES - 1));
            ways.push(self.branch((index, run), lanes, here.len() > 1));
        }
        self.air_inlets(line, &here, lane);
        let name = name_of(id, &line.name);
        let mut header: Vec<Point> = ways.iter().filter_map(|way| way.last().copied()).collect();
        header.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let (&first, &last) = header.first().zip(header.last())?;
        let (mut left, mut right) = (first[0], last[0]);
        let mut name_at = on_way(&header, f64::midpoint(left, right));
        if sources.is_empty() {
            let words = format!("{name} from {}", self.origin(line));
            name_at = [left - STUB / 2.0, first[1]];
            left -= STUB;
            header.insert(0, [left, first[1]]);
            names.push(PipeName { at: name_at, words });
        } else if away.is_empty() {
            names.push(PipeName {
                at: name_at,
                words: name.to_owned(),
            });
        } else {
            let stub = if here.is_empty() {
                name_at = [left - STUB / 2.0, first[1]];
                left -= STUB;
                header.insert(0, [left, first[1]]);
                self.arrow([left - 1.0, first[1]], [-1.0, 0.0]);
                name_at
            } else {
                names.push(PipeName {
                    at: name_at,
                    words: name.to_owned(),
                });
                right = (right + STUB).min(WIDTH - 6.0);
                header.push([right, last[1]]);
                self.arrow([right + 1.0, last[1]], [1.0, 0.0]);
                [right - STUB / 2.0, last[1]]
            };
            let words = format!("{name} to {}", self.ends(&away));
            names.push(PipeName { at: stub, words });
            let runs = away.iter().map(|(_, run)| (run.place.clone(), stub));
            self.anchors.extend(runs);
        }
        for way in &ways {
            self.pipe(way);
        }
        self.along_grade(
            &header,
            line.runs.values().all(|run| run.buried != Shown::NotShown),
        );
        self.anchors.push((line.place.clone(), name_at));
        self.explain(Key::Line);
        let lowest = header.iter().map(|point| point[1]).fold(first[1], f64::max);
        Some((left, right, lowest))
    }

    /// Where a pipe runs along grade beside a basin: at its depth below the ground there, pt down the sheet.
    fn depth_beside(&self, index: usize, run: Option<&Given<Run>>, lane: usize) -> f64 {
        let buried = run.map_or(&Shown::NotShown, |run| &run.buried);
        let cover = match buried {
            Shown::Is(cover) => cover.si(),
            Shown::None(_) => 0.0,
            Shown::NotShown => NOMINAL_COVER,
        };
        let grade = self.y(self.basins[index].levels.ground.level);
        let depth = grade + cover * self.scale.points_per_metre + lane as f64 * LANE;
        depth.clamp(HEAD, self.deep(lane).max(HEAD))
    }

    /// Draws a pipe along grade: dotted where it passes behind a basin, dashed where its depth is not shown.
    fn along_grade(&mut self, way: &[Point], shown: bool) {
        let stroke = PIPE.dashed_unless(shown);
        self.dashed |= !shown;
        for pair in way.windows(2) {
            let [from, to] = [pair[0], pair[1]];
            let behind = |basin: &super::Shown<'_>| {
                let (left, right) = (basin.inside.0.max(from[0]), basin.inside.1.min(to[0]));
                let y = on_way(pair, f64::midpoint(left, right))[1];
                let inside = self.y(basin.levels.rim.level)..=self.y(basin.levels.floor.level);
                (left < right && inside.contains(&y)).then_some((left, right))
            };
            let mut hidden: Vec<(f64, f64)> = self.basins.iter().filter_map(behind).collect();
            hidden.sort_by(|a, b| a.0.total_cmp(&b.0));
            self.passes_behind |= !hidden.is_empty();
            let mut at = from;
            for (left, right) in hidden {
                let (near, far) = (on_way(pair, left), on_way(pair, right));
                self.ink(&[at, near], stroke);
                self.ink(&[near, far], Stroke::new(PIPE.weight, PIPE.tone, Pattern::Dotted));
                at = far;
            }
            self.ink(&[at, to], stroke);
        }
    }

    /// From the pumps of one basin over its rim and down to where the pipes run.
    fn trunk(&mut self, line: &Given<Line>, source: &LinePumps, lane: usize) -> Vec<Point> {
        let step = lane as f64 * LANE;
        let shown = &mut self.basins[source.index];
        let dry = source.pumps.iter().any(|riser| riser.dry);
        let beside = if dry {
            (BESIDE + step).max(PAST)
        } else {
            BESIDE + step
        };
        let out = shown.inside.1 + beside;
        shown.piped.1 = shown.piped.1.max(beside);
        let over = self.y(self.basins[source.index].levels.rim.level) - OVER - step / 2.0;
        let first = line.runs.values().find(|run| run.after.value().is_none());
        let deep = self.depth_beside(source.index, first, lane);
        let mut way: Vec<Point> = Vec::new();
        for riser in &source.pumps {
            let top = if riser.dry { riser.start } else { over };
            let mut up = vec![[riser.x, riser.start], [riser.x, top]];
            if let Some(place) = riser.check_valve.clone().filter(|_| !riser.dry) {
                let at = [riser.x, f64::midpoint(riser.start, over)];
                self.valve(place, at, Toward::Up);
            }
            if way.is_empty() {
                up.push([out, top]);
                way = up;
            } else {
                up.push([out.min(way[0][0]), top]);
                self.pipe(&up);
            }
        }
        let turns_down = way.last().map_or(over, |turn| turn[1]);
        let after = source.pumps.iter().map(|riser| riser.after.len()).sum::<usize>();
        // Pumps in series stand on the pipe down beside the basin.
        let deep = if after > 0 {
            deep.max(turns_down + BOOSTER * (after as f64 + 0.7))
        } else {
            deep
        };
        way.push([out, deep]);
        let after = source.pumps.iter().flat_map(|riser| &riser.after);
        for (place, step) in after.zip(1..) {
            let at = [out, turns_down + BOOSTER * f64::from(step)];
            self.anchors.push((place.clone(), at));
            self.boosters.push(at);
            self.keep_free(at, 5.0);
            self.explain(Key::Pump);
        }
        let valve = self.clear_of_levels(source.index, (turns_down, deep));
        self.check_valve(line, [out, valve]);
        way
    }

    /// A height about midway on a pipe down beside a basin, clear of the levels that are labelled on that side.
    fn clear_of_levels(&self, index: usize, (upper, lower): (f64, f64)) -> f64 {
        let middle = f64::midpoint(upper, lower);
        let shown = &self.basins[index];
        if shown.labels_left {
            return middle;
        }
        let pumps = self.plan.pumps.iter().filter(|(_, pump)| {
            pump.basin.value().is_some_and(|basin| basin == shown.id) && pump.after.value().is_none()
        });
        let intakes = pumps.map(|(id, pump)| self.intake_at(index, id, pump)[1]);
        let levels: Vec<f64> = intakes.chain([self.y(shown.levels.floor.level)]).collect();
        let clear = |y: &f64| levels.iter().all(|level| (level - y).abs() >= VALVE_CLEAR);
        let within = |y: &f64| (upper + VALVE_CLEAR..=lower - VALVE_CLEAR).contains(y);
        let steps = (0..VALVE_STEPS).map(f64::from);
        let tried = steps.flat_map(|step| [middle - 4.0 * step, middle + 4.0 * step]);
        tried.filter(within).find(clear).unwrap_or(middle)
    }

    /// From an outlet of a line back over the rim of its basin and down to where the pipes run.
    fn branch(
        &mut self,
        (index, run): (usize, &Given<Run>),
        (deep, beside): (usize, usize),
        several: bool,
    ) -> Vec<Point> {
        let step = beside as f64 * LANE;
        let deep = self.depth_beside(index, Some(run), deep);
        let shown = &mut self.basins[index];
        shown.piped.0 = shown.piped.0.max(BESIDE + step);
        let (out, inner) = (shown.inside.0 - BESIDE - step, shown.inside.0 + INNER + step);
        let nominal = f64::midpoint(shown.levels.water(), shown.levels.floor.level);
        let over = self.y(self.basins[index].levels.rim.level) - OVER - step / 2.0;
        let mouth = run
            .discharge
            .value()
            .and_then(|discharge| level(&discharge.level));
        self.label_or_ask(
            index,
            "line mouth",
            mouth,
            (nominal, &run.place.join("discharge/level")),
        );
        let end = self.y(mouth.unwrap_or(nominal));
        self.arrow([inner, end], [0.0, 1.0]);
        self.mouths.push((run.place.child("discharge"), [inner, end]));
        if several {
            self.anchors
                .push((run.place.clone(), [out, f64::midpoint(over, deep)]));
        }
        vec![[inner, end - 2.0], [inner, over], [out, over], [out, deep]]
    }

    /// Where a line that starts in another section comes from.
    fn origin(&self, line: &Line) -> String {
        let id = line.from.value().and_then(|ids| ids.0.first());
        let pump = id.and_then(|id| self.first_in_series(id));
        match pump {
            Some((id, pump, _)) => {
                let basin = pump.basin.value().map(|basin| self.called(basin));
                basin.unwrap_or(name_of(id, &pump.name)).to_owned()
            }
            None => id.map_or("?", String::as_str).to_owned(),
        }
    }

    /// The basins of another section that a line ends in, each once.
    fn ends(&self, away: &[(&str, &Given<Run>)]) -> String {
        let mut names: Vec<&str> = Vec::new();
        for (to, _) in away {
            let name = self.called(to);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join(" and ")
    }

    /// The names of the pipes: below the lowest, above one that another runs below.
    fn pipe_names(&mut self, mut names: Vec<PipeName>, headers: &[(f64, f64, f64)]) {
        names.sort_by(|a, b| b.at[1].total_cmp(&a.at[1]));
        for PipeName { at: [x, y], words } in names {
            let words = fit(&words, SMALL, false, 150.0);
            let half = width(&words, SMALL, false) / 2.0;
            let below = |&(left, right, deep): &(f64, f64, f64)| {
                deep > y + 1e-6 && left < x + half && right > x - half
            };
            let near = if headers.iter().any(below) {
                y - 7.5
            } else {
                y + 9.0
            };
            self.floating.push(Floating {
                near: [x, near],
                of: [x, y],
                led: false,
                text: Text::new([x, y], Anchor::Start, SMALL, words),
            });
        }
    }

    pub(super) fn index_of(&self, id: &str) -> Option<usize> {
        self.basins.iter().position(|shown| shown.id == id)
    }

    fn pipe(&mut self, way: &[Point]) {
        self.ink(way, PIPE);
    }

    /// An arrowhead with its point here, along a direction.
    fn arrow(&mut self, [x, y]: Point, [dx, dy]: Point) {
        let back = [x - 5.0 * dx, y - 5.0 * dy];
        let corners = [
            [back[0] - 3.0 * dy, back[1] - 3.0 * dx],
            [back[0] + 3.0 * dy, back[1] + 3.0 * dx],
            [x, y],
        ];
        self.heads.push(corners);
    }

    fn check_valve(&mut self, line: &Given<Line>, at: Point) {
        // A branched line has one, however many of its branches are drawn.
        let place = line.place.child("check_valve");
        if self.anchors.iter().any(|(known, _)| *known == place) {
            return;
        }
        match line.check_valve.given() {
            Some(_) => self.valve(place, at, Toward::Down),
            None => self.anchors.push((place, at)),
        }
    }

    fn valve(&mut self, place: Place, at: Point, toward: Toward) {
        if self.anchors.iter().any(|(known, _)| *known == place) {
            return;
        }
        self.anchors.push((place, at));
        self.valves.push((at, toward));
        self.keep_free(at, 4.0);
        self.explain(Key::CheckValve);
    }

    /// What stands on the pipes, drawn over them.
    fn on_pipes(&mut self) {
        for corners in std::mem::take(&mut self.heads) {
            self.scene.area(&corners, Fill::Ink, None);
        }
        for at in std::mem::take(&mut self.boosters) {
            self.pump_symbol(at);
        }
        for (at, toward) in std::mem::take(&mut self.valves) {
            self.check_valve_symbol(at, toward);
        }
    }

    /// The air inlet of a line, on its innermost branch into each basin.
    fn air_inlets(&mut self, line: &Given<Line>, here: &[(usize, &Given<Run>)], lane: usize) {
        for (at, &(index, _)) in here.iter().enumerate() {
            let same = |(other, _): &&(usize, &Given<Run>)| *other == index;
            if here.iter().take(at).all(|branch| !same(&branch)) {
                let last = lane + here.iter().filter(same).count() - 1;
                let step = last.min(LANES - 1) as f64 * LANE;
                self.air_inlet(index, line, self.basins[index].inside.0 + INNER + step);
            }
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
        self.label_or_ask(index, "air inlet", height, (nominal, &inlet.place.child("level")));
        self.explain(Key::AirInlet);
    }

    /// A triangle against a bar: water passes the way the triangle points.
    pub(super) fn check_valve_symbol(&mut self, [x, y]: Point, toward: Toward) {
        let ink = Stroke::solid(0.9, Tone::Ink);
        let turned = |[dx, dy]: Point| match toward {
            Toward::Right => [x + dy, y + dx],
            Toward::Down => [x + dx, y + dy],
            Toward::Up => [x + dx, y - dy],
        };
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
    pub(super) fn keep_free(&mut self, [x, y]: Point, radius: f64) {
        let side = 2.0 * radius;
        self.taken
            .claim(Bounds::at([x - radius, y - radius], [side, side]));
    }

    pub(super) fn disc(&mut self, at: Point, radius: f64, stroke: Stroke, fill: Option<Fill>) {
        self.scene.items.push(Item::Disc {
            at,
            radius,
            stroke,
            fill,
        });
    }
}
