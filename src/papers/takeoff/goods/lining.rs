//! Sheets, underlay and cushion, and how they are cut from the roll.

use indexmap::IndexMap;

use super::Goods;
use crate::{
    papers::{
        takeoff::{
            lines::{Phase, SoldBy, figure, natural, pieces, rounded_up},
            nesting::{Layout, Piece, nest, strips},
        },
        words::basin_name,
    },
    plan::{Material, Measure, Membrane, Shown},
    quantity::{Kind, UnitSystem},
};

impl Goods<'_> {
    pub(super) fn sheets(&mut self) {
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
            let mut worked: Vec<String> = [length, width]
                .into_iter()
                .flatten()
                .map(|found| found.worked)
                .collect();
            // What hinders one side mostly hinders the other.
            worked.dedup();
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
            "{basin}: {} of {}, {} wide, lapped {}: {} of roll, {:.0} % laps and offcuts",
            strips_of(laid.count),
            long_unit.show(laid.length),
            long_unit.show(roll),
            natural(lap, Kind::Length, self.units),
            long_unit.show(laid.count as f64 * laid.length),
            waste * 100.0
        );
        let net = (format!("{basin}: {}", sold.show(long * wide)), Some(long * wide));
        self.add(Phase::Lining, goods, net, Some(sold.order(laid.area)), how);
        let step = roll - lap;
        let ending = format!(", {basin}: {}", strips_of(laid.count));
        // Underlay and cushion of one basin are cut alike.
        if let Some(same) = self
            .layouts
            .last_mut()
            .filter(|last| last.title.ends_with(&ending))
        {
            same.title = format!("{}, {goods}{ending}", same.title.trim_end_matches(&ending));
            return;
        }
        self.layouts.push(Layout {
            title: format!("{goods}{ending}"),
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
                "{} on {}, {:.0} % offcut; instead of the single sheets above",
                match layout.pieces.len() {
                    1 => "1 sheet".to_owned(),
                    many => format!("{many} sheets"),
                },
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
}

fn strips_of(count: usize) -> String {
    match count {
        1 => "1 strip".to_owned(),
        many => format!("{many} strips"),
    }
}

fn membrane_goods(membrane: &Membrane, units: UnitSystem) -> String {
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
        // Sheets differ by hundredths of a millimetre, finer than anything else that is built.
        UnitSystem::Si => format!(" {} mm", (thickness.si() * 1e5).round() / 100.0),
    });
    format!("{material}{}", thickness.unwrap_or_default())
}
