//! The materials list: every line with its figure and formula, rounded to what is sold, priced by a firm's own list.

mod goods;
mod least_cost;
mod lines;
mod nesting;
mod options;
mod prices;
mod yard;

pub use nesting::{Layout, Piece, Strips, nest, strips};
pub use options::TakeoffOptions;
pub use prices::{Price, read_prices};
pub use yard::{Load, read_yard};

use super::{
    built_patch::built_patch,
    document::{Block, Cell, Column, FieldPaper, Part, Row, SheetTable},
    imprint::PlanImprint,
};
use crate::{
    quantity::{Kind, grouped, show_computed},
    review::{Review, ReviewContext},
    rules::Card,
};
use goods::Goods;
use lines::{Line, Phase};

/// A materials list with the layouts of what is cut.
pub struct Takeoff {
    /// The paper.
    pub paper: FieldPaper,
    /// Layouts of strips and sheets.
    pub layouts: Vec<Layout>,
    /// Items of the price list that nothing in this plan is, by their names.
    pub unused_prices: Vec<String>,
    /// The merge patch by which layers are built of what the yard has, JSON text; an empty one where nothing need change.
    pub yard_patch: String,
}

/// Makes the materials list of a plan.
pub fn takeoff(
    context: &ReviewContext<'_>,
    review: &Review,
    cards: &[Card],
    options: &TakeoffOptions,
) -> Takeoff {
    let goods = Goods::of(context, review, options);
    let currency = options.prices.iter().find_map(|price| price.currency.clone());
    let mut parts = Vec::new();
    let mut totals = Vec::new();
    let (mut priced, mut unpriced) = (0, 0);
    for phase in Phase::ALL {
        let of_phase: Vec<&Line> = goods.lines.iter().filter(|line| line.phase == phase).collect();
        if of_phase.is_empty() {
            continue;
        }
        let mut sum = 0.0;
        let rows = of_phase.iter().map(|line| {
            let cost = cost(line, &options.prices);
            match cost {
                Some((_, cost)) => {
                    sum += cost;
                    priced += 1;
                }
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
        columns: columns(priced > 0),
        parts,
        note: String::new(),
    };
    let shown = |si: f64| show_computed(si, Kind::Length, context.units);
    let mut blocks = vec![
        Block::Note {
            text: format!(
                "Orders are rounded up to what is sold. Assumed where the plan shows nothing else: fabric rolls {} wide, lapped \
                 {}; pipe in lengths of {}; stone 5 to 10 % waste and 1 to 5 % moisture; pipe and wire 10 % cut off.",
                shown(options.fabric_roll),
                shown(options.lap),
                shown(options.pipe_stock)
            ),
        },
        Block::Caution {
            text: "A list is not a design. Lift with a machine what two people cannot carry, and keep loads back from the \
                   edge of the dig."
                .to_owned(),
        },
        Block::Table(table),
    ];
    if priced > 0 {
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
    let mut changes = Vec::new();
    if let Some(loads) = &options.yard {
        let found = yard::yard(context, review, cards, loads);
        sheets.push(("Stone on hand".to_owned(), found.blocks));
        changes = found.changes;
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
        yard_patch: built_patch(&context.tree.root, &changes, context.units),
    }
}

/// The price of a line and what it costs.
fn cost(line: &Line, prices: &[Price]) -> Option<(f64, f64)> {
    let order = line.order.as_ref()?;
    let price = prices.iter().find(|price| price.is_of(&line.item))?.price;
    Some((price, price * order.amount))
}

/// The columns; price and cost stand on paper only where there are prices, and in files to be filled in.
fn columns(priced: bool) -> Vec<Column> {
    let money = |column: Column| if priced { column } else { column.only_in_files() };
    vec![
        Column::words("item", 2.4),
        Column::words("needed", 1.9),
        Column::figures("order", 0.7),
        Column::words("sold by", 0.9),
        money(Column::figures("price", 0.75)),
        money(Column::figures("cost", 0.8)),
        Column::words("how it was worked out", 3.4),
    ]
}

fn row(line: &Line, cost: Option<(f64, f64)>) -> Row {
    let money = |value: f64| Cell::Number {
        value,
        text: grouped(&format!("{value:.2}")),
    };
    let (order, sold_by) = match &line.order {
        Some(order) => (
            Cell::Number {
                value: order.amount,
                text: grouped(&format!("{}", order.amount)),
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
        cost.map_or(Cell::Empty, |(_, cost)| money(cost)),
        Cell::text(line.worked.clone()),
    ])
}

fn total_table(totals: &[(&str, f64)], unpriced: usize, currency: Option<&str>) -> SheetTable {
    let money = |value: f64| {
        let number = grouped(&format!("{value:.2}"));
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
