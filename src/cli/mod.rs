//! The command line: the only place that prints to a terminal.

mod answers;
mod as_built;
mod backcheck;
mod begin;
mod completions;
mod day;
mod drill;
mod earlier;
mod explain;
mod failure;
mod field_paper;
mod figures;
mod grades;
mod grid_file;
mod handbook;
mod input;
#[cfg(feature = "page")]
mod open;
mod output;
mod paper;
#[cfg(feature = "pdf")]
mod photographs;
mod print;
mod problems;
mod progress;
mod review;
mod rules;
mod runbook;
mod schema;
mod selection;
mod takeoff;

use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum, error::ContextValue};

pub use failure::Failure;
use failure::report;

use crate::{quantity::UnitSystem, text::visible};
use print::{paint, say};

/// The program's version, and the rule library it evaluates with.
const VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), " (", env!("BYWASH_LIBRARY"), ")");

/// Checks the plan of a recirculating water feature before the dig. It computes what the water does, compares the
/// plan with trade rules and published standards, and reports each fault with its place, size, reason and source.
///
/// Exit status: 0 nothing to revise; 1 something to revise, or an open question on a stop rule; 2 the plan or a rule
/// could not be read or reviewed, and nothing was written, or an output could not be written.
#[derive(Debug, Parser)]
#[command(name = "bywash", version = VERSION, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Review one or more plans.
    Review(review::Arguments),
    /// Tell what became of the findings of an earlier review, and what was changed on the plan.
    Backcheck(backcheck::Arguments),
    /// Read a filled form of answers into a merge patch over the plan.
    Answers(answers::Arguments),
    /// Explain one finding or question of a review in full.
    Explain(explain::Arguments),
    /// Show the computed figures of a plan, or one with its worked line and source.
    Figures(figures::Arguments),
    /// Write the grade sheet: every level with its rod reading, and how far it may drift.
    Grades(grades::Arguments),
    /// Check the levels that were built: shots against the plan, and the whole review again.
    AsBuilt(as_built::Arguments),
    /// Write the materials list: what to order, how it was worked out, and what it costs by a firm’s prices.
    Takeoff(takeoff::Arguments),
    /// Tell a day at the pond: levels, flow, what the power costs, and the water lost and made up by season.
    Day(day::Arguments),
    /// Write the runbook: order of work with hold points, filling and joining by the hour, tests and upkeep.
    Runbook(runbook::Arguments),
    /// List the rules, show one, or test house rules by their own examples.
    Rules(rules::Arguments),
    /// Open a plan in the browser, to type, draw and try it; nothing leaves this machine.
    #[cfg(feature = "page")]
    Open(open::Arguments),
    /// Write the rule book for new hires.
    Handbook(handbook::Arguments),
    /// Write a spot-the-fault sheet from a sound plan, and its key.
    Drill(drill::Arguments),
    /// Print the schema of a plan, a rule page, a house’s change, a JSON review, a paper for the site or the problems of an input.
    Schema(schema::Arguments),
    /// Print a commented starter plan, or write it to a new file.
    Begin(begin::Arguments),
    /// Print the completions for a shell.
    Completions(completions::Arguments),
    /// Print the manual page.
    Manual,
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Nothing to revise.
    Clear,
    /// Something to revise, or an open question on a stop rule.
    Revise,
    /// The plan or a card could not be read or reviewed, or an output could not be written.
    Unusable,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        Self::from(match status {
            Status::Clear => 0,
            Status::Revise => 1,
            Status::Unusable => 2,
        })
    }
}

/// Units as the command line names them.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum UnitsArgument {
    /// US customary.
    Us,
    /// SI.
    Si,
}

impl From<UnitsArgument> for UnitSystem {
    fn from(units: UnitsArgument) -> Self {
        match units {
            UnitsArgument::Us => Self::Us,
            UnitsArgument::Si => Self::Si,
        }
    }
}

/// Runs the command line.
pub fn run() -> Status {
    output::tell_size_limit();
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return refused(error),
    };
    let outcome = match &arguments.command {
        Command::Review(arguments) => review::run(arguments),
        Command::Backcheck(arguments) => backcheck::run(arguments),
        Command::Answers(arguments) => answers::run(arguments),
        Command::Explain(arguments) => explain::run(arguments),
        Command::Figures(arguments) => figures::run(arguments),
        Command::Grades(arguments) => grades::run(arguments),
        Command::AsBuilt(arguments) => as_built::run(arguments),
        Command::Takeoff(arguments) => takeoff::run(arguments),
        Command::Day(arguments) => day::run(arguments),
        Command::Runbook(arguments) => runbook::run(arguments),
        Command::Rules(arguments) => rules::run(arguments),
        #[cfg(feature = "page")]
        Command::Open(arguments) => open::run(arguments),
        Command::Handbook(arguments) => handbook::run(arguments),
        Command::Drill(arguments) => drill::run(arguments),
        Command::Schema(arguments) => schema::run(arguments),
        Command::Begin(arguments) => begin::run(arguments),
        Command::Completions(arguments) => completions::run(arguments),
        Command::Manual => completions::manual(),
    };
    ended(outcome)
}

fn ended(outcome: Result<Status, Failure>) -> Status {
    outcome.unwrap_or_else(|failure| {
        report(&failure);
        Status::Unusable
    })
}

/// Arguments that can't be taken, or a wish for help or for the version.
fn refused(mut error: clap::Error) -> Status {
    let values: Vec<_> = error
        .context()
        .map(|(kind, value)| (kind, value.clone(), escaped(value)))
        .collect();
    let as_written = values.iter().all(|(_, written, escaped)| written == escaped);
    for (kind, _, value) in values {
        // Tips repeat what was written in full.
        let is_tip = matches!(value, ContextValue::StyledStr(_) | ContextValue::StyledStrs(_));
        let value = if as_written || !is_tip {
            value
        } else {
            ContextValue::None
        };
        error.insert(kind, value);
    }
    if error.use_stderr() {
        drop(error.print());
        return Status::Unusable;
    }
    let text = error.render();
    let text = if paint().colour {
        text.ansi().to_string()
    } else {
        text.to_string()
    };
    ended(say(&text).map(|()| Status::Clear))
}

/// Letters of an argument that is repeated.
const MOST_REPEATED: usize = 30;

/// What an argument says, visible, and so short that the line holds it.
fn escaped(value: &ContextValue) -> ContextValue {
    let short = |text: &String| {
        let text = visible(text);
        match text.char_indices().nth(MOST_REPEATED) {
            None => text.into_owned(),
            Some((end, _)) => format!("{}…", &text[..end]),
        }
    };
    match value {
        ContextValue::String(text) => ContextValue::String(short(text)),
        ContextValue::Strings(texts) => ContextValue::Strings(texts.iter().map(short).collect()),
        other => other.clone(),
    }
}
