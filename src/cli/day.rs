//! `bywash day`.

use clap::Args;

use super::{Failure, Status, field_paper::FieldPaperArguments};
use crate::{papers::day_sheet, report::drawing::day_drawings};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    paper: FieldPaperArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let outputs = arguments.paper.claim(None, [])?;
    let plan = outputs.reviewed()?;
    let context = plan.context();
    let day = day_sheet(&context, &plan.review);
    outputs.write(&day.paper, || day_drawings(&day, context.units), None)?;
    Ok(Status::Clear)
}
