//! `bywash backcheck`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    earlier::{CompareArguments, open_plan},
    input::{HouseArgument, OptionArguments, beside, engine_under},
    output::Outputs,
    print::{paint, say},
    review::{OutputArguments, contents, status_of},
};
use crate::{engine::ReviewOptions, report::terminal};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Earlier plan, or the PDF or JSON of its review.
    #[arg(value_name = "OLD")]
    old: PathBuf,
    /// Plan as it is now, or the PDF or JSON of its review.
    #[arg(value_name = "NEW")]
    new: PathBuf,
    #[command(flatten)]
    compare: CompareArguments,
    #[command(flatten)]
    outputs: OutputArguments,
    /// Put everything into the PDF: details, calculations, sources.
    #[arg(long)]
    full: bool,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    options: OptionArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    arguments.outputs.with_problems(compared(arguments))
}

fn compared(arguments: &Arguments) -> Result<Status, Failure> {
    let options = ReviewOptions {
        cases: arguments.outputs.shows_cases(),
        ..arguments.options.options()?
    };
    let wanted = arguments.outputs.wanted(std::slice::from_ref(&arguments.new))?;
    let wanted: Vec<_> = wanted.into_iter().flatten().collect();
    let outputs = Outputs::claim(
        wanted.iter().map(super::review::Wanted::claim),
        arguments.outputs.force.in_the_way(),
    )?;
    let pages = arguments.house.pages()?;
    let inputs = pages.iter().chain([&arguments.old, &arguments.new]);
    outputs.spare(inputs.map(PathBuf::as_path))?;
    let mut engine = engine_under(&pages)?;
    let opened = open_plan(&mut engine, &arguments.new)?;
    let read_too = beside(&engine, opened.source, &opened.plan);
    outputs.spare(read_too.iter().map(PathBuf::as_path))?;
    let review = engine.review(&opened, options);
    let review = arguments
        .compare
        .against(&mut engine, &arguments.old, &opened, review, options)?;
    let contents = contents(
        &arguments.outputs,
        &engine,
        &opened,
        &review,
        &wanted,
        arguments.full,
    )?;
    let carried = outputs.take_stdout();
    outputs.write(&contents)?;
    if !carried {
        say(&terminal::backcheck(&review, paint()))?;
    }
    Ok(status_of(&review))
}
