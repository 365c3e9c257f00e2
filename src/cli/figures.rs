//! `bywash figures`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    input::{PlanArguments, desk},
    output::{paint, say},
};
use crate::{
    report::terminal,
    review::{figure_lines, tell_cases},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The plan.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    #[command(flatten)]
    with: PlanArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let wishes = arguments.with.wishes()?;
    let mut desk = desk()?;
    let opened = arguments.with.open(&mut desk, &arguments.plan)?;
    let lines = figure_lines(&desk.case(&opened, wishes));
    let assumptions: Vec<String> = opened
        .ledger
        .assumptions()
        .into_iter()
        .map(str::to_owned)
        .collect();
    let cases = tell_cases(&desk.case(&opened, wishes), &[]);
    say(&(terminal::figures(&lines, &assumptions, paint()) + &terminal::cases(&cases, paint())));
    Ok(Status::Clear)
}
