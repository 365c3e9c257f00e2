//! What a basin has beside its lining: shelves, overflow, skimmer, bottom drain.

use super::{
    super::{
        levels::level,
        scene::{Bounds, Fill, Item, Point, Stroke, Tone},
    },
    SectionDrawing,
    legend::Key,
};
use crate::plan::{Drain, Given, MouthForm};

/// Size of the smaller symbols, pt.
const HALF: f64 = 4.0;
/// Depth of a skimmer's box below its lip, pt.
pub(super) const SUMP: f64 = 5.0;

impl SectionDrawing<'_> {
    /// Shelves, skimmer and bottom drain of a basin, as far as the plan shows them.
    pub(super) fn equipment(&mut self, index: usize) {
        self.shelves(index);
        self.skimmer(index);
        self.bottom_drain(index);
    }

    fn shelves(&mut self, index: usize) {
        let basin = self.basins[index].basin;
        let Some(shape) = basin.shape.value() else { return };
        for shelf in shape.shelves.values() {
            let Some(height) = level(&shelf.level) else {
                continue;
            };
            self.label(index, "shelf", height);
            let at = self.spot(index, height, 0.03);
            self.anchors.push((shelf.place.clone(), at));
        }
    }

    /// The overflow of every basin, past the pipes beside its wall.
    pub(super) fn overflows(&mut self) {
        for index in 0..self.basins.len() {
            self.overflow(index);
        }
    }

    /// A spout through the wall at the level it starts to run, on the side the labels stand.
    fn overflow(&mut self, index: usize) {
        let shown = &self.basins[index];
        let place = shown.basin.place.child("overflow");
        let water = shown.levels.highest_water();
        let given = shown.basin.overflow.given();
        let height = given.and_then(|overflow| level(&overflow.level));
        let drawn = height.unwrap_or(water);
        // On the side of the labels, clear of what comes in over the left wall and of the fall that leaves over the right.
        let left = match (self.fed(shown.id), self.spills(shown.id)) {
            (true, false) => false,
            (false, true) => true,
            _ => shown.labels_left || self.spills(shown.id),
        };
        let (wall, turn, piped) = if left {
            (self.walls_at(index, drawn).0, -1.0, shown.piped.0)
        } else {
            (self.walls_at(index, drawn).1, 1.0, shown.piped.1)
        };
        let at = [wall, self.y(drawn)];
        if given.is_some() || self.question(&place).is_some() {
            self.anchors.push((place.clone(), [wall + turn * 4.0, at[1]]));
        }
        if given.is_none() {
            if self.question(&place).is_some() {
                self.ask_absent(index, "overflow", water, &place);
            }
            return;
        }
        let outer = if turn < 0.0 {
            self.basins[index].inside.0
        } else {
            self.basins[index].inside.1
        };
        let long = (outer - wall).abs() + (piped + 4.0).clamp(7.0, 12.5);
        self.overflow_symbol(at, turn * long, height.is_some());
        self.label_or_ask(index, "overflow", height, (drawn, &place.child("level")));
        self.explain_as(Key::Overflow, height.is_some());
    }

    /// Whether a fall leaves a basin, over its right wall.
    fn spills(&self, id: &str) -> bool {
        let falls = self.plan.falls.values();
        falls.filter_map(|fall| fall.from.value()).any(|from| from == id)
    }

    /// Whether a fall or a stream comes into a basin, over its left wall.
    fn fed(&self, id: &str) -> bool {
        let falls = self.plan.falls.values().filter_map(|fall| fall.to.value());
        let streams = self.plan.streams.values();
        falls
            .chain(streams.filter_map(|stream| stream.ends_in.value()))
            .any(|to| to == id)
    }

    /// How far a skimmer stands from its wall, clear of the lip of a fall, pt.
    pub(super) fn skimmer_gap(&self, index: usize, turn: f64) -> f64 {
        if turn > 0.0 && self.spills(self.basins[index].id) {
            4.5
        } else {
            1.0
        }
    }

    /// A box at the surface with the lip that water goes over.
    fn skimmer(&mut self, index: usize) {
        let Some(skimmer) = self.basins[index].basin.skimmer.given() else {
            return;
        };
        let height = level(&skimmer.level);
        let at = self.skimmer_at(index, height, self.skimmer_side(index));
        self.anchors.push((skimmer.place.clone(), at));
        let water = self.basins[index].levels.water();
        let asks = skimmer.place.child("level");
        self.label_or_ask(index, "skimmer", height, (water, &asks));
    }

    /// The wall a basin's skimmer stands at: the one its gravity line leaves through, else the right one.
    pub(super) fn skimmer_side(&self, index: usize) -> f64 {
        let id = self.basins[index].id;
        let skims = |drain: &&Given<Drain>| {
            let form = drain.mouth.value().and_then(|mouth| mouth.form.value());
            form == Some(&MouthForm::Skimmer) && drain.from.value().is_some_and(|from| from == id)
        };
        let lower = self
            .plan
            .drains
            .values()
            .find(skims)
            .and_then(|drain| drain.to.value());
        match lower.and_then(|to| self.basins.iter().position(|shown| shown.id == to)) {
            Some(lower) if lower + 1 == index => -1.0,
            _ => 1.0,
        }
    }

    /// Draws a skimmer inside a wall; gives back the middle of its lip.
    pub(super) fn skimmer_at(&mut self, index: usize, lip: Option<f64>, turn: f64) -> Point {
        let water = self.basins[index].levels.water();
        let top = self.y(water);
        let lip_at = lip.map_or(top + HALF, |lip| self.y(lip).max(top + 1.0));
        let walls = self.walls_at(index, lip.unwrap_or(water));
        let wall = if turn > 0.0 { walls.1 } else { walls.0 };
        let x = wall - turn * (HALF + self.skimmer_gap(index, turn));
        self.skimmer_symbol([x, top], lip_at - top);
        let size = [2.0 * HALF + 1.0, lip_at - top + SUMP + 2.0];
        self.taken.claim(Bounds::at([x - HALF - 0.5, top - 2.0], size));
        self.explain(Key::Skimmer);
        [x, lip_at]
    }

    fn bottom_drain(&mut self, index: usize) {
        let Some(drain) = self.basins[index].basin.bottom_drain.given() else {
            return;
        };
        let at = self.spot(index, self.basins[index].levels.floor.level, 0.44);
        self.bottom_drain_symbol(at);
        self.taken
            .claim(Bounds::at([at[0] - 5.5, at[1] - 2.0], [11.0, 7.0]));
        self.anchors.push((drain.place.clone(), at));
        self.explain(Key::BottomDrain);
    }

    /// A spout with an arrow down at its outer end.
    pub(super) fn overflow_symbol(&mut self, [x, y]: Point, long: f64, certain: bool) {
        let ink = Stroke::solid(1.0, Tone::Ink).dashed_unless(certain);
        let end = x + long;
        // Paper under it parts it from the pipes it passes.
        let clear = [[x, y - 1.6], [end, y - 1.6], [end, y + 1.6], [x, y + 1.6]];
        self.scene.area(&clear, Fill::Paper, None);
        self.ink(&[[x - long.signum() * 2.0, y], [end, y], [end, y + 4.0]], ink);
        let head = [[end - 1.8, y + 3.4], [end + 1.8, y + 3.4], [end, y + 6.4]];
        self.scene.area(&head, Fill::Ink, None);
    }

    /// A box with its lip at a depth under the surface.
    pub(super) fn skimmer_symbol(&mut self, [x, y]: Point, lip: f64) {
        let ink = Stroke::solid(0.9, Tone::Ink);
        let (left, right, bottom) = (x - HALF, x + HALF, y + lip + SUMP);
        let corners = [[left, y - 2.0], [left, bottom], [right, bottom], [right, y - 2.0]];
        self.scene.area(&corners, Fill::Paper, None);
        self.scene.line(&corners, ink);
        let edge = Stroke::solid(0.5, Tone::Ink);
        self.scene.line(&[[left, y + lip], [right, y + lip]], edge);
    }

    /// A sump below the floor with a grate over it.
    pub(super) fn bottom_drain_symbol(&mut self, [x, y]: Point) {
        let ink = Stroke::solid(0.9, Tone::Ink);
        let sump = [[x - 5.0, y], [x - 3.0, y + 4.5], [x + 3.0, y + 4.5], [x + 5.0, y]];
        self.scene.items.push(Item::Path {
            points: sump.to_vec(),
            closed: true,
            stroke: Some(ink),
            fill: Some(Fill::Paper),
        });
        for step in -1..=1 {
            let at = x + f64::from(step) * 2.6;
            self.scene.line(&[[at, y - 1.2], [at, y + 1.2]], ink);
        }
    }
}
