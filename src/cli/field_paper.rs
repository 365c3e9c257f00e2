//! The outputs that all field papers have: PDF, cells, workbook, JSON, or the terminal.

use std::path::{Path, PathBuf};

use clap::Args;

#[cfg(not(feature = "pdf"))]
use super::paper::no_typesetter;
use super::{
    Failure,
    output::{ForceArgument, Outputs},
    paper::PaperArgument,
    print::{paint, say},
};
use crate::{
    papers::FieldPaper,
    report::{cells, json, terminal},
};

pub(super) use crate::report::drawing::NamedScenes;

/// Where a field paper goes.
#[derive(Debug, Args)]
pub(super) struct FieldPaperArguments {
    /// Write the paper as a PDF to this file; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Write its table as comma-separated text to this file; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write all its tables as a workbook to this file.
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
    /// Write the paper as JSON to this file; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Paper size [default: Letter for US units, A4 for SI].
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    paper: Option<PaperArgument>,
    #[command(flatten)]
    force: ForceArgument,
}

/// The places of a field paper's outputs, taken before anything is computed.
pub(super) struct FieldPaperOutputs<'a> {
    asked: &'a FieldPaperArguments,
    outputs: Outputs,
}

impl FieldPaperArguments {
    /// Takes the places of the outputs, and of one more file where there is one.
    pub fn claim<'a>(
        &'a self,
        further: Option<(&'static str, &'a Path)>,
        inputs: impl IntoIterator<Item = &'a Path>,
    ) -> Result<FieldPaperOutputs<'a>, Failure> {
        let named = [
            ("--pdf", &self.pdf),
            ("--csv", &self.csv),
            ("--xlsx", &self.xlsx),
            ("--json", &self.json),
        ];
        let own = named
            .into_iter()
            .filter_map(|(argument, path)| Some((argument, path.as_deref()?)));
        let outputs = Outputs::claim(own.chain(further), self.force.in_the_way())?;
        outputs.spare(inputs)?;
        Ok(FieldPaperOutputs { asked: self, outputs })
    }
}

impl FieldPaperOutputs<'_> {
    /// Writes a paper to the places asked for, and the further file; prints it unless standard output carries one.
    pub fn write(
        self,
        paper: &FieldPaper,
        scenes: impl FnOnce() -> NamedScenes,
        further: Option<Vec<u8>>,
    ) -> Result<(), Failure> {
        let report = |error: &dyn std::fmt::Display| Failure::Report(error.to_string());
        let mut contents = Vec::new();
        if self.asked.pdf.is_some() {
            contents.push(typeset(paper, scenes, self.asked.paper)?);
        }
        if self.asked.csv.is_some() {
            contents.push(cells::csv(paper).map_err(|error| report(&error))?);
        }
        if self.asked.xlsx.is_some() {
            contents.push(cells::workbook(paper).map_err(|error| report(&error))?);
        }
        if self.asked.json.is_some() {
            contents.push(json::render(paper).map_err(|error| report(&error))?.into_bytes());
        }
        contents.extend(further);
        let carried = self.outputs.take_stdout();
        let printed = contents.is_empty();
        self.outputs.write(&contents)?;
        if printed && !carried {
            say(&terminal::field_paper(paper, paint()))?;
        }
        Ok(())
    }
}

#[cfg(feature = "pdf")]
fn typeset(
    paper: &FieldPaper,
    scenes: impl FnOnce() -> NamedScenes,
    size: Option<PaperArgument>,
) -> Result<Vec<u8>, Failure> {
    let size = PaperArgument::chosen(size, paper.plan.units);
    crate::report::pdf::field_paper(paper, &scenes(), size)
        .map_err(|error| Failure::Report(error.to_string()))
}

#[cfg(not(feature = "pdf"))]
fn typeset(
    _: &FieldPaper,
    _: impl FnOnce() -> NamedScenes,
    _: Option<PaperArgument>,
) -> Result<Vec<u8>, Failure> {
    Err(no_typesetter())
}
