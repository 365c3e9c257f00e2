//! Papers as files of cells: comma-separated text, and workbooks. A cell never holds a formula.

mod csv;
mod review;
mod workbook;

pub use csv::csv;
pub use review::{review_csv, review_workbook};
pub use workbook::{WorkbookError, workbook};

use crate::papers::{Cell, Column, FieldSheet, SheetTable};

/// The tables of one name as one: headings, and rows of cells.
struct Merged<'p> {
    /// The sheet's number first, the part where parts have titles, then the columns.
    headings: Vec<String>,
    rows: Vec<Vec<Value<'p>>>,
}

/// What a cell of a file holds.
#[derive(Clone, Debug, PartialEq)]
enum Value<'p> {
    Text(&'p str),
    Number(f64),
    Empty,
}

fn merged<'p>(tables: &[(&'p FieldSheet, &'p SheetTable)]) -> Merged<'p> {
    let Some((_, first)) = tables.first() else {
        return Merged {
            headings: Vec::new(),
            rows: Vec::new(),
        };
    };
    let in_parts = tables
        .iter()
        .any(|(_, table)| table.parts.iter().any(|part| !part.title.is_empty()));
    let mut headings = vec!["sheet".to_owned()];
    if in_parts {
        headings.push("part".to_owned());
    }
    headings.extend(first.columns.iter().map(heading));
    let mut rows = Vec::new();
    for (sheet, table) in tables {
        for part in &table.parts {
            for row in &part.rows {
                let mut cells = vec![Value::Text(sheet.number.as_str())];
                if in_parts {
                    cells.push(Value::Text(part.title.as_str()));
                }
                cells.extend(
                    table
                        .columns
                        .iter()
                        .zip(&row.cells)
                        .map(|(column, cell)| value(column, cell)),
                );
                rows.push(cells);
            }
        }
    }
    Merged { headings, rows }
}

/// The name of a column, with the unit that its values count in.
fn heading(column: &Column) -> String {
    match column.unit {
        Some(unit) => format!("{} ({})", column.title, unit.symbol),
        None => column.title.to_owned(),
    }
}

fn value<'p>(column: &Column, cell: &'p Cell) -> Value<'p> {
    match (cell, column.unit) {
        (Cell::Quantity { si, .. }, Some(unit)) => Value::Number(short(unit.from_si(*si))),
        (Cell::Number { value, .. }, _) => Value::Number(short(*value)),
        (Cell::Text(text) | Cell::Quantity { text, .. }, _) if !text.is_empty() => Value::Text(text),
        _ => Value::Empty,
    }
}

/// To a ten-thousandth, which of a foot or a metre is finer than anybody reads.
fn short(value: f64) -> f64 {
    (value * 10_000.0).round() / 10_000.0
}
