//! Rows of cells that somebody typed or exported: headings in the first row, and problems told by row and column.

use crate::{
    quantity::{Fault, Kind, Quantity, Unit},
    read::{ProblemKind, nearest},
    text::shown,
};

/// Rows of cells from a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Grid {
    /// The file, as it was named.
    pub name: String,
    /// Its rows; the first holds the headings.
    pub rows: Vec<GridRow>,
}

/// A row of cells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct GridRow {
    /// Its number in the file, from 1.
    pub number: usize,
    /// Its cells.
    pub cells: Vec<String>,
}

/// What is wrong with a file of cells, with its row and column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GridProblem {
    /// What kind of problem it is.
    pub kind: ProblemKind,
    /// The row, where it is one.
    pub row: Option<usize>,
    /// The heading of the column, where it is one.
    pub column: Option<String>,
    /// What is wrong, in lower case, without a full stop.
    pub message: String,
    /// What is accepted.
    pub help: Option<String>,
}

/// A column of a grid.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct GridColumn {
    pub at: usize,
    /// Its heading as it is written.
    pub heading: String,
    /// The unit in its heading, such as that of `shot (ft)`.
    pub unit: Option<&'static Unit>,
}

/// A length or level of a cell, with the unit it was written in.
pub(super) struct Measured {
    pub si: f64,
    pub unit: &'static Unit,
}

impl Grid {
    /// The column of a name, in whatever case, with or without a unit.
    pub(super) fn column(&self, name: &str) -> Option<GridColumn> {
        let headings = &self.rows.first()?.cells;
        headings.iter().enumerate().find_map(|(at, heading)| {
            let heading = plain(heading);
            let (bare, unit) = match heading.strip_suffix(')').and_then(|text| text.rsplit_once('(')) {
                Some((bare, unit)) => (bare.trim(), Unit::find_any(unit.trim())),
                None => (heading, None),
            };
            bare.eq_ignore_ascii_case(name).then(|| GridColumn {
                at,
                heading: heading.to_owned(),
                unit,
            })
        })
    }

    /// The column of a name, or the problem that there is none.
    pub(super) fn required(&self, name: &str) -> Result<GridColumn, GridProblem> {
        self.column(name).ok_or_else(|| {
            let headings = self
                .rows
                .first()
                .map(|row| row.cells.as_slice())
                .unwrap_or_default();
            let close = nearest(name, headings.iter().map(String::as_str), 0.8);
            GridProblem {
                kind: ProblemKind::MissingColumn,
                row: self.rows.first().map(|row| row.number),
                column: None,
                message: format!("no column is headed “{name}”"),
                help: Some(match close {
                    Some(close) => format!("the nearest heading is “{}”", shown(close)),
                    None => "the first row names the columns".to_owned(),
                }),
            }
        })
    }

    /// Rows below the headings that hold anything.
    pub(super) fn body(&self) -> impl Iterator<Item = &GridRow> {
        let filled = |row: &&GridRow| row.cells.iter().any(|cell| !plain(cell).is_empty());
        self.rows.iter().skip(1).filter(filled)
    }
}

impl GridRow {
    /// What a cell says, without the apostrophe that keeps it from being a formula.
    pub(super) fn text(&self, column: &GridColumn) -> &str {
        self.cells.get(column.at).map_or("", |cell| plain(cell))
    }

    /// A problem of a cell in this row: a value that is none of those expected, until its kind is told.
    pub(super) fn problem(&self, column: &GridColumn, message: impl Into<String>) -> GridProblem {
        GridProblem {
            kind: ProblemKind::WrongValue,
            row: Some(self.number),
            column: Some(column.heading.clone()),
            message: message.into(),
            help: None,
        }
    }

    /// The quantity of a cell: with a unit of its own, else in that of the heading; none where it is empty.
    pub(super) fn measured(&self, column: &GridColumn, kind: Kind) -> Result<Option<Measured>, GridProblem> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        let bare = text.replace(['\u{2212}', '\u{2013}'], "-").replace(',', "");
        if let Ok(number) = bare.parse::<f64>() {
            let Some(unit) = column.unit.filter(|unit| unit.kind == kind.written_as()) else {
                return Err(self
                    .problem(column, format!("`{}` has no unit", shown(text)))
                    .of(ProblemKind::UnitMissing)
                    .help("write the unit behind it, or name it in the heading: `shot (ft)`"));
            };
            let si = unit.to_si(number);
            if !number.is_finite() || si.abs() > 1e9 {
                let problem = self.problem(column, format!("`{}` is too large", shown(text)));
                return Err(problem.of(ProblemKind::OutOfRange));
            }
            return Ok(Some(Measured { si, unit }));
        }
        match Quantity::parse(text, kind) {
            Ok(Quantity {
                si, unit: Some(unit), ..
            }) => Ok(Some(Measured { si, unit })),
            Ok(_) => Err(self
                .problem(column, format!("`{}` has no unit", shown(text)))
                .of(ProblemKind::UnitMissing)),
            Err(error) => {
                let kind = match error.fault {
                    Fault::BareNumber { .. } => ProblemKind::UnitMissing,
                    Fault::TooLarge { .. } | Fault::Impossible { .. } => ProblemKind::OutOfRange,
                    _ => ProblemKind::WrongQuantity,
                };
                Err(self.problem(column, error.to_string()).of(kind))
            }
        }
    }
}

impl GridProblem {
    /// The same problem as one of another kind.
    #[must_use]
    pub(super) fn of(mut self, kind: ProblemKind) -> Self {
        self.kind = kind;
        self
    }

    /// The same problem with what is accepted.
    #[must_use]
    pub(super) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The problem in a line, with the file.
    pub fn line(&self, file: &str) -> String {
        let row = self.row.map_or_else(String::new, |row| format!(", row {row}"));
        let column = self
            .column
            .as_ref()
            .map_or_else(String::new, |column| format!(", column “{}”", shown(column)));
        let help = self
            .help
            .as_ref()
            .map_or_else(String::new, |help| format!("\n  help: {help}"));
        format!("{file}{row}{column}: {}{help}", self.message)
    }
}

/// A cell without blanks at its ends and without the apostrophe that makes it a text.
fn plain(cell: &str) -> &str {
    let cell = cell.trim();
    cell.strip_prefix('\'').unwrap_or(cell).trim_start()
}
