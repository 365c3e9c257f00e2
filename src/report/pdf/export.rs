//! Laid-out pages to PDF.

use typst::{
    diag::{SourceDiagnostic, SourceResult},
    ecow::eco_vec,
    foundations::{Datetime, Smart},
    syntax::Span,
};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::{plan::Date, review::Review};

/// The pages as a tagged PDF, dated by the review.
pub(super) fn pdf(document: &PagedDocument, review: &Review) -> SourceResult<Vec<u8>> {
    let options = PdfOptions {
        ident: Smart::Custom(format!("bywash review {}", review.subject.file)),
        creator: Smart::Custom(Some(format!("bywash {}", review.version))),
        timestamp: review.date.and_then(midnight),
        standards: standards(is_archival(review))?,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options)
}

/// Whether a review is written in the archival mode: a file in it must be dated, and no date is made up.
pub(super) fn is_archival(review: &Review) -> bool {
    review.date.is_some()
}

/// The modes asked of the writer.
fn standards(archival: bool) -> SourceResult<PdfStandards> {
    let modes: &[PdfStandard] = if archival {
        &[PdfStandard::A_3a, PdfStandard::Ua_1]
    } else {
        &[PdfStandard::Ua_1]
    };
    PdfStandards::new(modes)
        .map_err(|error| eco_vec![SourceDiagnostic::error(Span::detached(), error.message().clone())])
}

fn midnight(date: Date) -> Option<Timestamp> {
    let (year, month, day) = date.parts();
    Datetime::from_ymd_hms(year.into(), month, day, 0, 0, 0).map(Timestamp::new_utc)
}
