//! `bywash completions` and `bywash manual`: what a shell and a reader of manuals ask a program for.

use clap::{Args, CommandFactory};
use clap_complete::{Shell, generate};

use super::{Failure, Status, print::print};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Shell to complete for.
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let mut bytes = Vec::new();
    generate(
        arguments.shell,
        &mut super::Arguments::command(),
        "bywash",
        &mut bytes,
    );
    printed(&bytes)
}

/// The manual page of the program and of each command, one after another.
pub(super) fn manual() -> Result<Status, Failure> {
    let mut bytes = Vec::new();
    let mut program = super::Arguments::command();
    program.build();
    page(program.clone(), &mut bytes)?;
    for command in program
        .get_subcommands()
        .filter(|command| command.get_name() != "help")
    {
        page(command.clone(), &mut bytes)?;
    }
    printed(&bytes)
}

fn page(command: clap::Command, into: &mut Vec<u8>) -> Result<(), Failure> {
    clap_mangen::Man::new(command)
        .render(into)
        .map_err(|error| Failure::Report(error.to_string()))
}

fn printed(bytes: &[u8]) -> Result<Status, Failure> {
    print(bytes).map_err(|source| Failure::Print { source })?;
    Ok(Status::Clear)
}
