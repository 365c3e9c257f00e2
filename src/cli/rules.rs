//! `bywash rules`.

use clap::Args;

use super::{
    Failure, Status,
    input::desk,
    output::{paint, say},
};
use crate::{read::nearest, report::terminal};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Id of the rule to show; all are listed where left out.
    #[arg(value_name = "ID")]
    id: Option<String>,
    /// List this discipline only.
    #[arg(long, value_name = "NAME")]
    discipline: Option<String>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let desk = desk()?;
    let cards = &desk.library.cards;
    let text = match (&arguments.id, &arguments.discipline) {
        (Some(id), _) => {
            let card = desk
                .library
                .card(id)
                .ok_or_else(|| unknown("rule", id, cards.iter().map(|card| card.id.as_str())))?;
            terminal::card(&desk.sources, card, paint())
        }
        (None, Some(name)) if !cards.iter().any(|card| card.discipline == *name) => {
            return Err(unknown(
                "discipline",
                name,
                cards.iter().map(|card| card.discipline.as_str()),
            ));
        }
        (None, discipline) => terminal::list(&desk.library, discipline.as_deref(), paint()),
    };
    say(&text);
    Ok(Status::Clear)
}

/// How alike two names must be for one to be what was meant by the other.
const NEAR: f64 = 0.75;

fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    let nearest =
        nearest(name, known, NEAR).map_or_else(String::new, |id| format!("the nearest is `{id}`; "));
    Failure::Argument {
        message: format!("there is no {what} called `{}`", name.escape_debug()),
        help: format!("{nearest}`bywash rules` lists all"),
    }
}
