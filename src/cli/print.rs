//! Printing to the terminal.

use std::{
    env,
    io::{self, IsTerminal, Write},
};

use super::Failure;
use crate::report::terminal::Paint;

/// Columns where no terminal says how many.
const USUAL_WIDTH: usize = 80;
/// Prose is not set wider than this.
const WIDEST: usize = 100;
/// Nor narrower than this.
const NARROWEST: usize = 40;

/// How text on standard output is laid out.
pub(super) fn paint() -> Paint {
    let width = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    Paint {
        width: bounded(width),
        colour: io::stdout().is_terminal() && colour_wanted(),
    }
}

/// Columns of standard error.
pub(super) fn width_of_stderr() -> usize {
    bounded(terminal_size::terminal_size_of(io::stderr()).map(|(width, _)| usize::from(width.0)))
}

/// Whether standard error takes colour.
pub(super) fn colour_on_stderr() -> bool {
    io::stderr().is_terminal() && colour_wanted()
}

fn bounded(width: Option<usize>) -> usize {
    width.unwrap_or(USUAL_WIDTH).clamp(NARROWEST, WIDEST)
}

fn colour_wanted() -> bool {
    env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

/// Prints to standard output. A reader that has gone away is no failure; a full disk is one.
pub(super) fn say(text: &str) -> Result<(), Failure> {
    print(text.as_bytes()).map_err(|source| Failure::Print { source })
}

/// Bytes to standard output; a reader that has gone away has read what it wanted.
pub(super) fn print(bytes: &[u8]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(refused) if refused.kind() != io::ErrorKind::BrokenPipe => Err(refused),
        _ => Ok(()),
    }
}

/// Prints to standard error; where that fails too, only the exit status tells.
pub(super) fn say_error(text: &str) {
    drop(io::stderr().write_all(text.as_bytes()));
}
