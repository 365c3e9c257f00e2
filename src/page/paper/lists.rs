//! What a materials list is worked out with: a firm's prices, and the stone that is on hand.

use std::rc::Rc;

use crate::{
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

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
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
