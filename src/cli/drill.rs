//! `bywash drill`.

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
use crate::{
    engine::Engine,
    lessons::{Drill, DrillError, DrillLevel, plant},
    read::read_file,
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Sound plan to plant faults in.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Number of faults.
    #[arg(long, value_name = "NUMBER", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..=40))]
    faults: u16,
    /// Random seed; the same seed gives the same sheet.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// How much the sheet gives beside the plan.
    #[arg(long, value_name = "LEVEL", ignore_case = true, default_value = "figures")]
    level: LevelArgument,
    /// Write the sheet for the trainee as a PDF to this file.
    #[arg(long, value_name = "FILE")]
    pdf: PathBuf,
    /// Write the key as a PDF to this file.
    #[arg(long, value_name = "FILE")]
    key: Option<PathBuf>,
    /// Paper size [default: Letter for US units, A4 for SI].
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    paper: Option<PaperArgument>,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    force: ForceArgument,
}

/// The level of a drill as the command line names it, the easiest first.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum LevelArgument {
    /// The whole plan, the computed figures, and a list of rules.
    Figures,
    /// The whole plan and a list of rules, without figures.
    Plain,
    /// The plan as a contractor sends it: no figures, no rules, and some values left out.
    Sent,
}

impl From<LevelArgument> for DrillLevel {
    fn from(level: LevelArgument) -> Self {
        match level {
            LevelArgument::Figures => Self::Figures,
            LevelArgument::Plain => Self::Plain,
            LevelArgument::Sent => Self::Sent,
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let key = arguments.key.as_deref().map(|path| ("--key", path));
    let asked = [("--pdf", arguments.pdf.as_path())].into_iter().chain(key);
    let outputs = Outputs::claim(asked, arguments.force.in_the_way())?;
    let pages = arguments.house.pages()?;
    let inputs = pages.iter().chain([&arguments.plan]);
    outputs.spare(inputs.map(PathBuf::as_path))?;
    let mut engine = engine_under(&pages)?;
    let plan = read_file(&mut engine.sources, &arguments.plan)?;
    let refused = |error: DrillError| failure(&engine, &error);
    let mut drill = plant(&engine, plan, usize::from(arguments.faults), arguments.seed).map_err(refused)?;
    drill
        .set_level(&engine, arguments.level.into())
        .map_err(refused)?;
    let (sheet, key) = typeset(&drill, arguments.paper)?;
    // The key is written where one is asked for: the outputs take as many as they claimed.
    outputs.write(&[sheet, key])?;
    Ok(Status::Clear)
}

fn failure(engine: &Engine, error: &DrillError) -> Failure {
    let help = match error {
        DrillError::Plan(problems) => return unreadable(engine, problems),
        DrillError::NotSound { .. } => "correct the plan, or start from examples/courtyard-retrofit.jsonc",
        DrillError::TooMany { .. } => "ask for fewer, or try another seed",
    };
    Failure::Argument {
        message: error.to_string(),
        help: help.to_owned(),
    }
}

/// Sheet and key.
#[cfg(feature = "pdf")]
fn typeset(drill: &Drill, paper: Option<PaperArgument>) -> Result<(Vec<u8>, Vec<u8>), Failure> {
    use crate::report::pdf::{drill_key, drill_sheet};
    let paper = PaperArgument::chosen(paper, drill.review.subject.units);
    let failed = |error: crate::report::pdf::PdfError| Failure::Report(error.to_string());
    Ok((
        drill_sheet(drill, paper).map_err(failed)?,
        drill_key(drill, paper).map_err(failed)?,
    ))
}

#[cfg(not(feature = "pdf"))]
fn typeset(_: &Drill, _: Option<PaperArgument>) -> Result<(Vec<u8>, Vec<u8>), Failure> {
    Err(no_typesetter())
}
