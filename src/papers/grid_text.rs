//! Comma-separated text to rows of cells.

use super::{Grid, GridRow};

/// The most rows and columns that are read.
pub const MOST_ROWS: usize = 20_000;
/// See [`MOST_ROWS`].
pub const MOST_COLUMNS: usize = 200;

impl Grid {
    /// The cells of comma-separated text, the name being that of its file.
    ///
    /// # Errors
    /// Text that is none, or has too many cells, in words.
    pub fn of_text(name: &str, text: &str) -> Result<Self, String> {
        let first = text.lines().next().unwrap_or_default();
        // Where a comma is the decimal sign, cells are parted by semicolons.
        let parted = if first.matches(';').count() > first.matches(',').count() {
            b';'
        } else {
            b','
        };
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(parted)
            .from_reader(text.as_bytes());
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|error| format!("`{name}` is not comma-separated text: {error}"))?;
            let number = record
                .position()
                .map_or(rows.len() + 1, |position| position.line() as usize);
            rows.push(GridRow {
                number,
                cells: record.iter().map(str::to_owned).collect(),
            });
            if rows.len() > MOST_ROWS {
                break;
            }
        }
        Self {
            name: name.to_owned(),
            rows,
        }
        .within_bounds()
    }

    /// The same, unless it has more cells than anybody types.
    ///
    /// # Errors
    /// Too many cells, in words.
    pub fn within_bounds(self) -> Result<Self, String> {
        if self.rows.len() > MOST_ROWS || self.rows.iter().any(|row| row.cells.len() > MOST_COLUMNS) {
            return Err(format!(
                "`{}` has more than {MOST_ROWS} rows or {MOST_COLUMNS} columns",
                self.name
            ));
        }
        Ok(self)
    }
}
