//! The first worksheet of a workbook as rows of cells.

use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};

use super::{
    grid::{Grid, GridRow},
    grid_text::MOST_ROWS,
};

impl Grid {
    /// Reads the first worksheet of a workbook.
    ///
    /// # Errors
    /// Bytes that are no workbook, or one with too many cells, in words.
    pub fn of_workbook(name: &str, bytes: &[u8]) -> Result<Self, String> {
        let refused = |what: String| format!("this is no workbook that can be read: {what}");
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| refused(error.to_string()))?;
        let range = book
            .worksheet_range_at(0)
            .ok_or_else(|| refused("it has no worksheet".to_owned()))?
            .map_err(|error| refused(error.to_string()))?;
        let first = range.start().map_or(1, |(row, _)| row as usize + 1);
        let rows = range
            .rows()
            .take(MOST_ROWS + 1)
            .enumerate()
            .map(|(index, cells)| GridRow {
                number: first + index,
                cells: cells.iter().map(cell_text).collect(),
            });
        Self {
            name: name.to_owned(),
            rows: rows.collect(),
        }
        .within_bounds()
    }

    /// Whether a file’s name says that it is a workbook.
    pub fn is_workbook(name: &str) -> bool {
        let ending = name.rsplit_once('.').map(|(_, ending)| ending);
        ending
            .is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx") || ending.eq_ignore_ascii_case("xlsm"))
    }
}

fn cell_text(cell: &Data) -> String {
    match cell {
        Data::Float(number) => number.to_string(),
        Data::Int(number) => number.to_string(),
        Data::String(text) => text.clone(),
        Data::Bool(value) => value.to_string(),
        _ => String::new(),
    }
}
