//! `bywash as-built`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    field_paper::{FieldPaperArguments, NamedScenes},
    grid_file::{grid_file, refused_grid},
    input::quantity_argument,
};
use crate::{
    papers::{AsBuiltOptions, as_built, fingerprint, marks, read_shots},
    quantity::Kind,
    text::shown_path,
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Shots: the grade sheet’s CSV or workbook with its column “shot” filled in.
    #[arg(value_name = "SHOTS", index = 2)]
    shots: PathBuf,
    /// Height of the instrument above the benchmark, where the shots do not give it.
    #[arg(long, value_name = "LEVEL", allow_hyphen_values = true)]
    hi: Option<String>,
    /// Believe the shot of this mark, however far off it is; repeatable.
    #[arg(long, value_name = "ID")]
    believe: Vec<String>,
    /// Write the merge patch that makes the plan the plan as built to this file, for `review --as-built`.
    #[arg(long, value_name = "FILE")]
    patch: Option<PathBuf>,
    #[command(flatten)]
    paper: FieldPaperArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    arguments.paper.with_problems(built(arguments))
}

fn built(arguments: &Arguments) -> Result<Status, Failure> {
    let height = arguments.hi.as_deref().map(height).transpose()?;
    let patch = arguments.patch.as_deref().map(|path| ("--patch", path));
    let outputs = arguments.paper.claim(patch, [&arguments.shots])?;
    let grid = grid_file(&arguments.shots)?;
    let plan = outputs.reviewed()?;
    let context = plan.context();
    let all = marks(context.plan, context.ledger);
    let imprint = fingerprint(&context.tree.root);
    let shots = read_shots(&grid, &all, &imprint, &arguments.believe, height)
        .map_err(|problems| refused_grid(&grid, &problems))?;
    let file = shown_path(&arguments.shots);
    let check = AsBuiltOptions {
        library: &plan.rules(),
        drawn: &plan.review,
        file: &file,
    };
    let found = as_built(&context, &all, &shots, &check);
    let further = arguments.patch.as_ref().map(|_| found.patch.into_bytes());
    outputs.write(&found.paper, NamedScenes::new, further)?;
    Ok(if found.holds_water {
        Status::Clear
    } else {
        Status::Revise
    })
}

fn height(text: &str) -> Result<f64, Failure> {
    quantity_argument("--hi", text, Kind::Level, "`4 ft 7-1/8 in` or `1.400 m`")
}
