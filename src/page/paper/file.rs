//! The paper that is shown, as a file.

use serde::Deserialize;

use super::Paper;
use crate::{page::Document, report::cells};

/// What a paper becomes as a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PaperForm {
    /// Pages, which are left to the host: it has a typesetter, or a browser that prints.
    Pdf,
    /// Its first table as comma-separated text.
    Csv,
    /// All its tables as a workbook.
    Xlsx,
    /// The merge patch that it proposes.
    Patch,
}

impl PaperForm {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Pdf, Self::Csv, Self::Xlsx, Self::Patch];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Csv => "csv",
            Self::Xlsx => "xlsx",
            Self::Patch => "patch",
        }
    }

    /// What the names of its files end in.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Patch => "patch.json",
            other => other.word(),
        }
    }
}

impl Document {
    /// The paper that is shown: its word, and the paper. None while the plan or another view is shown.
    pub fn paper(&self) -> Option<(&'static str, &Paper)> {
        let (_, wish, made) = self.closer.paper.as_ref()?;
        Some((wish.name.word(), made.as_ref().as_ref().ok()?))
    }

    /// The name of a file beside the plan for the paper that is shown.
    pub fn paper_file_name(&self, word: &str, extension: &str) -> String {
        let name = std::path::Path::new(&self.name);
        let stem = name.file_stem().unwrap_or_default().to_string_lossy();
        format!("{stem}-{word}.{extension}")
    }

    /// The paper that is shown, as the bytes of a file.
    ///
    /// # Errors
    /// A view that is no field paper, or cells that can’t be written, in words.
    pub fn paper_as(&self, form: PaperForm) -> Result<Vec<u8>, String> {
        let Some((_, Paper::Field(paper, _, aside))) = self.paper() else {
            return Err("no paper with tables is shown".to_owned());
        };
        match form {
            PaperForm::Csv => cells::csv(paper).map_err(|error| error.to_string()),
            PaperForm::Xlsx => cells::workbook(paper).map_err(|error| error.to_string()),
            PaperForm::Patch => aside
                .patch
                .clone()
                .map(String::into_bytes)
                .ok_or_else(|| "this paper proposes no change".to_owned()),
            PaperForm::Pdf => Err("pages are set by the host".to_owned()),
        }
    }
}
