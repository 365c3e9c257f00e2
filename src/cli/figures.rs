//! `bywash figures`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    input::{PlanArguments, engine_under},
    print::{paint, say},
};
use crate::{
    report::terminal,
    review::{figure_lines, report_cases},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan file.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    #[command(flatten)]
    with: PlanArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let options = arguments.with.options()?;
    let mut engine = engine_under(&[])?;
    let opened = arguments.with.open(&mut engine, &arguments.plan)?;
    let context = engine.context(&opened, options);
    let (lines, assumptions) = (figure_lines(&context), context.assumptions());
    let cases = report_cases(&context, &[]);
    say(&(terminal::figures(&lines, &assumptions, paint()) + &terminal::cases(&cases, paint())))?;
    Ok(Status::Clear)
}
