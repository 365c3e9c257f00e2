//! The review as a typeset document: laid out by the template beside this file, with the machine form attached.
//! Texts of the plan reach the template as data and are never read as markup.

mod printable;
mod world;

use serde::Serialize;
use typst::{
    diag::{SourceDiagnostic, Warned},
    foundations::{Bytes, Datetime, Smart},
};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use super::{drawing::Drawings, json};
use crate::{plan::Date, review::Review};
use world::Desk;

const TEMPLATE: &str = include_str!("review.typ");

/// The paper a document is laid out for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// 8-1/2 by 11 in.
    #[default]
    #[serde(rename = "us-letter")]
    Letter,
    /// 210 by 297 mm.
    A4,
}

/// Why no document was made.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The review can't be written as data.
    #[error("the review can't be written as data: {0}")]
    Data(#[from] serde_json::Error),
    /// The template can't be laid out; warnings count.
    #[error("the document can't be laid out: {0}")]
    Layout(String),
    /// The document can't be written to the archival and accessible form asked for.
    #[error("the document can't be written: {0}")]
    Export(String),
}

/// What the template prints.
#[derive(Serialize)]
struct Data<'a> {
    paper: Paper,
    review: &'a Review,
    drawings: &'a Drawings,
}

/// The document of a review with its drawings: the same bytes for the same review.
///
/// # Errors
/// A document that can't be laid out or written whole and without warnings.
pub fn render(review: &Review, drawings: &Drawings, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let mut data = serde_json::to_value(Data {
        paper,
        review,
        drawings,
    })?;
    printable::make(&mut data);
    let files = vec![
        ("data.json", Bytes::new(serde_json::to_vec(&data)?)),
        ("review.json", Bytes::from_string(json::render(review)?)),
    ];
    let desk = Desk::new(TEMPLATE, files, review.date.and_then(datetime));
    let written = write(&desk, review);
    // The typesetter keeps what it laid out; without this every report would stay in memory.
    typst::comemo::evict(0);
    written
}

fn write(desk: &Desk, review: &Review) -> Result<Vec<u8>, PdfError> {
    let Warned { output, warnings } = typst::compile::<PagedDocument>(desk);
    let document = output.map_err(|errors| PdfError::Layout(told(desk, &errors)))?;
    if !warnings.is_empty() {
        return Err(PdfError::Layout(told(desk, &warnings)));
    }
    let timestamp = review.date.and_then(datetime).map(Timestamp::new_utc);
    // An archival document must bear a date, and a review without one takes none from the clock.
    let wanted: &[PdfStandard] = match timestamp {
        Some(_) => &[PdfStandard::A_3a, PdfStandard::Ua_1],
        None => &[PdfStandard::Ua_1],
    };
    let standards = PdfStandards::new(wanted)
        .map_err(|error| PdfError::Export(error.message().to_string()))?;
    let options = PdfOptions {
        ident: Smart::Custom(format!("bywash review of {}", review.subject.file)),
        creator: Smart::Custom(Some(format!("bywash {}", review.version))),
        timestamp,
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(|errors| PdfError::Export(told(desk, &errors)))
}

/// Midnight of a date.
fn datetime(date: Date) -> Option<Datetime> {
    let (year, month, day) = date.parts();
    Datetime::from_ymd_hms(i32::from(year), month, day, 0, 0, 0)
}

fn told(desk: &Desk, diagnostics: &[SourceDiagnostic]) -> String {
    let told: Vec<String> = diagnostics
        .iter()
        .map(|diagnostic| match desk.line_of(diagnostic) {
            Some(line) => format!("template line {line}: {}", diagnostic.message),
            None => diagnostic.message.to_string(),
        })
        .collect();
    told.join("; ")
}
