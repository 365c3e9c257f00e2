//! `bywash schema`.

use clap::{Args, ValueEnum};

use super::{Failure, Status, print::say};
use crate::engine::SCHEMAS;

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Which schema.
    #[arg(value_name = "NAME", default_value = "plan")]
    name: Name,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Name {
    /// Of a plan.
    Plan,
    /// Of the data of a rule card.
    Rule,
    /// Of a house's change of a rule.
    House,
    /// Of the machine form of a review.
    Review,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let name = match arguments.name {
        Name::Plan => "plan",
        Name::Rule => "rule",
        Name::House => "house",
        Name::Review => "review",
    };
    for (_, text) in SCHEMAS.iter().filter(|(known, _)| *known == name) {
        say(text)?;
    }
    Ok(Status::Clear)
}
