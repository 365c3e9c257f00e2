//! `bywash begin`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    output::{InTheWay, Outputs},
    print::say,
};
use crate::{
    engine::STARTER,
    text::{pasted, shown_path},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// New file to write; without it, the plan is printed.
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let Some(path) = &arguments.file else {
        say(STARTER)?;
        return Ok(Status::Clear);
    };
    let outputs = Outputs::claim([("FILE", path.as_path())], InTheWay::Kept)?;
    let printed = outputs.take_stdout();
    outputs.write(&[STARTER.as_bytes().to_vec()])?;
    if !printed {
        let name = pasted(&shown_path(path));
        say(&format!("wrote {name}; review it with `bywash review {name}`\n"))?;
    }
    Ok(Status::Clear)
}
