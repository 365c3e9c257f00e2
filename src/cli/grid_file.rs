//! Files of cells that somebody typed or exported: comma-separated text, or the first worksheet of a workbook.

use std::path::Path;

use super::Failure;
use crate::{
    papers::{Grid, GridProblem},
    read::{ProblemKind, Sources, read_bytes, read_file},
    report::input_problems::InputProblem,
    text::shown_path,
};

/// Problems told, at most.
const MOST_TOLD: usize = 20;

/// Reads a file of cells.
pub(super) fn grid_file(path: &Path) -> Result<Grid, Failure> {
    let name = shown_path(path);
    if Grid::is_workbook(&name) {
        return Grid::of_workbook(&name, &read_bytes(path)?).map_err(|message| {
            let help = "save the sheet as .xlsx, or as CSV in UTF-8, one row for each mark or load";
            no_table(path, message, help)
        });
    }
    let mut sources = Sources::default();
    let source = read_file(&mut sources, path)?;
    Grid::of_text(&name, sources.text(source)).map_err(|message| {
        no_table(
            path,
            message,
            "save the sheet as CSV in UTF-8 or as a workbook (.xlsx), one row for each mark or load",
        )
    })
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
