//! The typeset forms: the templates under `template/`, filled with a review and its drawings or with a lesson, as PDFs.
//!
//! What a plan says reaches the template only as strings inside JSON; it is shown and never evaluated.

mod answer_form;
mod export;
mod fields;
mod paper;
mod photographs;
mod printed_review;
mod text;
mod world;

pub use answer_form::form;
pub use paper::Paper;
pub use photographs::{Content, NotAPicture, Photograph, small};

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;
use serde_json::{Value, to_value};
use typst::comemo;
use typst_layout::PagedDocument;

use crate::{
    ledger::Ledger,
    lessons::{Drill, DrillLevel, RuleBook},
    papers::FieldPaper,
    report::{
        code::Code,
        drawing::{Drawings, NamedScenes, drawings},
    },
    review::Review,
};
use export::Imprint;
use printed_review::PrintedReview;
use text::Script;
use world::{ClosedWorld, Files, TEMPLATE};

/// Why a review could not be typeset.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The review does not go into JSON.
    #[error("the review can’t be handed to the typesetter: {0}")]
    Data(#[from] serde_json::Error),
    /// The template does not compile; a fault of the program.
    #[error("the typesetter refuses the review: {0}")]
    Typeset(String),
    /// The pages do not go into a PDF.
    #[error("the pages can’t be written as a PDF: {0}")]
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
    /// The photographs and sheets that the plan refers to.
    pub photographs: &'a [Photograph],
    /// Whether everything goes in: rules met, figures, what was read, sources.
    pub full: bool,
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
    typeset(|script| review_files(job, script))
}

/// What the typesetter is given for a review, by file name: the templates, of which `review.typ` is run, and the data
/// they read. With it the typesetter's own program can set the same pages, as a measure of what `render` costs.
///
/// # Errors
/// A review that does not go into JSON; none is known.
pub fn files(job: &Job<'_>) -> Result<Vec<(&'static str, String)>, PdfError> {
    let (_, files) = review_files(job, Script::Any)?;
    let templates = TEMPLATE.iter().map(|(name, text)| (*name, (*text).to_owned()));
    Ok(templates.chain(files.data).collect())
}

fn review_files(job: &Job<'_>, script: Script) -> Result<(Imprint, Files), PdfError> {
    let mut missing = BTreeSet::new();
    let review = shown(&PrintedReview::of(job.review, job.full), script, &mut missing)?;
    let drawings = shown(job.drawings, script, &mut missing)?;
    let imprint = Imprint {
        ident: format!("bywash review {}", job.review.subject.file),
        date: job.review.date,
    };
    let (photographs, pictures) = photographs::printed(job.photographs, job.review);
    let photographs = shown(&photographs, script, &mut missing)?;
    let about = About {
        archival: imprint.is_archival(),
        missing: missing.into_iter().map(text::code_point).collect(),
    };
    let data = vec![
        ("photographs.json", photographs),
        ("review.json", crate::report::json::render(job.review)?),
        ("plan.jsonc", job.plan.to_owned()),
        ("shown.json", review),
        ("drawings.json", drawings),
        ("paper.json", serde_json::to_string(&job.paper)?),
        ("about.json", serde_json::to_string(&about)?),
    ];
    let main = "review.typ";
    Ok((imprint, Files { main, data, pictures }))
}

/// The rule book as a tagged PDF; the same library gives the same bytes.
///
/// # Errors
/// A book that can't be typeset; none is known.
pub fn handbook(book: &RuleBook, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let drawings = drawings(&book.opened.plan, &book.opened.ledger, &book.review);
    typeset(|script| {
        let data = [
            ("shown.json", to_value(&book.pages)?),
            ("drawings.json", to_value(&drawings)?),
        ];
        lesson("handbook.typ", "bywash handbook".to_owned(), &data, paper, script)
    })
}

/// The sheet of a drill: the plan with its faults, and room for answers.
///
/// # Errors
/// A sheet that can't be typeset; none is known.
pub fn drill_sheet(drill: &Drill, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let ident = format!("bywash drill {}", drill.sheet.seed);
    let silent = Review {
        findings: Vec::new(),
        questions: Vec::new(),
        figures: Vec::new(),
        ..drill.review.clone()
    };
    let shown = drill.shown.as_ref().unwrap_or(&drill.opened);
    // Without figures the section shows the levels of the plan alone.
    let no_figures = Ledger::default();
    let ledger = match drill.sheet.level {
        DrillLevel::Figures => &shown.ledger,
        DrillLevel::Plain | DrillLevel::Sent => &no_figures,
    };
    let drawings = drawings(&shown.plan, ledger, &silent);
    typeset(|script| {
        let data = [
            ("shown.json", to_value(&drill.sheet)?),
            ("drawings.json", to_value(&drawings)?),
        ];
        lesson("drill.typ", ident.clone(), &data, paper, script)
    })
}

/// The key to a drill: what was planted, what it raises, and why.
///
/// # Errors
/// A key that can't be typeset; none is known.
pub fn drill_key(drill: &Drill, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let ident = format!("bywash key {}", drill.sheet.seed);
    let drawings = drawings(&drill.opened.plan, &drill.opened.ledger, &drill.review);
    typeset(|script| {
        let data = [
            ("shown.json", to_value(&drill.sheet)?),
            ("key.json", to_value(&drill.key)?),
            ("left-out.json", to_value(&drill.left_out)?),
            ("drawings.json", to_value(&drawings)?),
        ];
        lesson("key.typ", ident.clone(), &data, paper, script)
    })
}

/// A field paper, with the drawings its sheets name; the same input gives the same bytes.
///
/// # Errors
/// A paper that can't be typeset; none is known.
pub fn field_paper(paper: &FieldPaper, drawings: &NamedScenes, sheet: Paper) -> Result<Vec<u8>, PdfError> {
    let ident = format!("bywash {} {}", paper.paper, paper.plan.fingerprint);
    let codes: BTreeMap<&str, Option<Code>> = paper
        .sheets
        .iter()
        .map(|sheet| (sheet.number.as_str(), Code::of(&sheet.code)))
        .collect();
    typeset(|script| {
        let data = [
            ("shown.json", to_value(paper)?),
            ("drawings.json", to_value(drawings)?),
            ("codes.json", to_value(&codes)?),
        ];
        lesson("field.typ", ident.clone(), &data, sheet, script)
    })
}

/// The template of a lesson or a field paper, and what it reads. The file carries no date.
fn lesson(
    main: &'static str,
    ident: String,
    data: &[(&'static str, Value)],
    paper: Paper,
    script: Script,
) -> Result<(Imprint, Files), PdfError> {
    let mut missing = BTreeSet::new();
    let mut files = vec![("paper.json", serde_json::to_string(&paper)?)];
    for (name, value) in data {
        files.push((*name, shown(value, script, &mut missing)?));
    }
    Ok((
        Imprint { ident, date: None },
        Files {
            main,
            data: files,
            pictures: Vec::new(),
        },
    ))
}

/// Typesets a document, with every character that a face has, else with those of the text faces alone.
fn typeset(document: impl Fn(Script) -> Result<(Imprint, Files), PdfError>) -> Result<Vec<u8>, PdfError> {
    // Every different document leaves its layout in the process-wide cache. It is cleared before the next: what makes one
    // document need not wait for it.
    comemo::evict(0);
    let set = |script| document(script).and_then(|(imprint, files)| set(imprint, files));
    set(Script::Any).or_else(|_| set(Script::TextFaces))
}

fn set(imprint: Imprint, files: Files) -> Result<Vec<u8>, PdfError> {
    let world = ClosedWorld::new(files).ok_or_else(|| PdfError::Typeset("no such template".to_owned()))?;
    let compiled = typst::compile::<PagedDocument>(&world);
    if let Some(warning) = compiled.warnings.first() {
        return Err(PdfError::Typeset(world.explain(warning)));
    }
    let document = compiled
        .output
        .map_err(|errors| PdfError::Typeset(world.explain_all(&errors)))?;
    export::pdf(&document, imprint).map_err(|errors| PdfError::Export(world.explain_all(&errors)))
}

/// The data as JSON with every text made printable and long words free to break; what no face has is added to `missing`.
fn shown<T: Serialize>(data: &T, script: Script, missing: &mut BTreeSet<char>) -> Result<String, PdfError> {
    let mut value = to_value(data)?;
    text::make_ready(&mut value, script, missing);
    Ok(serde_json::to_string(&value)?)
}
