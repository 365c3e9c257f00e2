//! The lines by trade: soil, sheets and fabric, stone and modules, pipe and fittings, wire, water, plants.

use indexmap::IndexMap;

use super::{
    TakeoffOptions,
    lines::{Line, Order, Phase, SoldBy, figure, natural, pieces, rounded_up},
    nesting::{Layout, Piece, nest, strips},
};
use crate::{
    papers::words::basin_name,
    plan::{Fill, Given, Layer, Material, Measure, Plan, Run, Shown, StoneShape, name_of},
    quantity::{Kind, UnitSystem},
    read::Place,
    review::{Review, ReviewContext},
};

/// Stone that is lost, spilled or left over, and the water that washed stone brings along, as shares of dry stone in place
/// (common practice).
const STONE_WASTE: (f64, f64) = (0.05, 0.10);
const STONE_MOISTURE: (f64, f64) = (0.01, 0.05);
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
                worked.push(found.worked);
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
        if let Shown::Is(backfill) = &self.plan().backfill {
            let what = backfill.material.value().map_or("backfill", String::as_str);
            let lift = backfill.lift.value().map_or_else(String::new, |lift| {
                format!(
                    "; in loose lifts of {}",
                    natural(lift.si(), Kind::Length, self.units)
                )
            });
            let net = (format!("not shown: the plan gives no volume{lift}"), None);
            self.add(
                Phase::Dig,
                format!("backfill: {what}"),
                net,
                None,
                "measure the gap behind the lining on site".to_owned(),
            );
        }
    }

    fn sheets(&mut self) {
        let mut cut: IndexMap<String, Vec<(String, f64, f64)>> = IndexMap::new();
        let basins = self.plan().basins.iter();
        for (id, basin) in basins {
            let Shown::Is(lining) = &basin.lining else {
                continue;
            };
            let name = basin_name(self.plan(), id).to_owned();
            let needed = |name: &str| figure(self.review, &basin.place, name);
            let (length, width) = (needed("sheet-length-needed"), needed("sheet-width-needed"));
            let sides = length
                .as_ref()
                .and_then(|length| length.si)
                .zip(width.as_ref().and_then(|width| width.si));
            let worked: Vec<String> = [length, width]
                .into_iter()
                .flatten()
                .map(|found| found.worked)
                .collect();
            if let Shown::Is(membrane) = &lining.membrane {
                let goods = membrane_goods(membrane, self.units);
                let given = membrane.length.value().zip(membrane.width.value());
                let given = given.map(|(length, width)| (length.si(), width.si()));
                if let Some((long, wide)) = given.or(sides) {
                    cut.entry(goods.clone())
                        .or_default()
                        .push((name.clone(), long, wide));
                }
                self.sheet(&goods, &name, given, sides, worked.join("; "));
            }
            for (fabric, place) in [(&lining.underlay, "underlay"), (&lining.cushion, "cushion")] {
                let Shown::Is(fabric) = fabric else { continue };
                let mass = fabric.mass.value();
                let mass = mass.map_or_else(String::new, |mass| {
                    format!(" {}", natural(mass.si(), Kind::MassPerArea, self.units))
                });
                self.fabric(&format!("{place}{mass}"), &name, sides, &worked);
            }
        }
        if let Some(roll) = self.options.liner_roll {
            for (goods, sheets) in cut {
                self.nested(&goods, &sheets, roll);
            }
        }
    }

    /// A membrane: the sheet that the plan gives, else what is needed up to the next step.
    fn sheet(
        &mut self,
        goods: &str,
        basin: &str,
        given: Option<(f64, f64)>,
        needed: Option<(f64, f64)>,
        worked: String,
    ) {
        let sold = SoldBy::of(Kind::Length, self.units);
        let size = |(long, wide): (f64, f64)| format!("{} × {}", sold.show(long), sold.show(wide));
        let up = |side: f64| sold.unit.to_si(rounded_up(sold.unit.from_si(side), sold.step));
        let sheet = given.or(needed.map(|(long, wide)| (up(long), up(wide))));
        let net = match (needed, given) {
            (Some(needed), _) => format!("{}: {} needed", basin, size(needed)),
            (None, Some(_)) => format!("{basin}: as the plan gives it"),
            (None, None) => format!("{basin}: not shown"),
        };
        let area = sheet.map(|(long, wide)| long * wide);
        let item = match sheet {
            Some(sheet) => format!("{goods} sheet {}", size(sheet)),
            None => format!("{goods} sheet"),
        };
        self.add(
            Phase::Lining,
            item,
            (net, area),
            sheet.map(|_| pieces(1.0)),
            worked,
        );
    }

    /// Fabric from the roll, in strips with laps.
    fn fabric(&mut self, goods: &str, basin: &str, sides: Option<(f64, f64)>, worked: &[String]) {
        let (roll, lap) = (self.options.fabric_roll, self.options.lap);
        let Some((long, wide)) = sides else {
            let why = worked.first().cloned().unwrap_or_default();
            self.add(
                Phase::Lining,
                goods,
                (format!("{basin}: measure on site"), None),
                None,
                why,
            );
            return;
        };
        let Some(laid) = strips(long, wide, roll, lap) else {
            return;
        };
        let sold = SoldBy::of(Kind::Area, self.units);
        let long_unit = SoldBy::of(Kind::Length, self.units);
        let waste = laid.area / (long * wide) - 1.0;
        let how = format!(
            "{basin}: {} strips of {}, {} wide, lapped {}: {} of roll, {:.0} % laps and offcuts",
            laid.count,
            long_unit.show(laid.length),
            long_unit.show(roll),
            natural(lap, Kind::Length, self.units),
            long_unit.show(laid.count as f64 * laid.length),
            waste * 100.0
        );
        let net = (format!("{basin}: {}", sold.show(long * wide)), Some(long * wide));
        self.add(Phase::Lining, goods, net, Some(sold.order(laid.area)), how);
        let step = roll - lap;
        self.layouts.push(Layout {
            title: format!("{goods}, {basin}: {} strips", laid.count),
            width: laid.covers,
            length: laid.length,
            pieces: (0..laid.count)
                .map(|index| Piece {
                    name: format!("strip {}", index + 1),
                    along: 0.0,
                    across: index as f64 * step,
                    length: laid.length,
                    width: roll,
                })
                .collect(),
            lap,
        });
    }

    /// The sheets of one kind of goods, cut from rolls of one width.
    fn nested(&mut self, goods: &str, sheets: &[(String, f64, f64)], roll: f64) {
        let (mut layout, left) = nest(sheets, roll);
        let sold = SoldBy::of(Kind::Length, self.units);
        let used: f64 = layout.pieces.iter().map(|piece| piece.length * piece.width).sum();
        if layout.length > 0.0 {
            let waste = 1.0 - used / (layout.length * roll);
            layout.title = format!("{goods} from a roll {} wide", sold.show(roll));
            let worked = format!(
                "{} sheets on {}, {:.0} % offcut; instead of the single sheets above",
                layout.pieces.len(),
                sold.show(layout.length),
                waste * 100.0
            );
            let item = format!("{goods}, roll {} wide, instead of sheets", sold.show(roll));
            let net = (
                format!("{} of roll", sold.show(layout.length)),
                Some(layout.length),
            );
            self.add(Phase::Lining, item, net, Some(sold.order(layout.length)), worked);
            self.layouts.push(layout);
        }
        if !left.is_empty() {
            let net = (
                format!("wider than the roll both ways: {}", left.join(", ")),
                None,
            );
            let how = "order in one piece, or have it seamed by the maker".to_owned();
            self.add(
                Phase::Lining,
                format!("{goods}, wider than the roll"),
                net,
                None,
                how,
            );
        }
    }

    fn stone(&mut self) {
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
            unit: super::unit(
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

    fn pipes(&mut self) {
        let mut sizes: IndexMap<String, (f64, Vec<String>)> = IndexMap::new();
        let mut fittings: IndexMap<String, (u32, Vec<String>)> = IndexMap::new();
        for (name, run) in runs(self.plan()) {
            let goods = pipe_goods(&run, self.units);
            if let Shown::Is(length) = &run.length {
                let (total, worked) = sizes.entry(goods.clone()).or_default();
                *total += length.si();
                worked.push(format!(
                    "{name} {}",
                    natural(length.si(), Kind::Length, self.units)
                ));
            }
            for (fitting, count) in run.fittings.value().into_iter().flatten() {
                let (total, worked) = fittings.entry(format!("{fitting}, {goods}")).or_default();
                *total = total.saturating_add(*count);
                worked.push(format!("{name} {count}"));
            }
        }
        let long = SoldBy::of(Kind::Length, self.units);
        let stock = self.options.pipe_stock;
        for (goods, (length, worked)) in sizes {
            let count = rounded_up(length * (1.0 + CUT_OFF) / stock, 1.0);
            let order = Order {
                amount: count,
                sold_by: format!("length of {}", long.show(stock)),
            };
            let how = format!("{}; 10 % cut off", worked.join(" + "));
            self.add(
                Phase::Pipes,
                format!("pipe {goods}"),
                (long.show(length), Some(length)),
                Some(order),
                how,
            );
        }
        for (goods, (count, worked)) in fittings {
            let count = f64::from(count);
            self.add(
                Phase::Pipes,
                goods,
                (format!("{count}"), Some(count)),
                Some(pieces(count)),
                worked.join(" + "),
            );
        }
    }

    fn equipment(&mut self) {
        let one = |count: f64| ((format!("{count}"), Some(count)), Some(pieces(count)));
        for (id, line) in &self.plan().lines {
            let name = name_of(id, &line.name).to_owned();
            if matches!(line.check_valve, Shown::Is(_)) {
                let (net, order) = one(1.0);
                self.add(
                    Phase::Pipes,
                    format!("check valve, {name}"),
                    net,
                    order,
                    "as the plan shows it".to_owned(),
                );
            }
            if let Shown::Is(inlet) = &line.air_inlet {
                let bore = inlet.bore.value().map_or_else(String::new, |bore| {
                    format!(" {}", natural(bore.si(), Kind::Length, self.units))
                });
                let (net, order) = one(1.0);
                self.add(
                    Phase::Pipes,
                    format!("air inlet{bore}, {name}"),
                    net,
                    order,
                    "as the plan shows it".to_owned(),
                );
            }
        }
        for (id, pump) in &self.plan().pumps {
            let count = f64::from(pump.count.value().copied().unwrap_or(1));
            let (net, order) = one(count);
            let name = name_of(id, &pump.name).to_owned();
            self.add(
                Phase::Pipes,
                format!("pump: {name}"),
                net,
                order,
                "as the plan shows it; a spare is its own line".to_owned(),
            );
            if matches!(pump.check_valve, Shown::Is(_)) {
                let (net, order) = one(count);
                self.add(
                    Phase::Pipes,
                    format!("check valve, {name}"),
                    net,
                    order,
                    "one for each pump".to_owned(),
                );
            }
        }
        for (id, basin) in &self.plan().basins {
            let Shown::Is(well) = &basin.clean_out_well else {
                continue;
            };
            let (Some(bore), Some(floor), Some(rim)) =
                (well.bore.value(), well.floor.value(), basin.rim.value())
            else {
                continue;
            };
            let long = SoldBy::of(Kind::Length, self.units);
            let si = rim.si() - floor.si();
            let item = format!(
                "clean-out well, bore {}",
                natural(bore.si(), Kind::Length, self.units)
            );
            let worked = format!(
                "{}: rim less lowest opening, {}",
                basin_name(self.plan(), id),
                long.show(si)
            );
            self.add(
                Phase::Pipes,
                item,
                (long.show(si), Some(si)),
                Some(long.order(si)),
                worked,
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
                unit: super::unit(Kind::Mass, if self.units == UnitSystem::Us { "oz" } else { "g" }),
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
            let worked = format!("as the plan counts them{spacing}; check your state’s list before buying");
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

/// Every run of pipe with its name: of lines, suctions and gravity lines.
fn runs(plan: &Plan) -> Vec<(String, Given<Run>)> {
    let mut all = Vec::new();
    let unboxed = |run: &Given<Box<Run>>| Given {
        value: (*run.value).clone(),
        place: run.place.clone(),
    };
    for (id, line) in &plan.lines {
        let name = name_of(id, &line.name);
        for (run_id, run) in &line.runs {
            let name = if line.runs.len() == 1 {
                name.to_owned()
            } else {
                format!("{name}, {run_id}")
            };
            all.push((name, run.clone()));
        }
    }
    for (id, pump) in &plan.pumps {
        if let Shown::Is(suction) = &pump.suction {
            all.push((
                format!("suction of {}", name_of(id, &pump.name)),
                unboxed(suction),
            ));
        }
    }
    for (id, drain) in &plan.drains {
        if let Shown::Is(run) = &drain.run {
            all.push((name_of(id, &drain.name).to_owned(), unboxed(run)));
        }
    }
    all
}

fn pipe_goods(run: &Run, units: UnitSystem) -> String {
    let Some(pipe) = run.pipe.value() else {
        return "size not shown".to_owned();
    };
    let size = pipe
        .size
        .value()
        .map(|size| natural(size.si(), Kind::Length, units));
    let material = pipe.material.value().map(|material| format!("{material:?}"));
    let material = material.map(|text| spaced(&text));
    let parts = [size, pipe.class.value().cloned(), material];
    let words: Vec<String> = parts.into_iter().flatten().collect();
    words.join(" ")
}

/// The name of a variant as words: `FlexiblePvc` as `flexible PVC`.
fn spaced(variant: &str) -> String {
    match variant {
        "Pvc" => "PVC".to_owned(),
        "FlexiblePvc" => "flexible PVC".to_owned(),
        "Pe" => "PE".to_owned(),
        "Abs" => "ABS".to_owned(),
        other => {
            let mut words = String::new();
            for letter in other.chars() {
                if letter.is_uppercase() && !words.is_empty() {
                    words.push(' ');
                }
                words.extend(letter.to_lowercase());
            }
            words
        }
    }
}

fn membrane_goods(membrane: &crate::plan::Membrane, units: UnitSystem) -> String {
    let material = membrane
        .material
        .value()
        .map_or("membrane", |material| match material {
            Material::Epdm => "EPDM",
            Material::Pvc => "PVC",
            Material::Lldpe => "LLDPE",
            Material::Hdpe => "HDPE",
            Material::Rpe => "RPE",
            Material::Butyl => "butyl",
        });
    let thickness = membrane.thickness.value().map(|thickness| match units {
        UnitSystem::Us => format!(" {:.0} mil", thickness.si() / 0.0254 * 1000.0),
        UnitSystem::Si => format!(" {}", natural(thickness.si(), Kind::Length, units)),
    });
    format!("{material}{}", thickness.unwrap_or_default())
}

fn stone_goods(layer: &Layer, id: &str, units: UnitSystem) -> String {
    let size = |length: &Shown<crate::plan::Length>| {
        length.value().map(|size| natural(size.si(), Kind::Length, units))
    };
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
