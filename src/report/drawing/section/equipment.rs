//! What a basin has beside its lining: shelves, overflow, skimmer, bottom drain.

use super::{
    super::{
        levels::level,
        scene::{Fill, Item, Point, Stroke, Tone},
    },
    Sheet,
    legend::Key,
};

/// Size of the smaller symbols, pt.
const HALF: f64 = 4.0;

impl Sheet<'_> {
    /// Shelves, overflow, skimmer and bottom drain of a basin, as far as the plan shows them.
    pub(super) fn equipment(&mut self, index: usize) {
        self.shelves(index);
        self.overflow(index);
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

    /// A spout through the wall at the level it starts to run, on the side the labels stand.
    fn overflow(&mut self, index: usize) {
        let shown = &self.basins[index];
        let place = shown.basin.place.child("overflow");
        let water = shown.levels.highest_water();
        let (wall, turn) = self.label_wall(index);
        let height = shown
            .basin
            .overflow
            .given()
            .map(|overflow| level(&overflow.level));
        let at = [wall, self.y(height.flatten().unwrap_or(water))];
        self.anchors.push((place.clone(), [wall + turn * 4.0, at[1]]));
        match height {
            Some(Some(height)) => {
                self.overflow_symbol(at, turn);
                self.label(index, "overflow", height);
            }
            Some(None) => self.ask(index, "overflow", water, &place.child("level")),
            None if self.question(&place).is_some() => self.ask(index, "overflow", water, &place),
            None => {}
        }
    }

    /// A box at the surface, down to the lowest level it works at.
    fn skimmer(&mut self, index: usize) {
        let Some(skimmer) = self.basins[index].basin.skimmer.given() else {
            return;
        };
        let water = self.basins[index].levels.water();
        let height = level(&skimmer.level);
        let [x, top] = self.spot(index, water, 0.9);
        let bottom = height.map_or(top + 2.0 * HALF, |height| self.y(height).max(top + 2.0));
        self.skimmer_symbol([x, top], bottom - top);
        self.anchors.push((skimmer.place.clone(), [x, bottom]));
        match height {
            Some(height) => self.label(index, "skimmer", height),
            None => self.ask(index, "skimmer", water, &skimmer.place.child("level")),
        }
        self.explain(Key::Skimmer);
    }

    fn bottom_drain(&mut self, index: usize) {
        let Some(drain) = self.basins[index].basin.bottom_drain.given() else {
            return;
        };
        let at = self.spot(index, self.basins[index].levels.floor.level, 0.44);
        self.bottom_drain_symbol(at);
        self.anchors.push((drain.place.clone(), at));
        self.explain(Key::BottomDrain);
    }

    /// The wall on the labels' side, and which way is out.
    fn label_wall(&self, index: usize) -> (f64, f64) {
        let shown = &self.basins[index];
        if shown.labels_left {
            (shown.inside.0, -1.0)
        } else {
            (shown.inside.1, 1.0)
        }
    }

    /// A spout with an arrow down at its outer end.
    pub(super) fn overflow_symbol(&mut self, [x, y]: Point, turn: f64) {
        let ink = Stroke::solid(1.0, Tone::Ink);
        let end = x + turn * 7.0;
        self.scene
            .line(&[[x - turn * 2.0, y], [end, y], [end, y + 4.0]], ink);
        let head = [[end - 1.8, y + 3.4], [end + 1.8, y + 3.4], [end, y + 6.4]];
        self.scene.area(&head, Fill::Ink, None);
        self.explain(Key::Overflow);
    }

    pub(super) fn skimmer_symbol(&mut self, [x, y]: Point, deep: f64) {
        let ink = Stroke::solid(0.9, Tone::Ink);
        let (left, right) = (x - HALF, x + HALF);
        let corners = [
            [left, y - 2.0],
            [left, y + deep],
            [right, y + deep],
            [right, y - 2.0],
        ];
        self.scene.area(&corners, Fill::Paper, None);
        self.scene.line(&corners, ink);
        self.scene.line(
            &[[left, y + deep / 2.0], [right, y + deep / 2.0]],
            Stroke::solid(0.5, Tone::Ink),
        );
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
