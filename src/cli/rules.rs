//! `bywash rules`.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{
    Failure, Status,
    input::{HouseArgument, engine_under, pages_of, unreadable},
    print::{paint, say},
    selection::{SeverityArgument, known_discipline, unknown},
};
use crate::{
    engine::{Engine, Trial},
    report::terminal::{self, Listed, Tried},
    rules::{Card, Severity},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Id of the rule to show; without it, all rules are listed.
    #[arg(value_name = "ID")]
    id: Option<String>,
    /// List only this discipline.
    #[arg(long, value_name = "NAME")]
    discipline: Option<String>,
    /// List only this severity.
    #[arg(long, value_name = "WORD", ignore_case = true)]
    severity: Option<SeverityArgument>,
    /// List only rules with this text in their id, title, reason, cure or sources.
    #[arg(long, value_name = "TEXT")]
    find: Option<String>,
    #[command(flatten)]
    house: HouseArgument,
    /// Test a folder of house rules by their own examples, over the built-in sound plan.
    #[arg(long = "test", value_name = "DIR", conflicts_with_all = ["id", "discipline", "severity", "find", "folder"])]
    test: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    if let Some(folder) = &arguments.test {
        return test(folder);
    }
    let engine = engine_under(&arguments.house.pages()?)?;
    let text = match &arguments.id {
        Some(id) => terminal::card(&engine.sources, known(&engine, id)?, paint()),
        None => terminal::list(&listed(arguments, &engine)?, paint()),
    };
    say(&text)?;
    Ok(Status::Clear)
}

fn known<'d>(engine: &'d Engine, id: &str) -> Result<&'d Card, Failure> {
    engine
        .library
        .card(id)
        .ok_or_else(|| match crate::rules::retired(id) {
            Some(reason) => Failure::Argument {
                message: format!("rule `{id}` was retired"),
                help: reason.to_owned(),
            },
            None => unknown(
                "rule",
                id,
                engine.library.cards.iter().map(|card| card.id.as_str()),
                "`bywash rules` lists all",
            ),
        })
}

/// The cards requested.
fn listed<'d>(arguments: &Arguments, engine: &'d Engine) -> Result<Listed<'d>, Failure> {
    let cards = &engine.library.cards;
    if let Some(name) = &arguments.discipline {
        known_discipline(&engine.library, name)?;
    }
    let severity = arguments.severity.map(Severity::from);
    let wanted = |card: &&Card| {
        arguments
            .discipline
            .as_ref()
            .is_none_or(|name| card.discipline == *name)
            && severity.is_none_or(|severity| card.severity == severity)
            && arguments.find.as_ref().is_none_or(|text| says(card, text))
    };
    Ok(Listed {
        cards: cards.iter().filter(wanted).collect(),
        house: &engine.library.house,
    })
}

/// Whether a card says a text anywhere a reader would look, whatever the case of its letters.
fn says(card: &Card, text: &str) -> bool {
    let text = text.to_lowercase();
    let lines = card.sources.iter().map(crate::rules::Source::line);
    [&card.id, &card.title, &card.why, &card.cure]
        .into_iter()
        .cloned()
        .chain(lines)
        .any(|said| said.to_lowercase().contains(&text))
}

/// Tests a house's rules by their own examples.
fn test(folder: &Path) -> Result<Status, Failure> {
    let mut engine = engine_under(&pages_of(folder)?)?;
    let trial = match Trial::new(&mut engine) {
        Ok(trial) => trial,
        Err(problems) => return Err(unreadable(&engine, &problems)),
    };
    let tried: Vec<Tried<'_>> = trial
        .engine()
        .library
        .house
        .iter()
        .map(|rule| Tried {
            rule,
            failures: trial.of_house(rule),
        })
        .collect();
    say(&terminal::tried(&trial.engine().sources, &tried, paint()))?;
    let failed = tried.iter().any(|tried| !tried.failures.is_empty());
    Ok(if failed { Status::Revise } else { Status::Clear })
}
