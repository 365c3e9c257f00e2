//! One basin: ground, water, layers, lining, well, water lines.

use super::{
    super::{
        levels::{NOMINAL_LAYER, level, thickness},
        scene::{Anchor, Bounds, Fill, Item, Point, Stroke, Text, Tone},
        text::leading,
    },
    CORRIDOR, SMALL, SectionDrawing,
    legend::{GROUND, Key, LINING, POWER_OFF, RUNNING, STILL, UNDERLAY, UNLINED, WELL},
    size,
};
use crate::{
    plan::{Fill as LayerFill, Given, Layer, Measure, Shown as PlanShown},
    quantity::{Kind, show},
};

/// Stone of this largest size and below is drawn as gravel, m: 1-1/2 in, in round figures.
const GRAVEL: f64 = 0.04;
/// Where a clean-out well stands, as a share of the width from the right wall.
pub(super) const WELL_ACROSS: f64 = 0.16;
/// Share of the width that a layer with an area of its own is drawn over.
const INNER: f64 = 0.75;

impl SectionDrawing<'_> {
    /// The ground to both sides of a basin.
    pub(super) fn ground(&mut self, index: usize) {
        let shown = &self.basins[index];
        let y = self.y(shown.levels.ground.level);
        let certain = shown.levels.ground.shown;
        // On the side of the labels it ends before them.
        let (near, far) = if shown.labels_left {
            (shown.inside.0 - CORRIDOR + 1.0, shown.share.1)
        } else {
            (shown.share.0, shown.inside.1 + CORRIDOR - 1.0)
        };
        let spans = [(near, shown.inside.0), (shown.inside.1, far)];
        for (left, right) in spans {
            let corners = [[left, y], [right, y], [right, y + 5.0], [left, y + 5.0]];
            self.scene.area(&corners, Fill::Ground, None);
            self.ink(&[[left, y], [right, y]], GROUND.dashed_unless(certain));
        }
        self.explain_as(Key::Ground, certain);
    }

    pub(super) fn basin(&mut self, index: usize) {
        self.basins[index].labels = self.levels_of(index);
        self.water(index);
        self.layers(index);
        self.well(index);
        self.shell(index);
        self.water_lines(index);
        self.freeboard(index);
        self.equipment(index);
        self.anchor_basin(index);
    }

    /// The inside of a basin at a level, from wall to wall, pt.
    pub(super) fn walls_at(&self, index: usize, level: f64) -> (f64, f64) {
        let shown = &self.basins[index];
        let inset = shown.profile.above(level) * (shown.inside.1 - shown.inside.0);
        (shown.inside.0 + inset, shown.inside.1 - inset)
    }

    /// The inside of a basin between two levels, over a share of its width.
    fn slab(&self, index: usize, bottom: f64, top: f64, share: f64) -> Vec<Point> {
        let shown = &self.basins[index];
        let (left, right) = shown.inside;
        let cut = |inset: f64| (inset + (0.5 - inset) * (1.0 - share)) * (right - left);
        let side = shown.profile.side(bottom, top);
        let up = side
            .iter()
            .map(|&(level, inset)| [left + cut(inset), self.y(level)]);
        let down = side
            .iter()
            .rev()
            .map(|&(level, inset)| [right - cut(inset), self.y(level)]);
        up.chain(down).collect()
    }

    fn water(&mut self, index: usize) {
        let levels = &self.basins[index].levels;
        let (floor, water) = (levels.floor.level, levels.water());
        if water > floor {
            let corners = self.slab(index, floor, water, 1.0);
            self.scene.area(&corners, Fill::Water, None);
        }
    }

    /// The layers from the floor up, each named inside where there is room.
    fn layers(&mut self, index: usize) {
        let basin = self.basins[index].basin;
        let layers: Vec<(&String, &Given<Layer>)> = basin.layers.iter().collect();
        let mut bottom = self.basins[index].levels.floor.level;
        for (at, (id, layer)) in layers.iter().enumerate() {
            let thickness = thickness(layer);
            let top = (bottom + thickness.unwrap_or(NOMINAL_LAYER)).min(self.basins[index].levels.filled);
            let certain = thickness.is_some() && self.basins[index].levels.floor.shown;
            let outline = Stroke::solid(0.5, Tone::Soft).dashed_unless(certain);
            self.dashed |= !certain;
            if matches!(layer.area, PlanShown::Is(_)) {
                let around = layers.get(at + 1).map_or(Fill::Stone, |(_, above)| hatch(above));
                let corners = self.slab(index, bottom, top, 1.0);
                self.scene.area(&corners, around, Some(outline));
                let corners = self.slab(index, bottom, top, INNER);
                self.scene.area(&corners, Fill::Paper, None);
                self.scene.area(&corners, hatch(layer), Some(outline));
            } else {
                let corners = self.slab(index, bottom, top, 1.0);
                self.scene.area(&corners, hatch(layer), Some(outline));
            }
            self.explain(key(hatch(layer)));
            let id = leading(id);
            let words = match thickness {
                Some(thickness) => format!("{id} {}", show(thickness, Kind::Length, self.units)),
                None => format!("{id} ?"),
            };
            self.layer_names.push((index, (bottom, top), words));
            self.anchors.push((
                layer.place.clone(),
                self.spot(index, f64::midpoint(bottom, top), 0.25),
            ));
            bottom = top;
        }
    }

    /// The name of each layer inside it, as near to its middle as there is room.
    pub(super) fn layer_names(&mut self) {
        for (index, (bottom, top), words) in std::mem::take(&mut self.layer_names) {
            let walls = self.walls_at(index, bottom);
            let middle = [
                f64::midpoint(walls.0, walls.1),
                self.y(f64::midpoint(bottom, top)),
            ];
            let cut = (walls.1 - walls.0) * (1.0 - INNER) / 2.0;
            let inside = Bounds {
                left: walls.0 + cut,
                top: self.y(top),
                right: walls.1 - cut,
                bottom: self.y(bottom),
            };
            let text = Text::new(middle, Anchor::Middle, SMALL, words);
            if let Some(found) = self.taken.nearest(middle, size(&text), &inside) {
                let at = [
                    f64::midpoint(found.left, found.right),
                    f64::midpoint(found.top, found.bottom),
                ];
                self.scene.items.push(Item::Text(Text { at, ..text }));
            }
        }
    }

    /// The clean-out well, from its lowest opening to just above the rim.
    fn well(&mut self, index: usize) {
        let Some(well) = self.basins[index].basin.clean_out_well.given() else {
            return;
        };
        let levels = &self.basins[index].levels;
        let floor = level(&well.floor).unwrap_or(levels.floor.level);
        let (bottom, top) = (self.y(floor), self.y(levels.highest_water()) - 5.0);
        if bottom <= top {
            return;
        }
        let walls = self.basins[index].inside;
        let x = walls.1 - (walls.1 - walls.0) * WELL_ACROSS;
        let corners = [
            [x - 3.0, bottom],
            [x - 3.0, top],
            [x + 3.0, top],
            [x + 3.0, bottom],
        ];
        self.scene.area(&corners, Fill::Paper, Some(WELL));
        self.taken
            .claim(Bounds::at([x - 5.0, top - 1.0], [10.0, bottom - top + 1.0]));
        let lid = Stroke::solid(1.2, Tone::Ink);
        self.scene.line(&[[x - 4.5, top], [x + 4.5, top]], lid);
        self.explain(Key::Well);
        self.anchors
            .push((well.place.clone(), [x, f64::midpoint(top, bottom)]));
    }

    /// The lining with its underlay, or the bare wall.
    fn shell(&mut self, index: usize) {
        let shown = &self.basins[index];
        let levels = &shown.levels;
        let certain = levels.rim.shown && levels.floor.shown;
        let (floor, rim) = (levels.floor.level, levels.rim.level.max(levels.floor.level));
        let side = shown.profile.side(floor, rim);
        let wide = shown.inside.1 - shown.inside.0;
        let around = |out: f64| -> Vec<Point> {
            // The outer line stays as far below each ledge and the floor as it stands outside the walls.
            let lowered = |level: f64| {
                if level < rim {
                    self.y(level) + out
                } else {
                    self.y(level)
                }
            };
            let left = side
                .iter()
                .map(|&(level, inset)| [shown.inside.0 + inset * wide - out, lowered(level)]);
            let right = side
                .iter()
                .map(|&(level, inset)| [shown.inside.1 - inset * wide + out, lowered(level)]);
            left.rev().chain(right).collect()
        };
        let (inner, outer) = (around(0.0), around(2.6));
        let lining = shown.basin.lining.given();
        let underlay = lining.is_some_and(|lining| lining.underlay.given().is_some());
        if lining.is_some() {
            self.ink(&inner, LINING.dashed_unless(certain));
            self.explain_as(Key::Lining, certain);
        } else {
            self.ink(&inner, UNLINED.dashed_unless(certain));
            self.explain_as(Key::Unlined, certain);
        }
        if underlay {
            self.ink(&outer, UNDERLAY);
            self.explain(Key::Underlay);
        }
    }

    fn water_lines(&mut self, index: usize) {
        let levels = self.basins[index].levels.clone();
        let across = |sheet: &mut Self, level: f64, stroke: Stroke, key: Key| {
            let walls = sheet.walls_at(index, level);
            let y = sheet.y(level);
            sheet.ink(&[[walls.0, y], [walls.1, y]], stroke);
            sheet.explain(key);
        };
        if let Some(level) = levels.power_off {
            across(self, level, POWER_OFF, Key::PowerOff);
        }
        if let Some(level) = levels.running {
            across(self, level, RUNNING, Key::Running);
        }
        if levels.still.shown {
            across(self, levels.still.level, STILL, Key::Still);
            let walls = self.walls_at(index, levels.still.level);
            let x = walls.0 + (walls.1 - walls.0) * 0.47;
            let y = self.y(levels.still.level);
            self.water_mark(x, y);
            self.taken.claim(Bounds::at([x - 3.0, y - 5.2], [6.0, 5.2]));
        }
    }

    /// The mark of still water: a triangle that stands on the line.
    pub(super) fn water_mark(&mut self, x: f64, y: f64) {
        let corners = [[x - 3.0, y - 5.2], [x + 3.0, y - 5.2], [x, y - 0.4]];
        let stroke = Stroke::solid(0.6, Tone::Accent);
        self.scene.area(&corners, Fill::Paper, Some(stroke));
    }

    /// The freeboard as a dimension inside the wall its label stands at.
    fn freeboard(&mut self, index: usize) {
        let shown = &self.basins[index];
        let levels = &shown.levels;
        if !(levels.rim.shown && levels.still.shown) {
            return;
        }
        let (wall, turn) = if shown.labels_left {
            (shown.inside.0, 1.0)
        } else {
            (shown.inside.1, -1.0)
        };
        let (top, bottom) = (self.y(levels.rim.level), self.y(levels.highest_water()));
        let x = wall + turn * 5.0;
        let thin = Stroke::solid(0.5, Tone::Ink);
        self.ink(&[[x, top], [x, bottom]], thin);
        for y in [top, bottom] {
            self.ink(&[[x - 2.5, y + 1.5], [x + 2.5, y - 1.5]], thin);
        }
        let hair = Stroke::solid(0.25, Tone::Soft);
        self.ink(&[[wall, top], [x + turn * 3.0, top]], hair);
    }

    /// A point inside a basin at a level, a share of the way across.
    pub(super) fn spot(&self, index: usize, level: f64, across: f64) -> Point {
        let walls = self.walls_at(index, level);
        [walls.0 + (walls.1 - walls.0) * across, self.y(level)]
    }

    /// Where findings about a basin and its parts are marked.
    fn anchor_basin(&mut self, index: usize) {
        let shown = &self.basins[index];
        let (levels, place) = (shown.levels.clone(), shown.basin.place.clone());
        let middle = f64::midpoint(levels.water(), levels.floor.level);
        let outside = shown.inside.1 + CORRIDOR / 2.0;
        // At the wall away from the labels.
        let far = if shown.labels_left { 1.0 } else { 0.0 };
        let spots = [
            (place.clone(), self.spot(index, middle, 0.5)),
            (place.child("rim"), self.spot(index, levels.rim.level, far)),
            (place.child("still"), self.spot(index, levels.still.level, 0.55)),
            (place.child("floor"), self.spot(index, levels.floor.level, 0.5)),
            (place.child("shape"), self.spot(index, middle, 0.04)),
            (place.child("lining"), self.spot(index, levels.floor.level, 0.75)),
            (
                place.child("lining").child("edges"),
                self.spot(index, levels.rim.level, 0.05),
            ),
            (place.child("open_surface"), self.spot(index, levels.water(), 0.7)),
            (place.child("overcut"), self.spot(index, levels.floor.level, 0.1)),
            (place.child("impounded"), [outside, self.y(levels.ground.level)]),
            (place.child("fish"), self.spot(index, middle, 0.3)),
        ];
        let id = shown.id;
        let wall = [shown.inside.1, self.y(levels.ground.level) + 8.0];
        let foot = [outside, self.y(levels.floor.level)];
        self.anchors.extend(spots);
        let plan = self.plan;
        let of_this = |basin: &PlanShown<String>| basin.value().is_some_and(|basin| basin == id);
        let walls = plan.walls.values().filter(|given| of_this(&given.basin));
        self.anchors
            .extend(walls.map(|given| (given.place.clone(), wall)));
        let digs = plan.excavations.values().filter(|given| of_this(&given.basin));
        self.anchors.extend(digs.map(|given| (given.place.clone(), foot)));
    }
}

/// How a layer is filled on drawings.
pub(in super::super) fn hatch(layer: &Layer) -> Fill {
    match layer.fill.value() {
        Some(LayerFill::Modules) => Fill::Modules,
        Some(LayerFill::Soil | LayerFill::Fabric) => Fill::Soil,
        Some(LayerFill::Stone) | None => {
            let largest = layer.largest.value().map(|largest| largest.si());
            if largest.is_some_and(|largest| largest <= GRAVEL) {
                Fill::Gravel
            } else {
                Fill::Stone
            }
        }
    }
}

const fn key(fill: Fill) -> Key {
    match fill {
        Fill::Modules => Key::Modules,
        Fill::Gravel => Key::Gravel,
        Fill::Soil => Key::Soil,
        _ => Key::Stone,
    }
}
