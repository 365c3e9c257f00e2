//! A field paper as data: what every output lays out, worded once.

use serde::{Serialize, Serializer, ser::SerializeStruct};

use super::imprint::PlanImprint;
use crate::quantity::Unit;

/// A paper for the site.
#[derive(Clone, Debug, Serialize)]
pub struct FieldPaper {
    /// Always `bywash field paper 1`.
    pub format: &'static str,
    /// Version of the program that made it.
    pub version: &'static str,
    /// Which paper: `grades`, `takeoff` and so on.
    pub paper: &'static str,
    /// Its title.
    pub title: String,
    /// The plan that it was made from.
    pub plan: PlanImprint,
    /// Its sheets, each begun on a page of its own.
    pub sheets: Vec<FieldSheet>,
}

/// One sheet of a paper.
#[derive(Clone, Debug, Serialize)]
pub struct FieldSheet {
    /// Its number, such as `G1`.
    pub number: String,
    /// What the code on the sheet says: program, sheet and plan.
    pub code: String,
    /// What it is for.
    pub title: String,
    /// What stands on it, in order.
    pub blocks: Vec<Block>,
}

/// A piece of a sheet.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    /// A heading.
    Heading {
        /// In words.
        text: String,
    },
    /// A paragraph.
    Note {
        /// In words.
        text: String,
    },
    /// What can hurt somebody, and who decides.
    Caution {
        /// In words.
        text: String,
    },
    /// Labels and their values.
    Facts {
        /// In order.
        rows: Vec<(String, String)>,
    },
    /// A table.
    Table(SheetTable),
    /// Drawings, by the name under which the report makes them.
    Drawing {
        /// The name.
        name: &'static str,
    },
    /// Boxes to tick, each with what must be shown first.
    Checks {
        /// What is ticked.
        items: Vec<String>,
    },
    /// Lines to write on.
    Signature {
        /// What is written on each.
        labels: Vec<String>,
    },
}

/// A table of a paper. Tables of one name on several sheets go on in one another in a file of cells.
#[derive(Clone, Debug, Serialize)]
pub struct SheetTable {
    /// Its name, in kebab case.
    pub name: &'static str,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, in parts; a part's title may be empty.
    pub parts: Vec<Part>,
    /// What a reader must know to use it; under the table.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A column of a table.
#[derive(Clone, Debug, Serialize)]
pub struct Column {
    /// Its name, as it heads the column.
    pub title: &'static str,
    /// Its share of the width.
    pub share: f64,
    /// Whether its values are set to the right.
    pub right: bool,
    /// The unit of its values in a file of cells; none where each names its own.
    pub unit: Option<&'static Unit>,
    /// Whether it stands only in files, for what reads them.
    pub only_in_files: bool,
}

/// Rows that belong together.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// What they are; may be empty.
    pub title: String,
    /// The rows.
    pub rows: Vec<Row>,
}

/// A row of a table.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    /// Its cells, one for each column.
    pub cells: Vec<Cell>,
    /// Whether it stands out: a total, or what needs attention.
    pub strong: bool,
}

/// What a cell holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Words.
    Text(String),
    /// A quantity: in SI, and as it is printed.
    Quantity {
        /// In the SI unit of its kind.
        si: f64,
        /// As printed.
        text: String,
    },
    /// A number without a unit, as it is printed.
    Number {
        /// The number.
        value: f64,
        /// As printed.
        text: String,
    },
    /// Nothing.
    Empty,
    /// A place to write in.
    Blank,
}

impl FieldPaper {
    /// A paper with its sheets numbered behind a letter, `G1`, `G2`.
    pub(super) fn new(
        (paper, letter, title): (&'static str, char, &str),
        plan: PlanImprint,
        sheets: Vec<(String, Vec<Block>)>,
    ) -> Self {
        let numbered = sheets.into_iter().enumerate().map(|(index, (title, blocks))| {
            let number = format!("{letter}{}", index + 1);
            FieldSheet {
                code: plan.code(&number),
                number,
                title,
                blocks,
            }
        });
        let sheets = numbered.collect();
        Self {
            format: "bywash field paper 1",
            version: env!("CARGO_PKG_VERSION"),
            paper,
            title: title.to_owned(),
            plan,
            sheets,
        }
    }

    /// The tables in order, those of one name as one, with the sheet that each part stands on.
    pub fn tables(&self) -> Vec<(&'static str, Vec<(&FieldSheet, &SheetTable)>)> {
        let mut found: Vec<(&'static str, Vec<(&FieldSheet, &SheetTable)>)> = Vec::new();
        for sheet in &self.sheets {
            for block in &sheet.blocks {
                let Block::Table(table) = block else { continue };
                match found.iter_mut().find(|(name, _)| *name == table.name) {
                    Some((_, parts)) => parts.push((sheet, table)),
                    None => found.push((table.name, vec![(sheet, table)])),
                }
            }
        }
        found
    }
}

impl SheetTable {
    /// A table of one part.
    pub(super) fn plain(name: &'static str, columns: Vec<Column>, rows: Vec<Row>) -> Self {
        Self {
            name,
            columns,
            parts: vec![Part {
                title: String::new(),
                rows,
            }],
            note: String::new(),
        }
    }
}

impl Column {
    /// A column of words that takes a share of the width.
    pub(super) const fn words(title: &'static str, share: f64) -> Self {
        Self {
            title,
            share,
            right: false,
            unit: None,
            only_in_files: false,
        }
    }

    /// A column of figures, set to the right.
    pub(super) const fn figures(title: &'static str, share: f64) -> Self {
        Self {
            right: true,
            ..Self::words(title, share)
        }
    }

    /// The same with one unit for all its values in a file of cells.
    pub(super) const fn within(mut self, unit: &'static Unit) -> Self {
        self.unit = Some(unit);
        self
    }

    /// The same, only in files.
    pub(super) const fn only_in_files(mut self) -> Self {
        self.only_in_files = true;
        self
    }
}

impl Row {
    /// A usual row.
    pub(super) const fn of(cells: Vec<Cell>) -> Self {
        Self { cells, strong: false }
    }

    /// A row that stands out.
    pub(super) const fn strong(cells: Vec<Cell>) -> Self {
        Self { cells, strong: true }
    }
}

impl Cell {
    /// Words.
    pub(super) fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A whole number.
    pub(super) fn count(count: usize) -> Self {
        Self::Number {
            value: count as f64,
            text: count.to_string(),
        }
    }

    /// As it is printed; nothing for a place to write in.
    pub fn shown(&self) -> &str {
        match self {
            Self::Text(text) | Self::Quantity { text, .. } | Self::Number { text, .. } => text,
            Self::Empty | Self::Blank => "",
        }
    }
}

/// Words as a text, figures with their value, an empty cell as null, a place to write in as an object of its own.
impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Text(text) => serializer.serialize_str(text),
            Self::Quantity { si, text } => {
                let mut cell = serializer.serialize_struct("Quantity", 2)?;
                cell.serialize_field("text", text)?;
                cell.serialize_field("si", si)?;
                cell.end()
            }
            Self::Number { value, text } => {
                let mut cell = serializer.serialize_struct("Number", 2)?;
                cell.serialize_field("text", text)?;
                cell.serialize_field("value", value)?;
                cell.end()
            }
            Self::Empty => serializer.serialize_none(),
            Self::Blank => {
                let mut cell = serializer.serialize_struct("Blank", 1)?;
                cell.serialize_field("blank", &true)?;
                cell.end()
            }
        }
    }
}
