//! Files of cells that somebody typed or exported: comma-separated text, or the first worksheet of a workbook.

use std::{io::Cursor, path::Path};

use calamine::{Data, Reader, Xlsx};

use super::Failure;
use crate::{
    papers::{Grid, GridProblem, GridRow},
    read::{ProblemKind, Sources, read_bytes, read_file},
    report::input_problems::InputProblem,
    text::shown_path,
};

/// The most rows and columns that are read.
const MOST_ROWS: usize = 20_000;
const MOST_COLUMNS: usize = 200;
/// Problems told, at most.
const MOST_TOLD: usize = 20;

/// Reads a file of cells.
pub(super) fn grid_file(path: &Path) -> Result<Grid, Failure> {
    let is_workbook = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx") || ending.eq_ignore_ascii_case("xlsm"));
    let rows = if is_workbook { workbook(path)? } else { text(path)? };
    if rows.len() > MOST_ROWS || rows.iter().any(|row| row.cells.len() > MOST_COLUMNS) {
        let message = format!("more than {MOST_ROWS} rows or {MOST_COLUMNS} columns");
        return Err(no_table(path, message, "keep one row for each mark or load"));
    }
    Ok(Grid {
        name: shown_path(path),
        rows,
    })
}

fn text(path: &Path) -> Result<Vec<GridRow>, Failure> {
    let mut sources = Sources::default();
    let source = read_file(&mut sources, path)?;
    let text = sources.text(source);
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
        let record = record.map_err(|error| {
            let message = format!("this is not comma-separated text: {error}");
            no_table(
                path,
                message,
                "save the sheet as CSV in UTF-8, or as a workbook (.xlsx)",
            )
        })?;
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
    Ok(rows)
}

fn workbook(path: &Path) -> Result<Vec<GridRow>, Failure> {
    let refused = |what: String| {
        let message = format!("this is no workbook that can be read: {what}");
        no_table(path, message, "save the sheet as .xlsx, or as CSV in UTF-8")
    };
    let bytes = read_bytes(path)?;
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
    Ok(rows.collect())
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

/// Problems of a file of cells, laid out for standard error.
pub(super) fn refused_grid(grid: &Grid, problems: &[GridProblem]) -> Failure {
    let mut told = String::new();
    for problem in problems.iter().take(MOST_TOLD) {
        told.push_str(&format!("error: {}\n", problem.line(&grid.name)));
    }
    if problems.len() > MOST_TOLD {
        told.push_str(&format!("and {} more\n", problems.len() - MOST_TOLD));
    }
    Failure::Problems {
        count: problems.len(),
        told,
        listed: problems
            .iter()
            .map(|problem| InputProblem::of_table(grid, problem))
            .collect(),
    }
}

/// A file that is no table of cells.
fn no_table(path: &Path, message: String, help: &str) -> Failure {
    let grid = Grid {
        name: shown_path(path),
        rows: Vec::new(),
    };
    let problem = GridProblem {
        kind: ProblemKind::NoTable,
        row: None,
        column: None,
        message,
        help: Some(help.to_owned()),
    };
    refused_grid(&grid, &[problem])
}
