//! `bywash day`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    field_paper::{FieldPaperArguments, NamedScenes},
    input::{HouseArgument, PlanArguments, engine_under},
};
use crate::{engine::ReviewOptions, papers::day_sheet, report::drawing::day_chart};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan file.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    outputs: FieldPaperArguments,
    #[command(flatten)]
    with: PlanArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let options = ReviewOptions {
        cures: false,
        ..arguments.with.options()?
    };
    let pages = arguments.house.pages()?;
    let inputs = pages.iter().chain([&arguments.plan]).map(PathBuf::as_path);
    let outputs = arguments
        .outputs
        .claim(None, inputs.chain(arguments.with.patches()))?;
    let mut engine = engine_under(&pages)?;
    let opened = arguments.with.open(&mut engine, &arguments.plan)?;
    let review = engine.review(&opened, options);
    let context = engine.context(&opened, options);
    let day = day_sheet(&context, &review);
    let scenes = || NamedScenes::from([("day", day_chart(&day.losses, context.units))]);
    outputs.write(&day.paper, scenes, None)?;
    Ok(Status::Clear)
}
