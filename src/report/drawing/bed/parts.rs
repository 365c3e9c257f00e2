//! What stands in a bed: lining, clean-out well, inlet.

use super::{
    super::{
        levels::level,
        scene::{Fill, Pattern, Point, Stroke, Tone},
    },
    BedDrawing, MIDDLE,
};
use crate::{
    plan::Measure,
    quantity::{Kind, show},
};

impl BedDrawing<'_> {
    /// The lining, and its underlay outside it.
    pub(super) fn shell(&mut self) {
        let (floor, rim) = (
            self.levels.floor.level,
            self.levels.rim.level.max(self.levels.floor.level),
        );
        let certain = self.levels.rim.shown && self.levels.floor.shown;
        let lining = self.basin.lining.given();
        let outside = |out: f64, points: Vec<Point>| -> Vec<Point> {
            let rim_at = self.y(rim);
            let moved = points.into_iter().map(|[x, y]| {
                let down = if y > rim_at + 1e-6 { out } else { 0.0 };
                [if x < MIDDLE { x - out } else { x + out }, y + down]
            });
            moved.collect()
        };
        let mut inner = self.slab(floor, rim, 1.0);
        // From the left rim down and round to the right rim.
        let turn = inner.len() / 2;
        inner[..turn].reverse();
        inner[turn..].reverse();
        let outer = outside(2.6, inner.clone());
        let stroke = if lining.is_some() {
            Stroke::solid(1.4, Tone::Ink)
        } else {
            Stroke::solid(2.4, Tone::Soft)
        };
        self.board.scene.line(&inner, stroke.dashed_unless(certain));
        self.board.claim_along(&inner);
        if lining.is_some_and(|lining| lining.underlay.given().is_some()) {
            self.board
                .scene
                .line(&outer, Stroke::new(0.5, Tone::Soft, Pattern::Dashed));
        }
        let at = [MIDDLE + self.half_at(floor) * 0.6, self.y(floor)];
        self.anchors.push((self.basin.place.child("lining"), at));
        let top_of_wall = [MIDDLE + self.half, self.y(rim)];
        for edge in [
            self.basin.place.child("rim"),
            self.basin.place.child("lining").child("edges"),
        ] {
            self.anchors.push((edge, top_of_wall));
        }
        let middle = f64::midpoint(floor, rim);
        let side = [MIDDLE + self.half_at(middle), self.y(middle)];
        self.anchors
            .push((self.basin.place.child("shape").child("side_slope"), side));
    }

    pub(super) fn well(&mut self) {
        let Some(well) = self.basin.clean_out_well.given() else {
            return;
        };
        let bottom = level(&well.floor).unwrap_or(self.levels.floor.level);
        let bore = well
            .bore
            .value()
            .map(|bore| bore.si() * self.scale.points_per_metre);
        let half = bore.map_or(4.0, |bore| bore / 2.0).min(self.half * 0.25).max(1.5);
        // Clear of the inlet on one side and of the leaders of the layers on the other.
        let x = MIDDLE + self.half_at(bottom) * 0.2;
        let (top, low) = (self.y(self.levels.highest_water()) - 7.0, self.y(bottom));
        if low <= top {
            return;
        }
        let shaft = [[x - half, low], [x - half, top], [x + half, top], [x + half, low]];
        self.board
            .scene
            .area(&shaft, Fill::Paper, Some(Stroke::solid(0.7, Tone::Ink)));
        self.board.claim_along(&shaft);
        self.board.scene.line(
            &[[x - half - 2.0, top], [x + half + 2.0, top]],
            Stroke::solid(1.4, Tone::Ink),
        );
        let bore = well
            .bore
            .value()
            .map_or("?".to_owned(), |bore| show(bore.si(), Kind::Length, self.units));
        let frame = self.frame();
        self.board
            .put_near([x, top - 9.0], &format!("clean-out well, {bore}"), &frame);
        if let Some(bottom) = level(&well.floor) {
            self.names
                .push((format!("well {}", self.level_told(bottom)), bottom));
        }
        self.anchors
            .push((well.place.clone(), [x, f64::midpoint(top, low)]));
    }

    /// The pipe down the left side, and what spreads the water over the floor.
    pub(super) fn inlet(&mut self) {
        let Some(inlet) = self.basin.inlet.given() else {
            return;
        };
        let shown = level(&inlet.level);
        let floor = self.levels.floor.level;
        let z = shown.unwrap_or(floor + 0.1 * (self.levels.still.level - floor).max(0.0));
        let (y, top) = (self.y(z), self.y(self.levels.rim.level) - 6.0);
        let left = MIDDLE - self.half_at(z);
        let pipe = Stroke::solid(1.7, Tone::Soft);
        let x = left + 8.0;
        self.board
            .scene
            .line(&[[left - 8.0, top], [x, top], [x, y]], pipe);
        self.board.claim_along(&[[left - 8.0, top], [x, top], [x, y]]);
        let spread = inlet.distribution.given().is_some();
        if spread {
            let end = MIDDLE + self.half_at(z) - 10.0;
            self.board.scene.line(
                &[[x, y], [end, y]],
                Stroke::new(1.4, Tone::Ink, Pattern::DashDotted),
            );
            self.board.claim_along(&[[x, y], [end, y]]);
        }
        let arrow = [[x - 3.0, y - 5.0], [x + 3.0, y - 5.0], [x, y]];
        self.board.scene.area(&arrow, Fill::Ink, None);
        let words = shown.map_or("inlet ?".to_owned(), |z| format!("inlet {}", self.level_told(z)));
        self.names.push((words, z));
        self.anchors.push((inlet.place.clone(), [x, y]));
    }
}
