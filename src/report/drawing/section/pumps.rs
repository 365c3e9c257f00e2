//! Pumps: in their basin, or dry beside it with a suction through the wall.

use super::{
    super::{
        levels::level,
        scene::{Fill, Point, Stroke, Tone},
    },
    SectionDrawing,
    basin::WELL_ACROSS,
    legend::{Key, PIPE},
};
use crate::{
    plan::{Given, Line, Mount, Pump},
    read::Place,
};

/// How far a dry pump stands from the wall, and the pipe from it, pt.
const ASIDE: f64 = 8.0;
pub(super) const PAST: f64 = 14.0;

/// Pumps of one basin that push into a line: where each stands across and the level it draws from.
pub(super) struct LinePumps {
    pub index: usize,
    pub pumps: Vec<Riser>,
}

/// The pipe of one pump.
pub(super) struct Riser {
    /// Where it stands across, pt.
    pub x: f64,
    /// Where it begins: at the pump, pt down the sheet.
    pub start: f64,
    /// The pump's own check valve.
    pub check_valve: Option<Place>,
    /// Whether it begins beside the basin, not in it.
    pub dry: bool,
    /// Pumps that follow it in series.
    pub after: Vec<Place>,
}

impl SectionDrawing<'_> {
    /// The pumps of a line that stand in this section, by basin.
    pub(super) fn sources(&self, line: &Line) -> Vec<LinePumps> {
        let mut sources: Vec<LinePumps> = Vec::new();
        for id in line.from.value().into_iter().flat_map(|ids| &ids.0) {
            let Some((id, pump, after)) = self.first_in_series(id) else {
                continue;
            };
            let Some(index) = pump.basin.value().and_then(|basin| self.index_of(basin)) else {
                continue;
            };
            let dry = self.dry_pump(index, pump);
            let [x, start] = dry.unwrap_or_else(|| self.intake_at(index, id, pump));
            let riser = Riser {
                x,
                start,
                check_valve: pump.check_valve.given().map(|valve| valve.place.clone()),
                dry: dry.is_some(),
                after,
            };
            match sources.iter_mut().find(|source| source.index == index) {
                Some(source) => source.pumps.push(riser),
                None => sources.push(LinePumps {
                    index,
                    pumps: vec![riser],
                }),
            }
        }
        for source in &mut sources {
            source.pumps.sort_by(|a, b| b.x.total_cmp(&a.x));
        }
        sources
    }

    pub(super) fn pumps(&mut self) {
        let plan = self.plan;
        // One that follows another stands on the line, not in the basin.
        for (id, pump) in plan.pumps.iter().filter(|(_, pump)| pump.after.value().is_none()) {
            let Some(index) = pump.basin.value().and_then(|id| self.index_of(id)) else {
                continue;
            };
            let intake = self.intake_at(index, id, pump);
            let nominal = self.nominal_intake(index);
            let asks = pump.place.child("intake");
            self.label_or_ask(index, "intake", level(&pump.intake), (nominal, &asks));
            self.intakes.push((index, intake));
            let mut at = intake;
            if let Some(beside) = self.dry_pump(index, pump) {
                at = beside;
                self.suction(index, pump, intake, at);
            }
            self.anchors.push((pump.place.clone(), at));
            self.pump_symbol(at);
            self.keep_free(at, 5.0);
            self.explain(Key::Pump);
        }
    }

    /// From its open end in the basin through the wall to a pump beside it.
    fn suction(&mut self, index: usize, pump: &Given<Pump>, intake: Point, at: Point) {
        self.ink(&[intake, [at[0], intake[1]], at], PIPE);
        self.disc(intake, 2.4, Stroke::solid(0.9, Tone::Ink), Some(Fill::Paper));
        self.keep_free(intake, 3.0);
        self.anchors.push((pump.place.child("intake"), intake));
        let rim = self.basins[index].levels.rim.level;
        let asks = pump.place.child("level");
        self.label_or_ask(index, "pump", level(&pump.level), (rim, &asks));
        self.explain(Key::Intake);
    }

    /// Where a dry pump stands beside its basin: at its level, else at the rim's.
    fn dry_pump(&self, index: usize, pump: &Pump) -> Option<Point> {
        let shown = &self.basins[index];
        let height = level(&pump.level).unwrap_or(shown.levels.rim.level);
        let dry = pump.mount.value() == Some(&Mount::Dry);
        dry.then(|| [shown.inside.1 + ASIDE, self.y(height)])
    }

    /// Where a pump takes its water.
    pub(super) fn intake_at(&self, index: usize, id: &str, pump: &Pump) -> Point {
        let drawn = level(&pump.intake).unwrap_or(self.nominal_intake(index));
        [self.pump_x(index, id), self.y(drawn)]
    }

    /// The pump that draws from a basin and feeds this one, and those it passes on the way, where pumps stand in
    /// series.
    pub(super) fn first_in_series<'b>(
        &'b self,
        id: &'b str,
    ) -> Option<(&'b str, &'b Given<Pump>, Vec<Place>)> {
        let (mut id, mut pump) = (id, self.plan.pumps.get(id)?);
        let mut after = Vec::new();
        while let Some(before) = pump.after.value().filter(|_| after.len() < self.plan.pumps.len()) {
            after.push(pump.place.clone());
            (id, pump) = (before, self.plan.pumps.get(before)?);
        }
        after.reverse();
        Some((id, pump, after))
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
        let beside = self.plan.pumps.iter().filter(|(_, pump)| {
            pump.after.value().is_none() && pump.basin.value().is_some_and(|basin| basin == shown.id)
        });
        let before = beside.take_while(|(other, _)| *other != id).count();
        let step = (before as f64 * 13.0).min(wide * 0.5);
        let intake = self.plan.pumps.get(id).and_then(|pump| level(&pump.intake));
        let wall = self
            .walls_at(index, intake.unwrap_or(self.nominal_intake(index)))
            .1;
        // A clean-out well and a skimmer stand nearer the wall.
        let mut near = shown.inside.1 - wall + (wide * 0.2).min(26.0);
        if shown.basin.clean_out_well.given().is_some() {
            near = near.max(wide * WELL_ACROSS + 11.0);
        }
        if shown.basin.skimmer.given().is_some() && self.skimmer_side(index) > 0.0 {
            let top = shown.inside.1 - self.walls_at(index, shown.levels.water()).1;
            near = near.max(top + 18.0);
        }
        shown.inside.1 - near - step
    }

    pub(super) fn pump_symbol(&mut self, [x, y]: Point) {
        self.disc([x, y], 4.6, Stroke::solid(0.9, Tone::Ink), Some(Fill::Paper));
        let blade = [[x - 2.6, y + 2.4], [x + 2.6, y + 2.4], [x, y - 3.6]];
        self.scene.area(&blade, Fill::Ink, None);
    }
}
