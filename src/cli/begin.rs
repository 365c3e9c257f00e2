//! `bywash begin`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    output::{Pending, say},
};
use crate::engine::STARTER;

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// A new file to write it to; printed where left out.
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    match &arguments.file {
        None => say(STARTER),
        Some(path) if path.exists() => return Err(Failure::InTheWay { path: path.clone() }),
        Some(path) => {
            Pending::new(path, STARTER.as_bytes())?.finish()?;
            say(&format!(
                "wrote {}; review it with `bywash review {}`\n",
                path.display(),
                path.display()
            ));
        }
    }
    Ok(Status::Clear)
}
