//! Reading the reference tables under `tests/references/`: CSV with `#` header lines.

use std::{collections::HashMap, path::Path};

/// One row: column name to text.
pub struct Row(HashMap<String, String>);

impl Row {
    /// A number; panics when the cell is blank or not a number.
    pub fn num(&self, column: &str) -> f64 {
        self.opt(column)
            .unwrap_or_else(|| panic!("blank cell in column {column}"))
    }

    /// A number, or none for a blank cell.
    pub fn opt(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(|_| panic!("column {column}: {text}")))
    }

    /// The cell as text.
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .map_or_else(|| panic!("no column {column}"), |text| text.trim())
    }
}

/// The rows of `tests/references/<path>`; never empty.
pub fn rows(path: &str) -> Vec<Row> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/references")
        .join(path);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(file)
        .unwrap();
    let headers: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows: Vec<Row> = reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            Row(headers
                .iter()
                .cloned()
                .zip(record.iter().map(str::to_owned))
                .collect())
        })
        .collect();
    assert!(!rows.is_empty(), "{path} has no rows");
    rows
}

/// Asserts that `got` agrees with `want` within the relative tolerance `rel`.
pub fn close(got: f64, want: f64, rel: f64, what: &str) {
    let scale = want.abs().max(f64::MIN_POSITIVE);
    assert!(
        (got - want).abs() <= rel * scale,
        "{what}: got {got}, want {want}, off by {:e}",
        (got - want).abs() / scale
    );
}
