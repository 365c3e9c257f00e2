//! Papers for the site, made and read back as their users do.

mod as_built;
mod day;
mod grades;
mod runbook;
mod takeoff;
mod yard;

use std::{collections::HashMap, fs, path::Path};

use bywash::engine::SCHEMAS;
use serde_json::Value;

use super::program::{Ran, bywash_in};

/// The examples that are sound plans.
const SOUND: [&str; 4] = ["courtyard-retrofit", "ledge-run", "two-ponds", "mill-yard-metric"];

/// A file of cells as rows by heading.
type Rows = Vec<HashMap<String, String>>;

fn example(folder: &Path, name: &str) {
    let from = format!("{}/examples/{name}.jsonc", env!("CARGO_MANIFEST_DIR"));
    fs::copy(from, folder.join("plan.jsonc")).unwrap();
}

fn rows(path: &Path) -> Rows {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let headings = reader.headers().unwrap().clone();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            let pairs = headings.iter().zip(record.iter());
            pairs
                .map(|(heading, cell)| (heading.to_owned(), cell.to_owned()))
                .collect()
        })
        .collect()
}

fn number(row: &HashMap<String, String>, heading: &str) -> f64 {
    row[heading]
        .parse()
        .unwrap_or_else(|_| panic!("{heading}: {row:?}"))
}

/// What a run wrote as JSON; a paper keeps to its schema.
fn json(path: &Path) -> Value {
    let value: Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    if value.get("sheets").is_some() {
        let (_, schema) = SCHEMAS
            .into_iter()
            .find(|(name, _)| *name == "field-paper")
            .unwrap();
        let schema = jsonschema::draft202012::new(&serde_json::from_str(schema).unwrap()).unwrap();
        let errors: Vec<String> = schema
            .iter_errors(&value)
            .map(|error| format!("{error} at {}", error.instance_path()))
            .collect();
        assert_eq!(errors, Vec::<String>::new());
    }
    value
}

/// The rows of a table of a paper: its cells by the titles of the columns.
fn table(paper: &Value, name: &str) -> Vec<HashMap<String, Value>> {
    let mut found = Vec::new();
    for sheet in paper["sheets"].as_array().unwrap() {
        for block in sheet["blocks"].as_array().unwrap() {
            if block["kind"] != "table" || block["name"] != name {
                continue;
            }
            let titles: Vec<&str> = block["columns"]
                .as_array()
                .unwrap()
                .iter()
                .map(|column| column["title"].as_str().unwrap())
                .collect();
            for part in block["parts"].as_array().unwrap() {
                for row in part["rows"].as_array().unwrap() {
                    let cells = row["cells"].as_array().unwrap();
                    let pairs = titles.iter().zip(cells);
                    found.push(
                        pairs
                            .map(|(title, cell)| ((*title).to_owned(), cell.clone()))
                            .collect(),
                    );
                }
            }
        }
    }
    found
}

/// What a cell prints.
fn text(cell: &Value) -> String {
    let shown = cell.as_str().or_else(|| cell["text"].as_str());
    shown.unwrap_or_default().to_owned()
}

fn refused(ran: &Ran, folder: &Path, kept: usize, words: &[&str]) {
    assert_eq!(ran.status, 2, "{}{}", ran.out, ran.err);
    let said = ran
        .err
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace("│ ", "");
    for word in words {
        assert!(said.contains(word), "{word}: {}", ran.err);
    }
    assert_eq!(
        fs::read_dir(folder).unwrap().count(),
        kept,
        "something was written"
    );
}

fn run(folder: &Path, arguments: &[&str]) -> Ran {
    bywash_in(folder, arguments)
}
