//! Stone by size, modules, walls.

use indexmap::IndexMap;

use super::Goods;
use crate::{
    papers::takeoff::lines::{Phase, SoldBy, figure, natural, unit},
    plan::{Fill, Given, Layer, Length, Measure, Shown, StoneShape},
    quantity::{Kind, UnitSystem},
};

/// Stone that is lost, spilled or left over, and the water that washed stone brings along, as shares of dry stone in place
/// (common practice).
const STONE_WASTE: (f64, f64) = (0.05, 0.10);
const STONE_MOISTURE: (f64, f64) = (0.01, 0.05);

impl Goods<'_> {
    pub(super) fn stone(&mut self) {
        let mut sizes: IndexMap<String, (f64, f64, Vec<String>)> = IndexMap::new();
        for basin in self.plan().basins.values() {
            for (id, layer) in &basin.layers {
                let volume = figure(self.review, &layer.place, "stone-volume");
                match layer.fill.value() {
                    Some(Fill::Modules) => self.modules(layer),
                    Some(Fill::Stone) | None => {
                        let mass = figure(self.review, &layer.place, "stone-mass");
                        let entry = sizes.entry(stone_goods(layer, id, self.units)).or_default();
                        entry.0 += mass.as_ref().and_then(|mass| mass.si).unwrap_or(0.0);
                        entry.1 += volume.as_ref().and_then(|volume| volume.si).unwrap_or(0.0);
                        entry
                            .2
                            .extend([volume, mass].into_iter().flatten().map(|found| found.worked));
                    }
                    Some(Fill::Soil | Fill::Fabric) => {
                        let Some(volume) = volume else { continue };
                        let sold = SoldBy::of(Kind::BulkVolume, self.units);
                        let si = volume.si.unwrap_or(0.0);
                        let net = (sold.show(si), Some(si));
                        self.add(
                            Phase::Stone,
                            format!("fill of layer {id}"),
                            net,
                            Some(sold.order(si)),
                            volume.worked,
                        );
                    }
                }
            }
        }
        let (tons, yards) = (
            SoldBy::of(Kind::Mass, self.units),
            SoldBy::of(Kind::BulkVolume, self.units),
        );
        for (goods, (mass, volume, mut worked)) in sizes {
            if mass <= 0.0 {
                let net = ("not shown".to_owned(), None);
                self.add(Phase::Stone, goods, net, None, worked.join("; "));
                continue;
            }
            let least = mass * (1.0 + STONE_WASTE.0) * (1.0 + STONE_MOISTURE.0);
            let most = mass * (1.0 + STONE_WASTE.1) * (1.0 + STONE_MOISTURE.1);
            worked.push(format!(
                "with 5 to 10 % waste and 1 to 5 % moisture {} to {} on the scale",
                tons.show(least),
                tons.show(most)
            ));
            let net = (
                format!("{} dry, {} in place", tons.show(mass), yards.show(volume)),
                Some(mass),
            );
            self.add(
                Phase::Stone,
                goods,
                net,
                Some(tons.order(most)),
                worked.join("; "),
            );
        }
        for (id, wall) in &self.plan().walls {
            let height = wall.height.value().map_or_else(String::new, |height| {
                format!(", {} high", natural(height.si(), Kind::Length, self.units))
            });
            let net = ("not shown: the plan gives no length of wall".to_owned(), None);
            self.add(
                Phase::Stone,
                format!("wall stone, {id}{height}"),
                net,
                None,
                "count on site".to_owned(),
            );
        }
    }

    fn modules(&mut self, layer: &Given<Layer>) {
        let (area, thick) = (layer.area.value(), layer.thickness.value());
        let volume = figure(self.review, &layer.place, "stone-volume").and_then(|found| found.si);
        let by_size = area.zip(thick).map(|(area, thick)| area.si() * thick.si());
        let height = thick.map_or_else(String::new, |thick| {
            format!(" {} high", natural(thick.si(), Kind::Length, self.units))
        });
        let Some(si) = by_size.or(volume) else { return };
        let worked = match (area, thick) {
            (Some(area), Some(thick)) => format!(
                "{} × {}; count = volume over that of one module",
                natural(area.si(), Kind::Area, self.units),
                natural(thick.si(), Kind::Length, self.units)
            ),
            _ => "count = volume over that of one module".to_owned(),
        };
        let sold = SoldBy {
            unit: unit(
                Kind::BulkVolume,
                if self.units == UnitSystem::Us {
                    "ft³"
                } else {
                    "m³"
                },
            ),
            step: if self.units == UnitSystem::Us { 1.0 } else { 0.05 },
        };
        let net = (sold.show(si), Some(si));
        self.add(
            Phase::Stone,
            format!("void modules{height}"),
            net,
            Some(sold.order(si)),
            worked,
        );
    }
}

fn stone_goods(layer: &Layer, id: &str, units: UnitSystem) -> String {
    let size = |length: &Shown<Length>| length.value().map(|size| natural(size.si(), Kind::Length, units));
    let shape = layer.shape.value().map_or("", |shape| match shape {
        StoneShape::Round => "round ",
        StoneShape::Subangular => "subangular ",
        StoneShape::Angular => "angular ",
    });
    let washed = if layer.washed.yes() == Some(true) {
        ", washed"
    } else {
        ""
    };
    match (size(&layer.smallest), size(&layer.largest)) {
        (Some(least), Some(most)) => format!("{shape}stone {least} to {most}{washed}"),
        _ => format!("{shape}stone of layer {id}{washed}"),
    }
}
