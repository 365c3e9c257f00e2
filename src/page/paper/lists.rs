//! What a materials list is worked out with: a firm's prices, and the stone that is on hand.

use std::rc::Rc;

use base64::{Engine as _, prelude::BASE64_STANDARD as STANDARD};

use crate::{
    page::edit::GivenFile,
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

/// A file of cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellFile {
    name: Rc<str>,
    cells: Cells,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Cells {
    /// Comma-separated text.
    Text(Rc<str>),
    /// A workbook.
    Workbook(Rc<[u8]>),
}

impl CellFile {
    /// A file that was given; none where it is empty.
    ///
    /// # Errors
    /// Bytes that did not arrive as they were sent, in words.
    pub fn given(file: &GivenFile) -> Result<Option<Self>, String> {
        let name: Rc<str> = crate::text::shown(&file.name).into();
        if !file.bytes.is_empty() {
            let bytes = STANDARD
                .decode(&file.bytes)
                .map_err(|error| format!("{name} did not arrive whole: {error}"))?;
            let cells = Cells::Workbook(bytes.into());
            return Ok(Some(Self { name, cells }));
        }
        let text = file.text.trim_start_matches('\u{feff}');
        let cells = Cells::Text(text.into());
        Ok((!text.trim().is_empty()).then_some(Self { name, cells }))
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    fn read<T>(&self, read: impl FnOnce(&Grid) -> Result<T, Vec<GridProblem>>) -> Result<T, String> {
        let grid = match &self.cells {
            Cells::Text(text) => Grid::of_text(&self.name, text)?,
            Cells::Workbook(bytes) => Grid::of_workbook(&self.name, bytes)?,
        };
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
