//! `bywash review`.

mod batch;
mod outputs;

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    earlier::PreviousArguments,
    input::{HouseArgument, PlanArguments, beside, engine_under},
    output::Outputs,
    print::{paint, say},
    progress::Progress,
    selection::SelectionArguments,
};
use crate::{
    engine::{Engine, Opened, ReviewOptions},
    hydraulics,
    read::nearest_few,
    report::terminal,
    review::{Action, Review, report_cases},
    text::visible,
};
use outputs::Written;
pub(super) use outputs::{OutputArguments, Wanted};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan files to review.
    #[arg(required = true, value_name = "PLAN")]
    plans: Vec<PathBuf>,
    #[command(flatten)]
    selection: SelectionArguments,
    #[command(flatten)]
    outputs: OutputArguments,
    #[command(flatten)]
    previous: PreviousArguments,
    /// Show the levels of every basin in every case: pumps stopped, power off, storm and so on.
    #[arg(long)]
    cases: bool,
    /// Also simulate these cases together, such as `power-off+storm`; repeatable.
    #[arg(long = "case", value_name = "NAME+NAME")]
    combinations: Vec<String>,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    plan: PlanArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    arguments.outputs.with_problems(reviewed(arguments))
}

fn reviewed(arguments: &Arguments) -> Result<Status, Failure> {
    let combinations = combinations(&arguments.combinations)?;
    // Combinations are followed together with the single cases, once.
    let shows_cases = arguments.cases || arguments.outputs.shows_cases();
    let options = ReviewOptions {
        cases: shows_cases && combinations.is_empty(),
        in_depth: arguments.outputs.in_depth(),
        ..arguments.plan.options()?
    };
    let wanted = arguments.outputs.wanted(&arguments.plans)?;
    let outputs = Outputs::claim(
        wanted.iter().flatten().map(Wanted::claim),
        arguments.outputs.force.in_the_way(),
    )?;
    let pages = arguments.house.pages()?;
    let inputs = pages
        .iter()
        .chain(&arguments.plans)
        .chain(&arguments.previous.previous);
    outputs.spare(inputs.map(PathBuf::as_path).chain(arguments.plan.patches()))?;
    let [plan] = arguments.plans.as_slice() else {
        one_plan_only(arguments)?;
        return batch::run(arguments, wanted, outputs, &pages, options);
    };
    let wanted: Vec<Wanted> = wanted.into_iter().flatten().collect();
    let mut engine = engine_under(&pages)?;
    let opened = arguments.plan.open(&mut engine, plan)?;
    let read_too = beside(&engine, opened.source, &opened.plan);
    outputs.spare(read_too.iter().map(PathBuf::as_path))?;
    let progress = Progress::of("trying changes, drifts and answers");
    let mut review = engine.review(&opened, options);
    drop(progress);
    if !combinations.is_empty() {
        review.cases = Some(report_cases(&engine.context(&opened, options), &combinations));
    }
    let review = arguments.previous.apply(&mut engine, &opened, review, options)?;
    let printed = shown(arguments, &engine, &opened, &review)?;
    let full = arguments.selection.full;
    let contents = contents(&arguments.outputs, &engine, &opened, &review, &wanted, full)?;
    let carried = outputs.take_stdout();
    outputs.write(&contents)?;
    if !carried {
        say(&printed)?;
    }
    Ok(status_of(&review))
}

/// The bytes of the files that are wanted of a review, in their order.
pub(super) fn contents(
    arguments: &OutputArguments,
    engine: &Engine,
    opened: &Opened,
    review: &Review,
    wanted: &[Wanted],
    full: bool,
) -> Result<Vec<Vec<u8>>, Failure> {
    let written = Written {
        arguments,
        engine,
        opened,
        review,
        full,
    };
    wanted.iter().map(|wanted| written.bytes(wanted)).collect()
}

/// How a run that made a review ends.
pub(super) fn status_of(review: &Review) -> Status {
    if review.action.action == Action::ReviseAndResubmit {
        Status::Revise
    } else {
        Status::Clear
    }
}

/// Options that speak of one plan.
fn one_plan_only(arguments: &Arguments) -> Result<(), Failure> {
    let given = [
        ("--previous", arguments.previous.previous.is_some()),
        ("--cases", arguments.cases),
        ("--case", !arguments.combinations.is_empty()),
    ];
    match given.into_iter().find(|(_, given)| *given) {
        None => Ok(()),
        Some((argument, _)) => Err(Failure::Argument {
            message: format!("{argument} takes one plan at a time"),
            help: "review that plan by itself".to_owned(),
        }),
    }
}

/// The review as text, its cases first where requested.
fn shown(
    arguments: &Arguments,
    engine: &Engine,
    opened: &Opened,
    review: &Review,
) -> Result<String, Failure> {
    let asked = arguments.cases || !arguments.combinations.is_empty();
    let cases = review.cases.as_ref().filter(|_| asked);
    let cases = cases
        .map(|cases| terminal::cases(cases, paint()))
        .unwrap_or_default();
    let selected = arguments.selection.of(review, &engine.rules_for(opened))?;
    let text = if arguments.selection.is_full() {
        terminal::review(engine, opened, review, &selected, paint())
    } else {
        terminal::brief(review, &selected, paint())
    };
    Ok(cases + &terminal::in_depth(review, paint()) + &text)
}

/// Combinations of cases by the names of their parts.
fn combinations(written: &[String]) -> Result<Vec<Vec<&'static hydraulics::NamedScenario>>, Failure> {
    written
        .iter()
        .map(|names| names.split('+').map(case).collect())
        .collect()
}

fn case(name: &str) -> Result<&'static hydraulics::NamedScenario, Failure> {
    let known = || hydraulics::SCENARIOS.iter().map(|case| case.name);
    hydraulics::scenario(name.trim()).ok_or_else(|| {
        let near = nearest_few(name.trim(), known(), super::selection::NEAR, 1);
        let near = near
            .first()
            .map(|near| format!("the nearest is {near}; "))
            .unwrap_or_default();
        Failure::Argument {
            message: format!("there is no case `{}`", visible(name.trim())),
            help: format!("{near}the cases are {}", known().collect::<Vec<_>>().join(", ")),
        }
    })
}
