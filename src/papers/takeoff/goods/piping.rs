//! Pipe by size, fittings and valves, pumps, wells.

use indexmap::IndexMap;

use super::{CUT_OFF, Goods};
use crate::{
    papers::{
        takeoff::lines::{Order, Phase, SoldBy, natural, pieces, rounded_up},
        words::basin_name,
    },
    plan::{Given, Measure, Plan, Run, Shown, name_of},
    quantity::{Kind, UnitSystem},
};

impl Goods<'_> {
    pub(super) fn pipes(&mut self) {
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

    pub(super) fn equipment(&mut self) {
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
