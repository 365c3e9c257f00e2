//! Files of cells that somebody typed or exported: comma-separated text, or the first worksheet of a workbook.

use std::{io::Cursor, path::Path};

use calamine::{Data, Reader, Xlsx};

use super::Failure;
use crate::{
    papers::{Grid, GridProblem, GridRow, MOST_ROWS},
    read::{ProblemKind, Sources, read_bytes, read_file},
    report::input_problems::InputProblem,
    text::shown_path,
};

/// Problems told, at most.
const MOST_TOLD: usize = 20;

/// Reads a file of cells.
pub(super) fn grid_file(path: &Path) -> Result<Grid, Failure> {
    let is_workbook = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx") || ending.eq_ignore_ascii_case("xlsm"));
    if is_workbook {
        let rows = workbook(path)?;
        let grid = Grid {
            name: shown_path(path),
            rows,
        };
        return grid
            .within_bounds()
            .map_err(|message| no_table(path, message, "keep one row for each mark or load"));
    }
    let mut sources = Sources::default();
    let source = read_file(&mut sources, path)?;
    Grid::of_text(&shown_path(path), sources.text(source)).map_err(|message| {
        no_table(
            path,
            message,
            "save the sheet as CSV in UTF-8 or as a workbook (.xlsx), one row for each mark or load",
        )
    })
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
