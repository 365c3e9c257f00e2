//! `bywash handbook`.

use std::path::PathBuf;

use clap::Args;

#[cfg(not(feature = "pdf"))]
use super::paper::no_typesetter;
use super::{
    Failure, Status,
    input::{HouseArgument, engine_under, unreadable},
    output::{ForceArgument, Outputs},
    paper::PaperArgument,
};
use crate::lessons::{RuleBook, handbook};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Write the rule book as a PDF to this file.
    #[arg(long, value_name = "FILE")]
    pdf: PathBuf,
    /// Paper size [default: Letter].
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    paper: Option<PaperArgument>,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    force: ForceArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let outputs = Outputs::claim([("--pdf", arguments.pdf.as_path())], arguments.force.in_the_way())?;
    let pages = arguments.house.pages()?;
    outputs.spare(pages.iter().map(PathBuf::as_path))?;
    let mut engine = engine_under(&pages)?;
    let book = handbook(&mut engine).map_err(|problems| unreadable(&engine, &problems))?;
    outputs.write(&[typeset(&book, arguments.paper)?])?;
    Ok(Status::Clear)
}

#[cfg(feature = "pdf")]
fn typeset(book: &RuleBook, paper: Option<PaperArgument>) -> Result<Vec<u8>, Failure> {
    let paper = PaperArgument::chosen(paper, crate::quantity::UnitSystem::Us);
    crate::report::pdf::handbook(book, paper).map_err(|error| Failure::Report(error.to_string()))
}

#[cfg(not(feature = "pdf"))]
fn typeset(_: &RuleBook, _: Option<PaperArgument>) -> Result<Vec<u8>, Failure> {
    Err(no_typesetter())
}
