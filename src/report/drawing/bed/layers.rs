//! What a bed is filled with: each layer to scale, and what it is made of beside it.

use super::{
    super::{
        board::LABEL,
        levels::{NOMINAL_LAYER, level, thickness},
        placing::spread,
        scene::{Anchor, Fill, Point, Stroke, Text, Tone},
        section::hatch,
        text::{fit, leading},
    },
    BedDrawing, LAYERS, MIDDLE, TOP, WIDTH,
};
use crate::{
    plan::{Fill as LayerFill, Form, Given, Layer, Map, Measure, Share, Shown, StoneShape},
    quantity::{Kind, UnitSystem, show},
};

/// A layer to name beside the section.
pub(super) struct NamedLayer {
    id: String,
    /// Thickness, m, where it is shown.
    thickness: Option<f64>,
    says: String,
    /// A point within it, near its right edge.
    at: Point,
}

/// Layers named beside the section; a page has no room for more.
const NAMED: usize = 24;
/// How far within its layer a leader ends, pt.
const INSIDE: f64 = 5.0;

impl BedDrawing<'_> {
    pub(super) fn layers(&mut self) {
        let basin = self.basin;
        let mut bottom = self.levels.floor.level;
        let mut named = Vec::new();
        let layers: Vec<&Given<Layer>> = basin.layers.values().collect();
        for (at, (id, layer)) in basin.layers.iter().enumerate() {
            let thickness = thickness(layer);
            let top = (bottom + thickness.unwrap_or(NOMINAL_LAYER)).min(self.levels.filled);
            let certain = thickness.is_some() && self.levels.floor.shown;
            let edge = Some(Stroke::solid(0.5, Tone::Soft).dashed_unless(certain));
            let full = self.slab(bottom, top, 1.0);
            let share = self.share(layer, f64::midpoint(bottom, top));
            self.narrow |= share.is_some_and(|share| share < 1.0);
            if let Some(share) = share {
                let around = layers.get(at + 1).map_or(Fill::Stone, |above| hatch(above));
                self.board.scene.area(&full, around, edge);
                let inner = self.slab(bottom, top, share);
                self.board.scene.area(&inner, Fill::Paper, None);
                self.board.scene.area(&inner, hatch(layer), edge);
            } else {
                self.board.scene.area(&full, hatch(layer), edge);
            }
            let middle = self.y(f64::midpoint(bottom, top));
            self.anchors
                .push((layer.place.clone(), [MIDDLE - self.half * 0.3, middle]));
            let says = describe_layer(layer, at == 0, self.units);
            let edge = self.half_at(f64::midpoint(bottom, top)) * share.unwrap_or(1.0);
            named.push(NamedLayer {
                id: id.clone(),
                thickness,
                says,
                at: [
                    MIDDLE + edge - INSIDE.min(edge / 2.0),
                    self.clear_of_inlet(bottom, top),
                ],
            });
            bottom = top;
        }
        let unnamed = named.len().saturating_sub(NAMED);
        named.truncate(NAMED);
        if unnamed > 0 {
            let note = format!("{unnamed} more layers above are not named.");
            self.board.scene.notes.push(note);
        }
        self.named = named;
    }

    /// The share of the width of a layer with an area of its own.
    fn share(&self, layer: &Layer, level: f64) -> Option<f64> {
        let area = layer.area.value()?.si();
        let whole = self.outline.as_ref().map_or(0.0, |outline| {
            let below = (self.levels.rim.level - level).max(0.0);
            let size =
                [outline.length, outline.width].map(|across| across - 2.0 * outline.inset(below, across));
            let round = outline.form != Form::Rectangle;
            size[0] * size[1] * if round { std::f64::consts::FRAC_PI_4 } else { 1.0 }
        });
        // Where the bed's own area is not known, it is drawn a little narrower.
        let share = if whole > 0.0 { (area / whole).sqrt() } else { 0.8 };
        Some(share.clamp(0.1, 1.0))
    }

    /// Where a leader ends between two levels: midway, unless what spreads the water runs there.
    fn clear_of_inlet(&self, bottom: f64, top: f64) -> f64 {
        let inlet = self.basin.inlet.value().and_then(|inlet| level(&inlet.level));
        let near = |y: f64| inlet.is_some_and(|inlet| (self.y(inlet) - y).abs() < 4.0);
        let at = [0.5, 0.75, 0.25].map(|share| self.y(bottom + share * (top - bottom)));
        at.into_iter().find(|y| !near(*y)).unwrap_or(at[0])
    }

    /// Two lines for each layer to the right, joined by a leader to a dot within it.
    pub(super) fn layer_names(&mut self) {
        let named = std::mem::take(&mut self.named);
        let wanted: Vec<f64> = named.iter().map(|layer| layer.at[1]).collect();
        let bottom = self.board.scene.height;
        let placed = spread(&wanted, 2.6 * LABEL, TOP - 14.0, bottom);
        for (
            NamedLayer {
                id,
                thickness,
                says,
                at,
            },
            middle,
        ) in named.into_iter().zip(placed)
        {
            let leader = [at, [LAYERS - 12.0, at[1]], [LAYERS - 4.0, middle]];
            self.board.scene.line(&leader, Stroke::solid(0.4, Tone::Soft));
            self.board.claim_along(&leader[..2]);
            self.board
                .disc(at, 1.0, Stroke::solid(0.4, Tone::Soft), Fill::Ink);
            let thick = thickness.map_or("?".to_owned(), |t| show(t, Kind::Length, self.units));
            let room = WIDTH - LAYERS;
            let head = fit(&format!("{}, {thick}", leading(&id)), LABEL, true, room);
            let upper = Text::new([LAYERS, middle - 4.4], Anchor::Start, LABEL, head).strong();
            self.board.put(upper);
            self.board
                .put_in([LAYERS, middle + 4.4], Anchor::Start, &says, room);
            self.board.scene.height = self.board.scene.height.max(middle + 12.0);
        }
    }
}

/// What a layer is made of, in a line.
fn describe_layer(layer: &Layer, lowest: bool, units: UnitSystem) -> String {
    let length = |m: f64| show(m, Kind::Length, units);
    let share = |value: &Shown<Share>| value.value().map(|share| show(share.si(), Kind::Share, units));
    let mut parts = Vec::new();
    match layer.fill.value() {
        Some(LayerFill::Modules) => {
            let words = if lowest {
                "plenum of void modules"
            } else {
                "void modules"
            };
            parts.push(words.to_owned());
            parts.extend(share(&layer.void_ratio).map(|share| format!("{share} void")));
        }
        Some(LayerFill::Soil) => parts.push("soil".to_owned()),
        Some(LayerFill::Fabric) => parts.push("fabric".to_owned()),
        Some(LayerFill::Stone) | None => {
            let size = match (layer.smallest.value(), layer.largest.value()) {
                (Some(least), Some(most)) => format!("{} to {}", length(least.si()), length(most.si())),
                (None, Some(most)) => format!("? to {}", length(most.si())),
                (Some(least), None) => format!("{} to ?", length(least.si())),
                (None, None) => "size ?".to_owned(),
            };
            parts.push(size);
            parts.push(match layer.shape.value() {
                Some(StoneShape::Round) => "round".to_owned(),
                Some(StoneShape::Subangular) => "subangular".to_owned(),
                Some(StoneShape::Angular) => "angular".to_owned(),
                None => "shape ?".to_owned(),
            });
            parts.extend(share(&layer.porosity).map(|share| format!("{share} void")));
        }
    }
    parts.join(", ")
}

/// Every layer of a bed in words, from the floor up.
pub(super) fn said(layers: &Map<Layer>, units: UnitSystem) -> String {
    let each = layers.iter().enumerate().map(|(at, (id, layer))| {
        let thick = layer
            .thickness
            .value()
            .map_or("?".to_owned(), |t| show(t.si(), Kind::Length, units));
        format!("{id} {thick} ({})", describe_layer(layer, at == 0, units))
    });
    each.collect::<Vec<_>>().join("; ")
}
