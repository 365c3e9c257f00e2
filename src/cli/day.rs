//! `bywash day`.

use clap::Args;

use super::{
    Failure, Status,
    field_paper::{FieldPaperArguments, NamedScenes},
};
use crate::{papers::day_sheet, report::drawing::day_chart};

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
    let scenes = || NamedScenes::from([("day", day_chart(&day.losses, context.units))]);
    outputs.write(&day.paper, scenes, None)?;
    Ok(Status::Clear)
}
