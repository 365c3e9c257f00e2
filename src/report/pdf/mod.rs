//! The typeset review: the template under `template/`, filled with the review and its drawings, as a PDF.
//!
//! What a plan says reaches the template only as strings inside JSON; it is shown and never evaluated.

mod export;
mod paper;
mod text;
mod world;

pub use paper::Paper;

use std::collections::BTreeSet;

use serde::Serialize;
use typst::comemo;
use typst_layout::PagedDocument;

use crate::{report::drawing::Drawings, review::Review};
use text::Script;
use world::{Files, ReviewWorld};

/// Why a review could not be typeset.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The review does not go into JSON.
    #[error("the review can't be handed to the typesetter: {0}")]
    Data(#[from] serde_json::Error),
    /// The template does not compile; a fault of the program.
    #[error("the typesetter refuses the review: {0}")]
    Typeset(String),
    /// The pages do not go into a PDF.
    #[error("the pages can't be written as a PDF: {0}")]
    Export(String),
}

/// What is typeset.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// The review.
    pub review: &'a Review,
    /// Its drawings.
    pub drawings: &'a Drawings,
    /// The plan's own text as it was read, to attach.
    pub plan: &'a str,
    /// The sheet.
    pub paper: Paper,
}

/// What the file says about itself.
#[derive(Debug, Serialize)]
struct About {
    /// Whether it is written in the archival mode too.
    archival: bool,
    /// Code points of the characters that no face has.
    missing: Vec<String>,
}

/// The review as a tagged PDF with the plan and the machine form of the review attached; the same input gives the
/// same bytes.
///
/// Characters that no embedded face has are shown by their code point. Where even covered characters do not
/// combine, as marks of one face over letters of another, a second run keeps to the characters of the text faces.
///
/// # Errors
/// A review that can't be typeset; none is known.
pub fn render(job: &Job<'_>) -> Result<Vec<u8>, PdfError> {
    let pdf = typeset(job, Script::Any).or_else(|_| typeset(job, Script::TextFaces));
    // Without this every different review leaves its layout in the process-wide cache.
    comemo::evict(0);
    pdf
}

fn typeset(job: &Job<'_>, script: Script) -> Result<Vec<u8>, PdfError> {
    let mut missing = BTreeSet::new();
    let review = shown(job.review, script, &mut missing)?;
    let drawings = shown(job.drawings, script, &mut missing)?;
    let about = About {
        archival: export::is_archival(job.review),
        missing: missing.into_iter().map(text::code_point).collect(),
    };
    let world = ReviewWorld::new(&Files {
        attached: crate::report::json::render(job.review)?,
        plan: job.plan.to_owned(),
        review,
        drawings,
        paper: serde_json::to_string(&job.paper)?,
        about: serde_json::to_string(&about)?,
    });
    let compiled = typst::compile::<PagedDocument>(&world);
    if let Some(warning) = compiled.warnings.first() {
        return Err(PdfError::Typeset(world.explain(warning)));
    }
    let document = compiled
        .output
        .map_err(|errors| PdfError::Typeset(world.explain_all(&errors)))?;
    export::pdf(&document, job.review).map_err(|errors| PdfError::Export(world.explain_all(&errors)))
}

/// The data as JSON with every text made printable; what no face has is added to `missing`.
fn shown<T: Serialize>(data: &T, script: Script, missing: &mut BTreeSet<char>) -> Result<String, PdfError> {
    let mut value = serde_json::to_value(data)?;
    text::make_printable(&mut value, script, missing);
    Ok(serde_json::to_string(&value)?)
}
