//! What keeps an input from being used, for programs: as `schema/problems.schema.json` describes it.

use serde::Serialize;

use super::json::render;
use crate::{
    papers::{Grid, GridProblem},
    read::{Problem, ProblemKind, Sources, Span},
};

/// One problem of an input.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct InputProblem {
    /// What kind of problem it is; the codes are permanent.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// Where, if it lies in a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<PlaceInText>,
    /// Where, if it lies in a table.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<Cell>,
    /// Further places that belong to it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<PlaceInText>,
    /// What is accepted instead, or the nearest right name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
}

/// A place in a text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlaceInText {
    /// The file as it was named.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is said beside the place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
}

/// A place in a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cell {
    /// The file as it was named.
    pub file: String,
    /// Row in the file, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub row: Option<usize>,
    /// Heading of the column.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<String>,
}

impl InputProblem {
    /// A problem that lies in one of the texts.
    pub fn of(sources: &Sources, problem: &Problem) -> Self {
        let place = |(span, label): &(Span, String)| {
            let (line, column) = sources.line_column(*span);
            PlaceInText {
                file: sources.name(span.source).to_owned(),
                line,
                column,
                label: Some(label.clone()),
            }
        };
        Self {
            code: problem.kind.code(),
            message: problem.message.clone(),
            at: problem.at.as_ref().map(place),
            cell: None,
            also: problem.also.iter().map(place).collect(),
            help: problem.help.clone(),
        }
    }

    /// A problem of a file of cells.
    pub fn of_table(grid: &Grid, problem: &GridProblem) -> Self {
        Self {
            code: problem.kind.code(),
            message: problem.message.clone(),
            at: None,
            cell: Some(Cell {
                file: grid.name.clone(),
                row: problem.row,
                column: problem.column.clone(),
            }),
            also: Vec::new(),
            help: problem.help.clone(),
        }
    }

    /// A problem of a file as a whole.
    pub fn of_file(kind: ProblemKind, message: String, help: Option<&str>) -> Self {
        Self {
            code: kind.code(),
            message,
            at: None,
            cell: None,
            also: Vec::new(),
            help: help.map(str::to_owned),
        }
    }
}

/// All problems as JSON, ending in a line feed.
///
/// # Errors
/// What JSON can't hold; none is known.
pub fn problems(problems: &[InputProblem]) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Listing<'a> {
        format: &'static str,
        version: &'static str,
        problems: &'a [InputProblem],
    }
    render(&Listing {
        format: "bywash problems 1",
        version: env!("CARGO_PKG_VERSION"),
        problems,
    })
}
