//! What a materials list is worked out with: a firm's prices, and the stone that is on hand.

use std::rc::Rc;

use maud::{Markup, html};
use serde_json::json;

use super::PaperWish;
use crate::{
    page::{document::View, form::edit_of},
    papers::{Grid, GridProblem, TakeoffOptions, read_prices, read_yard},
    quantity::UnitSystem,
};

/// Problems of a file that are told at most.
const MOST_TOLD: usize = 5;

/// The files that were given.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TakeoffLists {
    /// Prices.
    pub prices: Option<CellFile>,
    /// Stone on hand.
    pub yard: Option<CellFile>,
}

/// A file of cells, as comma-separated text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellFile {
    name: Rc<str>,
    text: Rc<str>,
}

impl CellFile {
    /// A file that was given; none where it has no text.
    pub fn given(name: &str, text: &str) -> Option<Self> {
        let given = !text.trim().is_empty();
        given.then(|| Self {
            name: crate::text::shown(name).into(),
            text: text.trim_start_matches('\u{feff}').into(),
        })
    }

    fn read<T>(&self, read: impl FnOnce(&Grid) -> Result<T, Vec<GridProblem>>) -> Result<T, String> {
        let grid = Grid::of_text(&self.name, &self.text)?;
        read(&grid).map_err(|problems| {
            let told = problems
                .iter()
                .take(MOST_TOLD)
                .map(|problem| problem.line(&grid.name));
            let mut told: Vec<String> = told.collect();
            if problems.len() > MOST_TOLD {
                told.push(format!("and {} more", problems.len() - MOST_TOLD));
            }
            told.join("; ")
        })
    }
}

impl TakeoffLists {
    /// The usual sizes of goods, with these prices and this stone.
    ///
    /// # Errors
    /// Files that can't be read, in the words of the command line.
    pub fn options(&self, units: UnitSystem) -> Result<TakeoffOptions, String> {
        let mut options = TakeoffOptions::usual(units);
        if let Some(prices) = &self.prices {
            options.prices = prices.read(read_prices)?;
        }
        if let Some(yard) = &self.yard {
            options.yard = Some(yard.read(|grid| read_yard(grid, units))?);
        }
        Ok(options)
    }
}

impl View {
    /// Works the paper that is shown out with the files that are given now.
    pub fn give_lists(&mut self) {
        if let Some(paper) = &mut self.paper {
            paper.lists = self.lists.clone();
        }
    }
}

/// Where the files are given.
pub fn list_inputs(wish: &PaperWish) -> Markup {
    let input = |act: &str, file: Option<&CellFile>, words: &str, columns: &str| {
        html! {
            p {
                label { (words) " (CSV) " input type="file" id={ "list-" (act) } accept=".csv,.txt" data-file=(act); }
                @if let Some(file) = file {
                    " in use: " b { (file.name) } " "
                    button type="button" data-edit=(edit_of(&json!({ "do": act, "name": "", "text": "" }))) { "Without " (file.name) }
                }
                " " span.note { "columns: " (columns) }
            }
        }
    };
    html! {
        (input("prices", wish.lists.prices.as_ref(), "Your prices", "item, price, currency"))
        (input("yard", wish.lists.yard.as_ref(), "Stone on hand", "load, smallest, largest, shape, washed, price (of a ton), tons"))
    }
}
