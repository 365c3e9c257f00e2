//! The lines by trade: soil, sheets and fabric, stone and modules, pipe and fittings, wire, water, plants.

mod lining;
mod piping;
mod stone;

use super::{
    lines::{Line, Order, Phase, SoldBy, figure, natural, pieces, unit},
    nesting::Layout,
    options::TakeoffOptions,
};
use crate::{
    plan::{Measure, Plan, Shown},
    quantity::{Kind, UnitSystem},
    read::Place,
    review::{Review, ReviewContext},
};

/// Pipe and wire cut off, as a share (common practice).
const CUT_OFF: f64 = 0.10;

/// Lines as they are gathered, with the layouts of what is cut.
pub(super) struct Goods<'a> {
    context: &'a ReviewContext<'a>,
    review: &'a Review,
    options: &'a TakeoffOptions,
    units: UnitSystem,
    pub lines: Vec<Line>,
    pub layouts: Vec<Layout>,
}

impl<'a> Goods<'a> {
    pub fn of(context: &'a ReviewContext<'a>, review: &'a Review, options: &'a TakeoffOptions) -> Self {
        let mut goods = Self {
            context,
            review,
            options,
            units: context.units,
            lines: Vec::new(),
            layouts: Vec::new(),
        };
        goods.soil();
        goods.sheets();
        goods.pipes();
        goods.equipment();
        goods.stone();
        goods.wire();
        goods.water();
        goods.plants();
        goods
    }

    fn plan(&self) -> &'a Plan {
        self.context.plan
    }

    fn add(
        &mut self,
        phase: Phase,
        item: impl Into<String>,
        (net, si): (String, Option<f64>),
        order: Option<Order>,
        worked: String,
    ) {
        self.lines.push(Line {
            phase,
            item: item.into(),
            net,
            si,
            order,
            worked,
        });
    }

    fn soil(&mut self) {
        let sold = SoldBy::of(Kind::BulkVolume, self.units).in_steps(1.0);
        let (mut total, mut worked) = (0.0, Vec::new());
        for dig in self.plan().excavations.values() {
            if let Some(found) = figure(self.review, &dig.place, "spoil-volume") {
                total += found.si.unwrap_or(0.0);
                worked.push(found.line());
            }
        }
        if total > 0.0 {
            let net = (sold.show(total), Some(total));
            worked.push("loose; soils bulk by 12 % (sand, gravel) to 40 % (clay)".to_owned());
            self.add(
                Phase::Dig,
                "soil dug, loose",
                net,
                Some(sold.order(total)),
                worked.join("; "),
            );
        }
        self.backfill();
    }

    /// What the slopes of digs take, and what is put back behind the lining.
    fn backfill(&mut self) {
        let sold = SoldBy::of(Kind::BulkVolume, self.units).in_steps(1.0);
        let (mut in_place, mut loose, mut worked) = (0.0, 0.0, Vec::new());
        let mut gaps = Vec::new();
        for dig in self.plan().excavations.values() {
            let figures = ["backfill-volume", "backfill-loose-volume"]
                .map(|name| figure(self.review, &dig.place, name));
            let [Some(fill), Some(heap)] = figures else {
                continue;
            };
            match (fill.si, heap.si) {
                (Some(fill_si), Some(heap_si)) => {
                    in_place += fill_si;
                    loose += heap_si;
                    worked.extend([fill.line(), heap.line()]);
                }
                _ => gaps.push(fill.line()),
            }
        }
        if loose > 0.0 {
            self.add(
                Phase::Dig,
                "soil dug for the slopes, loose",
                (sold.show(loose), Some(loose)),
                Some(sold.order(loose)),
                "as much as is put back behind the lining".to_owned(),
            );
        }
        if let Shown::Is(backfill) = &self.plan().backfill {
            let what = backfill.material.value().map_or("backfill", String::as_str);
            let lift = backfill.lift.value().map_or_else(String::new, |lift| {
                format!(
                    "; in loose lifts of {}",
                    natural(lift.si(), Kind::Length, self.units)
                )
            });
            let (net, order) = if loose > 0.0 {
                let net = format!(
                    "{} in place, {} loose{lift}",
                    sold.show(in_place),
                    sold.show(loose)
                );
                ((net, Some(loose)), Some(sold.order(loose)))
            } else {
                worked = gaps;
                worked.push("measure the gap behind the lining on site".to_owned());
                ((format!("not worked out{lift}"), None), None)
            };
            self.add(
                Phase::Dig,
                format!("backfill: {what}"),
                net,
                order,
                worked.join("; "),
            );
        }
    }

    fn wire(&mut self) {
        let Shown::Is(electrical) = &self.plan().electrical else {
            return;
        };
        let step = if self.units == UnitSystem::Us { 10.0 } else { 5.0 };
        let sold = SoldBy::of(Kind::Length, self.units).in_steps(step);
        for (id, circuit) in &electrical.circuits {
            let Shown::Is(length) = &circuit.length else {
                continue;
            };
            let conductor = circuit.conductor.value().map_or("cable", String::as_str);
            let si = length.si();
            let worked = format!("circuit {id}; 10 % cut off. A licensed electrician confirms size and way");
            let net = (sold.show(si), Some(si));
            self.add(
                Phase::Power,
                conductor,
                net,
                Some(sold.order(si * (1.0 + CUT_OFF))),
                worked,
            );
        }
    }

    fn water(&mut self) {
        let root = Place::root();
        let sold = SoldBy::of(Kind::Volume, self.units);
        if let Some(found) = figure(self.review, &root, "joining-volume")
            && let Some(si) = found.si
        {
            self.add(
                Phase::Water,
                "water of the first fill",
                (sold.show(si), Some(si)),
                Some(sold.order(si)),
                found.worked,
            );
        }
        let Shown::Is(filling) = &self.plan().filling else {
            return;
        };
        if let Shown::Is(wash) = &filling.wash
            && let (Some(cycles), Some(share)) = (wash.cycles.value(), wash.fraction.value())
        {
            let beds = self
                .plan()
                .basins
                .values()
                .filter(|basin| !basin.layers.is_empty());
            let volumes: Vec<f64> = beds
                .filter_map(|basin| figure(self.review, &basin.place, "still-volume")?.si)
                .collect();
            let all: f64 = volumes.iter().sum();
            let si = f64::from(*cycles) * share.si() * all;
            let worked = format!(
                "{cycles} cycles of {:.0} % of {} among the stone",
                share.si() * 100.0,
                sold.show(all)
            );
            if si > 0.0 {
                self.add(
                    Phase::Water,
                    "water for washing, to waste",
                    (sold.show(si), Some(si)),
                    Some(sold.order(si)),
                    worked,
                );
            }
        }
        if let Some(found) = figure(self.review, &root, "dechlorinator-mass")
            && let Some(si) = found.si
        {
            let product = filling.dechlorinator.given();
            let product = product.and_then(|dechlorinator| dechlorinator.product.value());
            let sold = SoldBy {
                unit: unit(Kind::Mass, if self.units == UnitSystem::Us { "oz" } else { "g" }),
                step: if self.units == UnitSystem::Us { 1.0 } else { 10.0 },
            };
            let item = product.map_or("dechlorinator", String::as_str);
            let how = format!(
                "{}; the test for a residual decides, so have twice as much at hand",
                found.worked
            );
            self.add(
                Phase::Water,
                item,
                (sold.show(si), Some(si)),
                Some(sold.order(2.0 * si)),
                how,
            );
        }
    }

    fn plants(&mut self) {
        let Shown::Is(planting) = &self.plan().planting else {
            return;
        };
        for (id, species) in &planting.species {
            let Some(count) = species.count.value() else {
                continue;
            };
            let name = species.common.value().map_or(id.as_str(), String::as_str);
            let botanical = species
                .botanical
                .value()
                .map_or_else(String::new, |name| format!(" ({name})"));
            let spacing = species.spacing.value().map_or_else(String::new, |spacing| {
                format!(" at {}", natural(spacing.si(), Kind::Length, self.units))
            });
            let count = f64::from(*count);
            let worked =
                format!("as the plan counts them{spacing}; check the list of regulated plants before buying");
            self.add(
                Phase::Plants,
                format!("{name}{botanical}"),
                (format!("{count}"), Some(count)),
                Some(pieces(count)),
                worked,
            );
        }
    }
}
