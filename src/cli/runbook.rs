//! `bywash runbook`.

use clap::Args;

use super::{
    Failure, Status,
    field_paper::{FieldPaperArguments, NamedScenes},
};
use crate::papers::runbook;

#[derive(Debug, Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    paper: FieldPaperArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let outputs = arguments.paper.claim(None, [])?;
    let plan = outputs.reviewed()?;
    outputs.write(&runbook(&plan.context(), &plan.review), NamedScenes::new, None)?;
    Ok(Status::Clear)
}
