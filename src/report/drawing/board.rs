//! A drawing in the making: what stands fast is set first, then words go where there is room.

use super::{
    placing::Taken,
    scene::{Anchor, Bounds, Fill, Item, Point, Scene, Stroke, Text, Tone},
    text::{LINE_HEIGHT, fit, width},
};

/// Type size of labels, pt.
pub(super) const LABEL: f64 = 7.0;

/// A scene and the places on it that are taken.
#[derive(Debug, Default)]
pub(super) struct Board {
    pub scene: Scene,
    pub taken: Taken,
}

impl Board {
    /// An empty sheet.
    pub fn new(width: f64, height: f64, title: String) -> Self {
        Self {
            scene: Scene {
                width,
                height,
                title,
                ..Scene::default()
            },
            taken: Taken::default(),
        }
    }

    /// Sets a text down where it is and takes its place.
    pub fn put(&mut self, text: Text) {
        self.taken.claim(text.bounds());
        self.scene.items.push(Item::Text(text));
    }

    /// Sets a text, cut to its room, down where it is.
    pub fn put_in(&mut self, at: Point, anchor: Anchor, words: &str, room: f64) {
        self.put(Text::new(at, anchor, LABEL, fit(words, LABEL, false, room)));
    }

    /// Sets words as near to a point as there is room within a frame; leaves them out where there is none.
    pub fn put_near(&mut self, point: Point, words: &str, frame: &Bounds) {
        let size = [width(words, LABEL, false) + 4.0, LABEL * LINE_HEIGHT];
        if let Some(found) = self.taken.nearest(point, size, frame) {
            let at = [found.left + 2.0, f64::midpoint(found.top, found.bottom)];
            self.scene
                .items
                .push(Item::Text(Text::new(at, Anchor::Start, LABEL, words)));
        }
    }

    /// Draws a circle.
    pub fn disc(&mut self, at: Point, radius: f64, stroke: Stroke, fill: Fill) {
        self.scene.items.push(Item::Disc {
            at,
            radius,
            stroke,
            fill: Some(fill),
        });
    }

    /// A dimension line with slashes at its ends.
    pub fn dimension(&mut self, from: Point, to: Point) {
        let thin = Stroke::solid(0.5, Tone::Ink);
        self.scene.line(&[from, to], thin);
        for [x, y] in [from, to] {
            self.scene.line(&[[x - 1.8, y + 1.8], [x + 1.8, y - 1.8]], thin);
        }
    }
}
