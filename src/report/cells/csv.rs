//! Comma-separated text: the first table of a paper, in UTF-8, with a line of headings.

use std::borrow::Cow;

use csv::Writer;

use super::{Value, merged};
use crate::{papers::FieldPaper, text::visible};

/// The first table of a paper.
///
/// # Errors
/// None is known: the text is written to memory.
pub fn csv(paper: &FieldPaper) -> Result<Vec<u8>, csv::Error> {
    let mut writer = Writer::from_writer(Vec::new());
    if let Some((_, tables)) = paper.tables().first() {
        let table = merged(tables);
        writer.write_record(&table.headings)?;
        for row in &table.rows {
            writer.write_record(row.iter().map(|cell| written(cell).into_owned()))?;
        }
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}

/// A cell as it is written: no text is taken for a formula.
pub(super) fn written<'c>(value: &'c Value<'_>) -> Cow<'c, str> {
    match value {
        Value::Text(text) => inert(text),
        Value::Number(number) => Cow::Owned(number.to_string()),
        Value::Empty => Cow::Borrowed(""),
    }
}

/// A text that no spreadsheet takes for a formula: where it starts as one does, an apostrophe stands before it. What is
/// hidden in it is shown.
pub fn inert(text: &str) -> Cow<'_, str> {
    let text = visible(text);
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '|', '%']) {
        Cow::Owned(format!("'{text}"))
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::inert;

    #[test]
    fn what_starts_as_a_formula_is_text() {
        for text in ["=1+1", "+12 in", "-1", "@SUM(A1)", "|calc", "%x"] {
            assert_eq!(inert(text), format!("'{text}"));
        }
        assert_eq!(inert("\t=1"), "\\t=1");
        for text in ["rim", "\u{2212}12 in", "4 ft 7 in", "'x", ""] {
            assert_eq!(inert(text), text);
        }
    }
}
