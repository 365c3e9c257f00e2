//! `bywash schema`.

use clap::{Args, ValueEnum};

use super::{Failure, Status, print::say};
use crate::engine::SCHEMAS;

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Schema to print.
    #[arg(value_name = "NAME", default_value = "plan")]
    name: Name,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Name {
    /// A plan.
    Plan,
    /// The data of a rule page.
    Rule,
    /// A house’s change of a rule.
    House,
    /// The JSON form of a review.
    Review,
    /// What keeps an input from being reviewed, as JSON.
    Problems,
    /// The JSON form of a paper for the site.
    FieldPaper,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let name = match arguments.name {
        Name::Plan => "plan",
        Name::Rule => "rule",
        Name::House => "house",
        Name::Review => "review",
        Name::Problems => "problems",
        Name::FieldPaper => "field-paper",
    };
    for (_, text) in SCHEMAS.iter().filter(|(known, _)| *known == name) {
        say(text)?;
    }
    Ok(Status::Clear)
}
