//! `bywash explain`.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::{
    Failure, Status,
    earlier::PreviousArguments,
    input::{HouseArgument, PlanArguments, engine_under},
    print::{paint, say},
    review::status_of,
    selection::known_number,
};
use crate::{
    engine::{Engine, Opened},
    report::terminal,
    review::{Finding, Review},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// What to explain.
    #[arg(value_name = "WHAT")]
    what: What,
    /// Its number in the review, such as `3`, `3.1` or `Q2`.
    #[arg(value_name = "NUMBER")]
    number: String,
    /// Plan file; it may be left out where the folder holds only one that ends in .jsonc.
    #[arg(value_name = "PLAN")]
    plan: Option<PathBuf>,
    #[command(flatten)]
    previous: PreviousArguments,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    with: PlanArguments,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum What {
    /// What falls short: lines of the plan, calculation, rule, cures.
    Finding,
    /// What the plan does not show, and the rules that wait for it.
    Question,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let options = arguments.with.options()?;
    let plan = match &arguments.plan {
        Some(plan) => plan.clone(),
        None => only_plan(Path::new("."))?,
    };
    let mut engine = engine_under(&arguments.house.pages()?)?;
    let opened = arguments.with.open(&mut engine, &plan)?;
    let review = engine.review(&opened, options);
    let review = arguments.previous.apply(&mut engine, &opened, review, options)?;
    let number = arguments.number.trim();
    let number = match arguments.what {
        What::Question if !number.to_uppercase().starts_with('Q') => format!("Q{number}"),
        _ => number.to_owned(),
    };
    known_number(&review, &number)?;
    let rules = engine.rules_for(&opened);
    let same = |known: &str| known.eq_ignore_ascii_case(&number);
    let mut text = String::new();
    for finding in review.findings.iter().filter(|finding| same(&finding.number)) {
        text.push_str(&explained(&engine, &opened, &review, finding));
    }
    for question in review.questions.iter().filter(|question| same(&question.number)) {
        text.push_str(&terminal::question(question, &question.rules.join(", "), paint()));
        let waiting = question.rules.iter();
        for card in waiting.filter_map(|rule| rules.card(rule)) {
            text.push('\n');
            text.push_str(&terminal::card(&engine.sources, card, paint()));
        }
    }
    say(&text)?;
    Ok(status_of(&review))
}

/// A finding in full, the figure it rests on with every input, and what it brings with it.
fn explained(engine: &Engine, opened: &Opened, review: &Review, finding: &Finding) -> String {
    let mut text = terminal::finding(engine, opened, finding, paint());
    let figure = review
        .figures
        .iter()
        .filter(|line| finding.figure.as_ref() == Some(&line.name) && line.object == finding.object);
    let figure: Vec<_> = figure.cloned().collect();
    if !figure.is_empty() {
        text.push('\n');
        text.push_str(&terminal::figures(&figure, &[], paint()));
    }
    let follows: Vec<String> = review
        .findings
        .iter()
        .filter(|other| other.follows.as_ref() == Some(&finding.number))
        .map(|other| format!("{} {}", other.number, other.place_name))
        .collect();
    if !follows.is_empty() {
        text.push_str(&format!(
            "  With it goes: {}.\n",
            crate::text::visible(&follows.join("; "))
        ));
    }
    text
}

/// The only plan of a folder.
fn only_plan(folder: &Path) -> Result<PathBuf, Failure> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut plans: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "jsonc"))
        .collect();
    plans.sort();
    match plans.as_slice() {
        [one] => Ok(one.strip_prefix("./").unwrap_or(one).to_owned()),
        _ => Err(Failure::Argument {
            message: format!("this folder holds {} files that end in .jsonc", plans.len()),
            help: "name the plan after the number, such as `bywash explain finding 3 plan.jsonc`".to_owned(),
        }),
    }
}
