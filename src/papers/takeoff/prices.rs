//! A firm's price list: item, price and, where there is one, currency.

use crate::{
    papers::grid::{Grid, GridProblem},
    read::ProblemKind,
    text::shown,
};

/// The price of one item, for one of what it is sold by.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// The item, as the materials list words it.
    pub item: String,
    /// The price.
    pub price: f64,
    /// The currency, where the list names it.
    pub currency: Option<String>,
}

impl Price {
    /// Whether it is the price of an item, in whatever case and spacing.
    pub(super) fn is_of(&self, item: &str) -> bool {
        let words = |text: &str| {
            text.to_lowercase()
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        };
        words(&self.item) == words(item)
    }
}

/// Reads a price list with the columns “item” and “price”; a materials list with its column “price” filled in is one too.
///
/// # Errors
/// Every row and column that can't be taken.
pub fn read_prices(grid: &Grid) -> Result<Vec<Price>, Vec<GridProblem>> {
    let (item, price) = match (grid.required("item"), grid.required("price")) {
        (Ok(item), Ok(price)) => (item, price),
        (item, price) => return Err([item.err(), price.err()].into_iter().flatten().collect()),
    };
    let currency = grid.column("currency");
    let (mut prices, mut problems): (Vec<(usize, Price)>, Vec<GridProblem>) = (Vec::new(), Vec::new());
    for row in grid.body() {
        let (name, amount) = (row.text(&item), row.text(&price));
        if amount.is_empty() {
            continue;
        }
        if name.is_empty() {
            let problem = row.problem(&item, "a price without an item");
            problems.push(problem.of(ProblemKind::MissingCell));
            continue;
        }
        let value = amount.replace(',', "").parse::<f64>();
        let Some(value) = value
            .ok()
            .filter(|value| value.is_finite() && *value >= 0.0 && *value < 1e12)
        else {
            let problem = row.problem(&price, format!("`{}` is no price", shown(amount)));
            problems.push(
                problem.help("write a plain number, such as 41.50; a currency has a column of its own"),
            );
            continue;
        };
        let read = Price {
            item: name.to_owned(),
            price: value,
            currency: currency
                .as_ref()
                .map(|column| row.text(column).to_owned())
                .filter(|text| !text.is_empty()),
        };
        if let Some((first, _)) = prices
            .iter()
            .find(|(_, other)| other.is_of(name) && other.price != read.price)
        {
            let problem = row.problem(
                &item,
                format!("`{}` has another price in row {first}", shown(name)),
            );
            problems.push(problem.of(ProblemKind::RowGivenTwice));
            continue;
        }
        if let Some((first, other)) = prices.iter().find(|(_, other)| other.currency != read.currency)
            && let Some(currency) = &currency
        {
            let (one, two) = (
                other.currency.as_deref().unwrap_or("none"),
                read.currency.as_deref().unwrap_or("none"),
            );
            let message = format!("currency {} here and {} in row {first}", shown(two), shown(one));
            problems.push(row.problem(currency, message).of(ProblemKind::NotAccepted));
            continue;
        }
        prices.push((row.number, read));
    }
    if problems.is_empty() {
        Ok(prices.into_iter().map(|(_, price)| price).collect())
    } else {
        Err(problems)
    }
}
