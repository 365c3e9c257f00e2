//! A review as files of cells: its log as comma-separated text; findings, questions and figures as a workbook.

use csv::Writer;

use super::{Value, WorkbookError, csv::written, workbook::tables};
use crate::review::{LogEntry, Review};

/// A table of a review.
struct Table {
    name: &'static str,
    headings: Vec<String>,
    rows: Vec<Vec<Owned>>,
}

/// What a cell holds.
enum Owned {
    Text(String),
    Number(f64),
    Empty,
}

impl Owned {
    fn of(text: Option<&String>) -> Self {
        text.map_or(Self::Empty, |text| Self::Text(text.clone()))
    }

    fn value(&self) -> Value<'_> {
        match self {
            Self::Text(text) => Value::Text(text),
            Self::Number(number) => Value::Number(*number),
            Self::Empty => Value::Empty,
        }
    }
}

/// The log of a review: a line for each finding and question, in the order of their numbers.
///
/// # Errors
/// None is known: the text is written to memory.
pub fn review_csv(review: &Review) -> Result<Vec<u8>, csv::Error> {
    let mut writer = Writer::from_writer(Vec::new());
    let table = log(review, "log", |_| true);
    writer.write_record(&table.headings)?;
    for row in &table.rows {
        writer.write_record(row.iter().map(|cell| written(&cell.value()).into_owned()))?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}

/// Findings, questions and figures, a worksheet each; the same review gives the same bytes.
///
/// # Errors
/// More rows or letters than a workbook holds.
pub fn review_workbook(review: &Review) -> Result<Vec<u8>, WorkbookError> {
    let sheets = [
        log(review, "findings", |entry| !entry.is_question()),
        log(review, "questions", LogEntry::is_question),
        figures(review),
    ];
    let sheets: Vec<_> = sheets
        .iter()
        .map(|table| {
            let rows: Vec<Vec<Value<'_>>> = table
                .rows
                .iter()
                .map(|row| row.iter().map(Owned::value).collect())
                .collect();
            (table.name, &table.headings, rows)
        })
        .collect();
    tables(&format!("Review: {}", review.subject.name), &sheets)
}

fn log(review: &Review, name: &'static str, wanted: impl Fn(&LogEntry) -> bool) -> Table {
    let headings = [
        "number",
        "severity",
        "status",
        "where",
        "found and required",
        "what to do",
        "answer",
        "remark",
        "rule",
        "place",
        "file",
        "line",
        "column",
    ];
    let at = |entry: &LogEntry| {
        let (finding, question) = (review.finding(&entry.number), review.question(&entry.number));
        finding
            .map(|finding| (&finding.at, finding.place.as_str()))
            .or_else(|| question.map(|question| (&question.at, question.place.as_str())))
    };
    let row = |entry: &LogEntry| {
        let at = at(entry);
        let place = at.map_or(entry.object.as_str(), |(_, place)| place);
        let count = |number: usize| Owned::Number(number as f64);
        vec![
            Owned::Text(entry.number.clone()),
            Owned::Text(entry.severity.word().to_owned()),
            Owned::Text(entry.status.words().to_owned()),
            Owned::Text(entry.place_name.clone()),
            Owned::Text(entry.text.clone()),
            Owned::of(entry.action.as_ref()),
            Owned::of(entry.answer.as_ref()),
            Owned::of(entry.note.as_ref()),
            Owned::of(entry.rule.as_ref()),
            Owned::Text(place.to_owned()),
            at.map_or(Owned::Empty, |(at, _)| Owned::Text(at.file.clone())),
            at.map_or(Owned::Empty, |(at, _)| count(at.line)),
            at.map_or(Owned::Empty, |(at, _)| count(at.column)),
        ]
    };
    Table {
        name,
        headings: headings.map(str::to_owned).to_vec(),
        rows: review
            .log()
            .iter()
            .filter(|entry| wanted(entry))
            .map(row)
            .collect(),
    }
}

fn figures(review: &Review) -> Table {
    let headings = [
        "name",
        "title",
        "object",
        "where",
        "shown",
        "SI value",
        "worked",
        "without a value because",
        "source",
    ];
    let rows = review.figures.iter().map(|line| {
        let value = line.value.as_ref();
        vec![
            Owned::Text(line.name.clone()),
            Owned::Text(line.title.clone()),
            Owned::Text(line.object.as_str().to_owned()),
            Owned::Text(line.object_name.clone()),
            Owned::of(value.map(|value| &value.text)),
            value
                .and_then(|value| value.si)
                .map_or(Owned::Empty, Owned::Number),
            Owned::of(line.worked.as_ref()),
            Owned::of(line.gap.as_ref()),
            Owned::Text(line.source.clone()),
        ]
    });
    Table {
        name: "figures",
        headings: headings.map(str::to_owned).to_vec(),
        rows: rows.collect(),
    }
}
