//! Laid-out pages to PDF.

use typst::{
    diag::{SourceDiagnostic, SourceResult},
    ecow::eco_vec,
    foundations::{Datetime, Smart},
    syntax::Span,
};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::plan::Date;

/// What a document is called, and when it is of.
pub(super) struct Imprint {
    /// What it is, and of what.
    pub(super) ident: String,
    /// The date it is made for.
    pub(super) date: Option<Date>,
}

impl Imprint {
    /// Whether it is written in the archival mode: a file in it must be dated, and no date is made up.
    pub(super) fn is_archival(&self) -> bool {
        self.date.is_some()
    }
}

/// The pages as a tagged PDF.
pub(super) fn pdf(document: &PagedDocument, imprint: Imprint) -> SourceResult<Vec<u8>> {
    let options = PdfOptions {
        timestamp: imprint.date.and_then(midnight),
        standards: standards(imprint.is_archival())?,
        ident: Smart::Custom(imprint.ident),
        creator: Smart::Custom(Some(concat!("bywash ", env!("CARGO_PKG_VERSION")).to_owned())),
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options)
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
