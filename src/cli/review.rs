//! `bywash review`.

use std::path::PathBuf;

use clap::Args;

#[cfg(not(feature = "pdf"))]
use super::paper::no_typesetter;
use super::{
    Failure, Status,
    input::{HouseArgument, PlanArguments, engine_under},
    output::{ForceArgument, Outputs},
    paper::PaperArgument,
    print::{paint, say},
};
use crate::{
    engine::{Engine, Opened, ReviewOptions},
    hydraulics,
    report::{json, terminal},
    review::{Action, Review, report_cases},
    text::visible,
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan files to review.
    #[arg(required = true, value_name = "PLAN")]
    plans: Vec<PathBuf>,
    /// Write the review as a PDF to this file; `-` is standard output. One plan at a time.
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Paper size [default: Letter for US units, A4 for SI].
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    paper: Option<PaperArgument>,
    /// Write the review as JSON to this file; `-` is standard output. One plan at a time.
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
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
    #[command(flatten)]
    force: ForceArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    if arguments.plans.len() > 1 && (arguments.pdf.is_some() || arguments.json.is_some()) {
        return Err(Failure::Argument {
            message: "--pdf and --json take one plan at a time".to_owned(),
            help: "review the plans one by one to write files".to_owned(),
        });
    }
    let combinations = combinations(&arguments.combinations)?;
    // Combinations are followed together with the single cases, once.
    let shows_cases = arguments.cases || arguments.pdf.is_some() || arguments.json.is_some();
    let options = ReviewOptions {
        cases: shows_cases && combinations.is_empty(),
        ..arguments.plan.options()?
    };
    let pdf = arguments.pdf.as_deref().map(|path| ("--pdf", path));
    let json = arguments.json.as_deref().map(|path| ("--json", path));
    let outputs = Outputs::claim(pdf.into_iter().chain(json), arguments.force.in_the_way())?;
    let pages = arguments.house.pages()?;
    let inputs = pages.iter().chain(&arguments.plans).map(PathBuf::as_path);
    outputs.spare(inputs.chain(arguments.plan.patches()))?;
    let mut engine = engine_under(&pages)?;
    // Every plan is opened before anything is printed: what can't be read stops the run with nothing half done.
    let opened: Vec<Opened> = arguments
        .plans
        .iter()
        .map(|plan| arguments.plan.open(&mut engine, plan))
        .collect::<Result<_, _>>()?;
    let mut status = Status::Clear;
    let (mut contents, mut printed) = (Vec::new(), String::new());
    for opened in &opened {
        let mut review = engine.review(opened, options);
        if !combinations.is_empty() {
            review.cases = Some(report_cases(&engine.context(opened, options), &combinations));
        }
        if arguments.pdf.is_some() {
            contents.push(typeset(arguments, &engine, opened, &review)?);
        }
        if arguments.json.is_some() {
            let machine = json::render(&review).map_err(|error| Failure::Report(error.to_string()))?;
            contents.push(machine.into_bytes());
        }
        printed.push_str(&shown(arguments, &engine, opened, &review));
        if review.action.action == Action::ReviseAndResubmit {
            status = Status::Revise;
        }
    }
    let carried = outputs.take_stdout();
    outputs.write(&contents)?;
    if !carried {
        say(&printed)?;
    }
    Ok(status)
}

/// The review as text, its cases first where requested.
fn shown(arguments: &Arguments, engine: &Engine, opened: &Opened, review: &Review) -> String {
    let asked = arguments.cases || !arguments.combinations.is_empty();
    let cases = review.cases.as_ref().filter(|_| asked);
    let cases = cases
        .map(|cases| terminal::cases(cases, paint()))
        .unwrap_or_default();
    cases + &terminal::review(engine, opened, review, paint())
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
    hydraulics::scenario(name.trim()).ok_or_else(|| Failure::Argument {
        message: format!("there is no case `{}`", visible(name.trim())),
        help: format!("the cases are {}", known().collect::<Vec<_>>().join(", ")),
    })
}

#[cfg(feature = "pdf")]
fn typeset(
    arguments: &Arguments,
    engine: &Engine,
    opened: &Opened,
    review: &Review,
) -> Result<Vec<u8>, Failure> {
    use crate::report::pdf::{Job, render};
    let paper = PaperArgument::chosen(arguments.paper, review.subject.units == "SI");
    let drawings = crate::report::drawing::drawings(&opened.plan, &opened.ledger, review);
    let job = Job {
        review,
        drawings: &drawings,
        plan: engine.sources.text(opened.source),
        paper,
    };
    render(&job).map_err(|error| Failure::Report(error.to_string()))
}

#[cfg(not(feature = "pdf"))]
fn typeset(_: &Arguments, _: &Engine, _: &Opened, _: &Review) -> Result<Vec<u8>, Failure> {
    Err(no_typesetter())
}
