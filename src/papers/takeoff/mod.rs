//! The materials list: every line with its figure and formula, rounded to what is sold, priced by a firm's own list.

mod goods;
mod lines;
mod nesting;
mod prices;

pub use nesting::{Layout, Piece, Strips, nest, strips};
pub use prices::{Price, read_prices};

use super::{
    document::{Block, Cell, Column, FieldPaper, Part, Row, SheetTable},
    imprint::PlanImprint,
    words::site_length,
};
use crate::{
    quantity::{FOOT, INCH, Kind, Unit, UnitSystem, natural_unit},
    review::{Review, ReviewContext},
};
use goods::Goods;
use lines::{Line, Phase};

/// What a materials list is made with.
#[derive(Clone, Debug)]
pub struct TakeoffOptions {
    /// Width of the rolls that fabric comes on, m.
    pub fabric_roll: f64,
    /// Lap of strips of fabric, m.
    pub lap: f64,
    /// Width of the rolls that membranes are cut from, m; none where they come as sheets.
    pub liner_roll: Option<f64>,
    /// Length that pipe is sold in, m.
    pub pipe_stock: f64,
    /// A firm's prices.
    pub prices: Vec<Price>,
}

impl TakeoffOptions {
    /// Widths and lengths usual where these units are: rolls 12 ft 6 in or 2 m wide, lapped 12 in (300 mm), pipe of 20 ft or
    /// 5 m (common practice).
    pub fn usual(units: UnitSystem) -> Self {
        let (fabric_roll, lap, pipe_stock) = match units {
            UnitSystem::Us => (12.5 * FOOT, 12.0 * INCH, 20.0 * FOOT),
            UnitSystem::Si => (2.0, 0.3, 5.0),
        };
        Self {
            fabric_roll,
            lap,
            liner_roll: None,
            pipe_stock,
            prices: Vec::new(),
        }
    }
}

/// A materials list with the layouts of what is cut.
pub struct Takeoff {
    /// The paper.
    pub paper: FieldPaper,
    /// Layouts of strips and sheets.
    pub layouts: Vec<Layout>,
    /// Items of the price list that nothing in this plan is, by their names.
    pub unused_prices: Vec<String>,
}

/// Makes the materials list of a plan.
pub fn takeoff(context: &ReviewContext<'_>, review: &Review, options: &TakeoffOptions) -> Takeoff {
    let goods = Goods::of(context, review, options);
    let currency = options.prices.iter().find_map(|price| price.currency.clone());
    let mut parts = Vec::new();
    let mut totals = Vec::new();
    let mut unpriced = 0;
    for phase in Phase::ALL {
        let of_phase: Vec<&Line> = goods.lines.iter().filter(|line| line.phase == phase).collect();
        if of_phase.is_empty() {
            continue;
        }
        let mut sum = 0.0;
        let rows = of_phase.iter().map(|line| {
            let cost = cost(line, &options.prices);
            match cost {
                Some((_, cost)) => sum += cost,
                None => unpriced += usize::from(line.order.is_some()),
            }
            row(line, cost)
        });
        parts.push(Part {
            title: phase.title().to_owned(),
            rows: rows.collect(),
        });
        totals.push((phase.title(), sum));
    }
    let table = SheetTable {
        name: "materials",
        columns: columns(),
        parts,
        note: String::new(),
    };
    let mut blocks = vec![
        Block::Note {
            text: format!(
                "Orders are rounded up to what is sold. Assumed where the plan shows nothing else: fabric rolls {} wide, lapped \
                 {}; pipe in lengths of {}; stone 5 to 10 % waste and 1 to 5 % moisture; pipe and wire 10 % cut off.",
                site_length(options.fabric_roll, context.units),
                site_length(options.lap, context.units),
                site_length(options.pipe_stock, context.units)
            ),
        },
        Block::Caution {
            text: "A list is not a design. Lift with a machine what two people cannot carry, and keep loads back from the \
                   edge of the dig."
                .to_owned(),
        },
        Block::Table(table),
    ];
    if !options.prices.is_empty() {
        blocks.push(Block::Heading {
            text: "Totals".to_owned(),
        });
        blocks.push(Block::Table(total_table(&totals, unpriced, currency.as_deref())));
    }
    let mut sheets = vec![("Materials".to_owned(), blocks)];
    if !goods.layouts.is_empty() {
        sheets.push((
            "Sheets and strips".to_owned(),
            vec![
                Block::Note {
                    text: "Each strip laps over the one below it, downhill. Cut nothing before the dig is raked and measured: a \
                           dig is never the size that was drawn."
                        .to_owned(),
                },
                Block::Drawing { name: "layouts" },
            ],
        ));
    }
    let imprint = PlanImprint::of(&review.subject, context.date, &context.tree.root, context.units);
    let used = |price: &&Price| !goods.lines.iter().any(|line| price.is_of(&line.item));
    Takeoff {
        unused_prices: options
            .prices
            .iter()
            .filter(used)
            .map(|price| price.item.clone())
            .collect(),
        paper: FieldPaper::new(("takeoff", 'M', "Materials"), imprint, sheets),
        layouts: goods.layouts,
    }
}

/// The price of a line and what it costs.
fn cost(line: &Line, prices: &[Price]) -> Option<(f64, f64)> {
    let order = line.order.as_ref()?;
    let price = prices.iter().find(|price| price.is_of(&line.item))?.price;
    Some((price, price * order.amount))
}

fn columns() -> Vec<Column> {
    vec![
        Column::words("item", 2.4),
        Column::words("needed", 1.9),
        Column::figures("order", 0.7),
        Column::words("sold by", 0.9),
        Column::figures("price", 0.75),
        Column::figures("cost", 0.8),
        Column::words("how it was worked out", 3.4),
    ]
}

fn row(line: &Line, cost: Option<(f64, f64)>) -> Row {
    let money = |value: f64| Cell::Number {
        value,
        text: crate::quantity::grouped(&format!("{value:.2}")),
    };
    let (order, sold_by) = match &line.order {
        Some(order) => (
            Cell::Number {
                value: order.amount,
                text: crate::quantity::grouped(&format!("{}", order.amount)),
            },
            Cell::text(order.sold_by.clone()),
        ),
        None => (Cell::Empty, Cell::Empty),
    };
    Row::of(vec![
        Cell::text(line.item.clone()),
        match line.si {
            Some(si) => Cell::Quantity {
                si,
                text: line.net.clone(),
            },
            None => Cell::text(line.net.clone()),
        },
        order,
        sold_by,
        cost.map_or(Cell::Empty, |(price, _)| money(price)),
        cost.map_or(
            if line.order.is_some() {
                Cell::Blank
            } else {
                Cell::Empty
            },
            |(_, cost)| money(cost),
        ),
        Cell::text(line.worked.clone()),
    ])
}

fn total_table(totals: &[(&str, f64)], unpriced: usize, currency: Option<&str>) -> SheetTable {
    let money = |value: f64| {
        let number = crate::quantity::grouped(&format!("{value:.2}"));
        Cell::Number {
            value,
            text: currency.map_or(number.clone(), |currency| format!("{number} {currency}")),
        }
    };
    let mut rows: Vec<Row> = totals
        .iter()
        .map(|(phase, sum)| Row::of(vec![Cell::text(*phase), money(*sum)]))
        .collect();
    let all = totals.iter().map(|(_, sum)| sum).sum();
    rows.push(Row::strong(vec![Cell::text("all phases"), money(all)]));
    let mut table = SheetTable::plain(
        "totals",
        vec![Column::words("phase", 3.0), Column::figures("cost", 1.0)],
        rows,
    );
    if unpriced > 0 {
        table.note = format!("{unpriced} lines have no price in the list and are not in the totals.");
    }
    table
}

/// A unit of a kind by its symbol, else the natural one.
fn unit(kind: Kind, symbol: &str) -> &'static Unit {
    Unit::find(kind, symbol).unwrap_or_else(|| natural_unit(1.0, kind, UnitSystem::Us))
}
