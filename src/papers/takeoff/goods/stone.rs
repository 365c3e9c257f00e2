//! Stone by size, modules, walls.

use indexmap::IndexMap;

use super::Goods;
use crate::{
    papers::{
        takeoff::lines::{Phase, SoldBy, figure, natural, stone_size, unit},
        words::basin_name,
    },
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
        let mut modules: IndexMap<String, (f64, Vec<String>)> = IndexMap::new();
        for basin in self.plan().basins.values() {
            for (id, layer) in &basin.layers {
                let volume = figure(self.review, &layer.place, "stone-volume");
                match layer.fill.value() {
                    Some(Fill::Modules) => self.modules(layer, &mut modules),
                    Some(Fill::Stone) | None => {
                        let mass = figure(self.review, &layer.place, "stone-mass");
                        let entry = sizes.entry(stone_goods(layer, id, self.units)).or_default();
                        entry.0 += mass.as_ref().and_then(|mass| mass.si).unwrap_or(0.0);
                        entry.1 += volume.as_ref().and_then(|volume| volume.si).unwrap_or(0.0);
                        let worked = [volume, mass].into_iter().flatten().map(|found| found.worked);
                        entry.2.push(worked.collect::<Vec<_>>().join("; "));
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
        self.order_modules(modules);
        let (tons, yards) = (
            SoldBy::of(Kind::Mass, self.units),
            SoldBy::of(Kind::BulkVolume, self.units),
        );
        for (goods, (mass, volume, worked)) in sizes {
            let mut worked = told_once(worked);
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
        self.boulders();
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

    /// Boulders that stand on a lining, with what is laid under them: a plan names their seats and the largest, not how many.
    fn boulders(&mut self) {
        for (id, basin) in &self.plan().basins {
            let Shown::Is(lining) = &basin.lining else {
                continue;
            };
            let Shown::Is(seats) = &lining.boulder_seats else {
                continue;
            };
            let name = basin_name(self.plan(), id);
            let (item, largest) = match lining.boulder_mass.value() {
                Some(mass) => {
                    let largest = natural(mass.si(), Kind::Mass, self.units);
                    (format!("boulders up to {largest}"), Some(mass.si()))
                }
                None => ("boulders".to_owned(), None),
            };
            let net = (
                format!("{name}: pick and count on site; the plan gives no number"),
                None,
            );
            let load = largest.map_or_else(String::new, |mass| {
                format!(
                    "; the largest weighs {}: a machine sets it, and nobody stands under it",
                    natural(mass, Kind::Mass, self.units)
                )
            });
            self.add(
                Phase::Stone,
                item,
                net,
                None,
                format!("seats: {}{load}", seats.value),
            );
            if let Shown::Is(pad) = &lining.boulder_pad {
                let net = (format!("{name}: one under each boulder of a ton or more"), None);
                self.add(
                    Phase::Stone,
                    format!("pad under boulders: {}", pad.value),
                    net,
                    None,
                    "as the plan shows it".to_owned(),
                );
            }
        }
    }

    /// The void modules of a layer, with those of the same height.
    fn modules(&self, layer: &Given<Layer>, found: &mut IndexMap<String, (f64, Vec<String>)>) {
        let (area, thick) = (layer.area.value(), layer.thickness.value());
        let volume = figure(self.review, &layer.place, "stone-volume").and_then(|found| found.si);
        let by_size = area.zip(thick).map(|(area, thick)| area.si() * thick.si());
        let height = thick.map_or_else(String::new, |thick| {
            format!(" {} high", natural(thick.si(), Kind::Length, self.units))
        });
        let Some(si) = by_size.or(volume) else { return };
        let (total, worked) = found.entry(format!("void modules{height}")).or_default();
        *total += si;
        if let (Some(area), Some(thick)) = (area, thick) {
            worked.push(format!(
                "{} × {}",
                natural(area.si(), Kind::Area, self.units),
                natural(thick.si(), Kind::Length, self.units)
            ));
        }
    }

    fn order_modules(&mut self, found: IndexMap<String, (f64, Vec<String>)>) {
        let (symbol, step) = match self.units {
            UnitSystem::Us => ("ft³", 1.0),
            UnitSystem::Si => ("m³", 0.05),
        };
        let sold = SoldBy {
            unit: unit(Kind::BulkVolume, symbol),
            step,
        };
        for (goods, (si, mut worked)) in found {
            let sizes = worked.join(" + ");
            worked = [sizes, "count = volume over that of one module".to_owned()]
                .into_iter()
                .filter(|text| !text.is_empty())
                .collect();
            let net = (sold.show(si), Some(si));
            self.add(Phase::Stone, goods, net, Some(sold.order(si)), worked.join("; "));
        }
    }
}

fn stone_goods(layer: &Layer, id: &str, units: UnitSystem) -> String {
    let size = |length: &Shown<Length>| length.value().map(|size| stone_size(size.si(), units));
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

/// Layers that are worked out alike, told once with their number.
fn told_once(layers: Vec<String>) -> Vec<String> {
    let mut told: Vec<(String, usize)> = Vec::new();
    for layer in layers.into_iter().filter(|layer| !layer.is_empty()) {
        match told.iter_mut().find(|(text, _)| *text == layer) {
            Some((_, times)) => *times += 1,
            None => told.push((layer, 1)),
        }
    }
    told.into_iter()
        .map(|(text, times)| {
            if times > 1 {
                format!("{times} layers, each {text}")
            } else {
                text
            }
        })
        .collect()
}
