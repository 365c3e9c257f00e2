//! Filling, flushing, tempering and dechlorination: what volumes take how long, and what the fish see by the hour.

use crate::{
    formulas::filling::{mixed_temperature, staged_dilution, thiosulfate},
    papers::{
        document::{Block, Cell, Column, Row, SheetTable},
        words::{basin_name, fish_meet_new_water, is_disinfected},
    },
    plan::{Measure, Plan, Shown},
    quantity::{Kind, UnitSystem, natural_unit, own_first, show_computed, show_estimate},
    read::Place,
    review::ReviewContext,
};

/// Steps that fish tolerate in half an hour, K: 5 °F colder, 7 °F warmer (LSU AgCenter stocking procedures).
const COLDER: f64 = 5.0 / 1.8;
const WARMER: f64 = 7.0 / 1.8;
/// The same in words.
pub(super) const STEP_ALLOWED: &str =
    "in each half hour at most half of 5 °F (2.8 °C) colder or 7 °F (3.9 °C) warmer (LSU AgCenter)";
/// What the sheet works to: half of that, as a pond is not mixed at once (common practice).
const MARGIN: f64 = 0.5;
/// The longest joining that is told by the hour; beyond that the water is warmed or stood first.
const MOST_HOURS: usize = 24;
/// A half hour, s.
const HALF_HOUR: f64 = 1800.0;

struct Water<'a> {
    context: &'a ReviewContext<'a>,
    units: UnitSystem,
}

/// The blocks of the sheet on filling and flushing.
pub(super) fn filling(context: &ReviewContext<'_>) -> Vec<Block> {
    let water = Water::of(context);
    let mut blocks = vec![Block::Caution {
        text: "Water that flows back poisons drinking water: keep the air gap or backflow device at every fill, and never leave a \
               hose hanging in the pond. Small children drown silently in open water: the barrier stands from the first day."
            .to_owned(),
    }];
    blocks.push(Block::Table(water.volumes()));
    if let Some(wash) = water.washing() {
        blocks.push(Block::Heading {
            text: "Washing new stone".to_owned(),
        });
        blocks.push(Block::Table(wash));
    }
    if let Some(flush) = water.flushing() {
        blocks.push(Block::Heading {
            text: "Flushing settled mud".to_owned(),
        });
        blocks.push(Block::Table(flush));
    }
    blocks
}

/// What the sheet on joining new water is called: a supply without a disinfectant is only tempered, water without fish only
/// dechlorinated.
pub(super) fn joining_sheet(plan: &Plan) -> &'static str {
    match (is_disinfected(plan), fish_meet_new_water(plan)) {
        (Some(false), _) => "Tempering",
        (Some(true) | None, true) => "Tempering and dechlorination",
        (Some(true) | None, false) => "Dechlorination",
    }
}

/// The blocks of the sheet on tempering and dechlorination; none where no fish meet new water.
pub(super) fn tempering(context: &ReviewContext<'_>) -> Option<Vec<Block>> {
    let water = Water::of(context);
    if fish_meet_new_water(context.plan) {
        return water.joining();
    }
    let new = water.figure(&Place::root(), "joining-volume")?;
    Some(vec![
        Block::Note {
            text: "No fish are in the water yet: dose and test, and let it stand until the tests are clean."
                .to_owned(),
        },
        Block::Table(water.dosing(new)?),
    ])
}

impl<'a> Water<'a> {
    fn of(context: &'a ReviewContext<'a>) -> Self {
        Self {
            context,
            units: context.units,
        }
    }

    fn show(&self, si: f64, kind: Kind) -> String {
        show_computed(si, kind, self.units)
    }

    fn cell(&self, si: Option<f64>, kind: Kind) -> Cell {
        si.map_or(Cell::Empty, |si| Cell::Quantity {
            si,
            text: self.show(si, kind),
        })
    }

    /// How long something takes, to two digits: a supply is measured with a bucket and a watch.
    fn takes(&self, si: Option<f64>) -> Cell {
        si.map_or(Cell::Empty, |si| Cell::Quantity {
            si,
            text: show_estimate(si, Kind::Time, self.units),
        })
    }

    /// A temperature to a tenth of a degree, as a thermometer reads it at best.
    fn temperature(&self, si: f64) -> Cell {
        let unit = natural_unit(si, Kind::Temperature, self.units);
        let read = unit.to_si((unit.from_si(si) * 10.0).round() / 10.0);
        Cell::Quantity {
            si,
            text: self.show(read, Kind::Temperature),
        }
    }

    fn figure(&self, at: &Place, name: &str) -> Option<f64> {
        self.context.ledger.quantity(at, name)
    }

    fn supply(&self) -> Option<f64> {
        let filling = self.context.plan.filling.value()?;
        filling
            .supply_flow
            .value()
            .map(|flow| flow.si())
            .filter(|flow| *flow > 0.0)
    }

    fn volumes(&self) -> SheetTable {
        let supply = self.supply();
        let mut total = Some(0.0);
        let mut rows: Vec<Row> = Vec::new();
        for (id, basin) in &self.context.plan.basins {
            let volume = self.figure(&basin.place, "still-volume");
            total = total.zip(volume).map(|(total, volume)| total + volume);
            rows.push(Row::of(vec![
                Cell::text(basin_name(self.context.plan, id)),
                self.cell(volume, Kind::Volume),
                self.takes(volume.zip(supply).map(|(volume, flow)| volume / flow)),
                Cell::Blank,
                Cell::Blank,
            ]));
        }
        let first = self.figure(&Place::root(), "joining-volume");
        let time = self.figure(&Place::root(), "fill-time");
        let sum_time = self.takes(total.zip(supply).map(|(total, flow)| total / flow));
        let is_all = first
            .zip(total)
            .is_some_and(|(first, total)| (first - total).abs() <= 1e-9 * total);
        // Where everything is filled for the first time, the two are one line.
        let named = if is_all {
            "all basins: new water of the first fill"
        } else {
            rows.push(Row::strong(vec![
                Cell::text("all basins"),
                self.cell(total, Kind::Volume),
                sum_time,
                Cell::Empty,
                Cell::Empty,
            ]));
            "new water of the first fill"
        };
        rows.push(Row::strong(vec![
            Cell::text(named),
            self.cell(first, Kind::Volume),
            self.takes(time),
            Cell::Blank,
            Cell::Blank,
        ]));
        let columns = vec![
            Column::words("basin, to still water", 2.4),
            Column::figures("volume", 1.1),
            Column::figures("at the supply", 1.1),
            Column::words("meter, start", 1.2),
            Column::words("meter, end", 1.2),
        ];
        let mut table = SheetTable::plain("filling", columns, rows);
        table.note = match supply {
            Some(flow) => format!(
                "Supply {}: measure it with a bucket and a watch first.",
                self.show(flow, Kind::Flow)
            ),
            None => "The plan does not show the flow of the supply: measure it with a bucket and a watch."
                .to_owned(),
        };
        table
    }

    fn washing(&self) -> Option<SheetTable> {
        let filling = self.context.plan.filling.value()?;
        let wash = filling.wash.value()?;
        let cycles = (*wash.cycles.value()?).min(50);
        let share = wash.fraction.value()?.si();
        let beds = self
            .context
            .plan
            .basins
            .values()
            .filter(|basin| !basin.layers.is_empty());
        let volume: f64 = beds
            .filter_map(|basin| self.figure(&basin.place, "still-volume"))
            .sum();
        if volume <= 0.0 {
            return None;
        }
        let each = volume * share;
        let time = self.supply().map(|flow| each / flow);
        let rows = (1..=cycles).map(|cycle| {
            let left = staged_dilution(1.0, 0.0, share, cycle);
            Row::of(vec![
                Cell::count(cycle as usize),
                self.cell(Some(each), Kind::Volume),
                self.takes(time),
                self.cell(Some(each * f64::from(cycle)), Kind::Volume),
                Cell::Quantity {
                    si: left,
                    text: self.show(left, Kind::Share),
                },
                Cell::Blank,
            ])
        });
        let columns = vec![
            Column::figures("cycle", 0.6),
            Column::figures("fill, then to waste", 1.4),
            Column::figures("at the supply", 1.1),
            Column::figures("to waste so far", 1.3),
            Column::figures("loose dirt left", 1.2),
            Column::words("clear?", 1.0),
        ];
        let mut table = SheetTable::plain("washing", columns, rows.collect());
        table.note.push_str("Staged dilution: each cycle stirs up what is loose and takes a part of it away; what clings to the stone stays.");
        Some(table)
    }

    fn flushing(&self) -> Option<SheetTable> {
        let beds = self.context.plan.basins.iter();
        let rows: Vec<Row> = beds
            .filter_map(|(id, basin)| {
                let volume = self.figure(&basin.place, "flush-volume")?;
                let flush = basin.flush.given();
                let provision = flush.and_then(|flush| flush.provision.value());
                Some(Row::of(vec![
                    Cell::text(basin_name(self.context.plan, id)),
                    self.cell(Some(volume), Kind::Volume),
                    self.cell(
                        flush.and_then(|flush| flush.flow.value()).map(|flow| flow.si()),
                        Kind::Flow,
                    ),
                    self.takes(self.figure(&basin.place, "flush-time")),
                    Cell::text(provision.map_or("not shown", String::as_str)),
                ]))
            })
            .collect();
        let columns = vec![
            Column::words("bed", 1.4),
            Column::figures("one flush", 1.0),
            Column::figures("at", 1.0),
            Column::figures("takes", 0.9),
            Column::words("how", 3.0),
        ];
        let mut table = SheetTable::plain("flushing", columns, rows);
        if table.parts.iter().all(|part| part.rows.is_empty()) {
            return None;
        }
        if let Some(interval) = self
            .context
            .plan
            .upkeep
            .value()
            .and_then(|upkeep| upkeep.flush_interval.value())
        {
            table.note = format!(
                "Every {}. Pump off, well open, until the water runs clear; then fill and start.",
                self.show(interval.si(), Kind::Time)
            );
        }
        Some(table)
    }

    fn joining(&self) -> Option<Vec<Block>> {
        let new = self.figure(&Place::root(), "joining-volume")?;
        let held = self.figure(&Place::root(), "stocked-volume")?;
        let supply = self.context.plan.water.value()?;
        let temperature = supply.fill_temperature.value().map(|fill| fill.si());
        let residual = match is_disinfected(self.context.plan) {
            Some(true) => {
                "Chlorine and chloramine kill fish and filter bacteria at the tap’s own strength. Dose first, wait, test twice, and \
                 join only on two clean tests."
            }
            Some(false) => {
                "The supply is not disinfected, so nothing is dosed. Water from the ground or a roof may lack oxygen: let it run in \
                 over air or a splash."
            }
            None => {
                "The plan does not show whether the supply is disinfected: ask, and test for total chlorine. Chlorine and chloramine \
                 kill fish and filter bacteria at the tap’s own strength."
            }
        };
        let mut blocks = vec![Block::Note {
            text: format!(
                "{residual} Measure both waters at each line: the table is worked out from the plan’s temperatures, the thermometer \
                 decides."
            ),
        }];
        let Some(fill) = temperature else {
            blocks.push(Block::Note {
                text:
                    "The plan does not show the temperature of the fill water: measure it, and join slowly."
                        .to_owned(),
            });
            return Some(blocks);
        };
        let seasons: Vec<(&str, f64)> = [("coldest", &supply.coldest), ("warmest", &supply.warmest)]
            .into_iter()
            .filter_map(|(season, water)| Some((season, water.value()?.si())))
            .collect();
        if let Some(table) = self.by_hour(new, held, fill, &seasons) {
            blocks.push(Block::Table(table));
        } else {
            blocks.push(Block::Note {
                text: format!(
                    "By these temperatures joining would take more than {MOST_HOURS} hours. Let the fill water stand with air until it is within \
                     {} of the pond.",
                    self.show(COLDER, Kind::TemperatureStep)
                ),
            });
        }
        if let Some(table) = self.dosing(new) {
            blocks.push(Block::Heading {
                text: "Dose for each batch of fill water".to_owned(),
            });
            blocks.push(Block::Table(table));
        }
        Some(blocks)
    }

    /// New water joined in equal half hours, so slowly that no half hour steps farther than half of what fish tolerate.
    fn by_hour(&self, new: f64, held: f64, fill: f64, seasons: &[(&str, f64)]) -> Option<SheetTable> {
        let step_allowed = |water: f64| MARGIN * if fill < water { COLDER } else { WARMER };
        let fits = |halves: usize| {
            let part = new / halves as f64;
            seasons.iter().all(|(_, water)| {
                // The first half hour steps farthest: the waters are farthest apart then.
                (mixed_temperature((held, *water), (part, fill)) - water).abs() <= step_allowed(*water) + 1e-9
            })
        };
        let halves = (1..=2 * MOST_HOURS).find(|halves| fits(*halves))?;
        let part = new / halves as f64;
        let mut columns = vec![
            Column::figures("hour", 0.6),
            Column::figures("joined so far", 1.2),
            Column::figures("flow", 1.0),
        ];
        for (season, _) in seasons {
            let title = if *season == "coldest" {
                "pond, cold season"
            } else {
                "pond, warm season"
            };
            columns.push(Column::figures(title, 1.3));
        }
        columns.push(Column::words("pond measured", 1.2));
        columns.push(Column::words("fill measured", 1.2));
        let at = |joined: f64, water: f64| mixed_temperature((held, water), (joined, fill));
        let rows = (0..=halves).map(|half| {
            let joined = part * half as f64;
            let hour = half as f64 / 2.0;
            let mut cells = vec![
                Cell::Number {
                    value: hour,
                    text: format!("{hour}"),
                },
                self.cell(Some(joined), Kind::Volume),
                if half == 0 {
                    Cell::Empty
                } else {
                    self.cell(Some(part / HALF_HOUR), Kind::Flow)
                },
            ];
            cells.extend(
                seasons
                    .iter()
                    .map(|(_, water)| self.temperature(at(joined, *water))),
            );
            cells.extend([Cell::Blank, Cell::Blank]);
            Row::of(cells)
        });
        let mut table = SheetTable::plain("tempering", columns, rows.collect());
        let stood = self
            .context
            .plan
            .filling
            .value()
            .and_then(|filling| filling.standing_tanks.given());
        let stood = match stood.and_then(|tanks| tanks.stood.value()) {
            Some(time) => format!(
                " The plan lets the water stand {} first: measure it then; where it matches, join at once.",
                self.show(time.si(), Kind::Time)
            ),
            None => String::new(),
        };
        table.note = format!(
            "{} of new water at {} into {} that hold fish; {}.{stood}",
            self.show(new, Kind::Volume),
            self.show(fill, Kind::Temperature),
            self.show(held, Kind::Volume),
            own_first(STEP_ALLOWED, self.units)
        );
        Some(table)
    }

    /// What neutralizes the residual, batch by batch; none where there is no disinfectant.
    fn dosing(&self, new: f64) -> Option<SheetTable> {
        let supply = self.context.plan.water.value()?;
        let Shown::Is(disinfectant) = &supply.disinfectant else {
            return None;
        };
        let residual = supply.residual.value()?.si();
        let dose = self
            .context
            .plan
            .filling
            .value()
            .and_then(|filling| filling.dechlorinator.given());
        let dose_rate = dose.and_then(|dose| dose.dose.value()).map(|dose| dose.si());
        let product = dose
            .and_then(|dose| dose.product.value())
            .map_or("dechlorinator", String::as_str);
        let batches = [
            (
                "each 100 of supply",
                match self.units {
                    UnitSystem::Us => 100.0 * 0.003_785_411_784,
                    UnitSystem::Si => 0.1,
                },
            ),
            ("whole first fill", new),
        ];
        let rows = batches.map(|(name, volume)| {
            let chlorine = residual * volume;
            let (least, most) = thiosulfate(chlorine);
            let name = if name.starts_with("each") {
                format!("each {}", self.show(volume, Kind::Volume))
            } else {
                name.to_owned()
            };
            Row::of(vec![
                Cell::Text(name),
                Self::small_mass(Some(chlorine)),
                Self::small_mass(dose_rate.map(|rate| rate * volume)),
                // The range is wide; a third digit would say nothing.
                Cell::Text(format!(
                    "{} to {}",
                    show_estimate(least, Kind::Mass, UnitSystem::Si),
                    show_estimate(most, Kind::Mass, UnitSystem::Si)
                )),
                Cell::Blank,
                Cell::Blank,
            ])
        });
        let columns = vec![
            Column::words("water", 1.5),
            Column::figures("chlorine in it", 1.1),
            Column::figures("plan’s dose", 1.0),
            Column::figures("sodium thiosulfate", 1.6),
            Column::words("first test", 1.0),
            Column::words("second test", 1.0),
        ];
        let mut table = SheetTable::plain("dosing", columns, rows.to_vec());
        let chloramine = if matches!(disinfectant.value, crate::plan::Disinfectant::Chloramine) {
            " Chloramine also frees ammonia: the product must bind it, and ammonia is tested too."
        } else {
            ""
        };
        table.note = format!(
            "Residual {} as chlorine; product: {product}. Thiosulfate by 1.9 (AWWA field guide) to 7.0 mg for each mg of chlorine \
             (the full chemistry). The label of a product goes before this table, and the test before both.{chloramine}",
            self.show(residual, Kind::Concentration)
        );
        Some(table)
    }

    fn small_mass(si: Option<f64>) -> Cell {
        si.map_or(Cell::Empty, |si| Cell::Quantity {
            si,
            text: Self::grams(si),
        })
    }

    /// A small mass in grams, as scales for chemicals weigh in either system.
    fn grams(si: f64) -> String {
        show_computed(si, Kind::Mass, UnitSystem::Si)
    }
}
