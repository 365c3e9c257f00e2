//! Writing: to the terminal, and to files that are whole or not there.

use std::{
    env,
    io::{self, IsTerminal, Write},
    path::{Path, PathBuf},
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

/// Prints to standard output; a reader that has gone away is no failure.
pub(super) fn say(text: &str) {
    drop(
        io::stdout()
            .write_all(text.as_bytes())
            .and_then(|()| io::stdout().flush()),
    );
}

/// Prints to standard error.
pub(super) fn say_error(text: &str) {
    drop(io::stderr().write_all(text.as_bytes()));
}

/// A file to be written once everything else is known to work.
pub(super) struct Pending {
    path: PathBuf,
    file: tempfile::NamedTempFile,
}

impl Pending {
    /// Puts the bytes beside the path, under a name of no meaning.
    pub fn new(path: &Path, bytes: &[u8]) -> Result<Self, Failure> {
        let failed = |source| Failure::Write {
            path: path.to_owned(),
            source,
        };
        if path.is_dir() {
            return Err(failed(io::Error::other("it is a folder")));
        }
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        let mut builder = tempfile::Builder::new();
        builder.prefix(".bywash-");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // As a file made in the usual way; the caller's mask applies.
            builder.permissions(std::fs::Permissions::from_mode(0o666));
        }
        let mut file = builder.tempfile_in(folder).map_err(failed)?;
        file.write_all(bytes)
            .and_then(|()| file.flush())
            .map_err(failed)?;
        Ok(Self {
            path: path.to_owned(),
            file,
        })
    }

    /// Gives the file its name.
    pub fn finish(self) -> Result<(), Failure> {
        let path = self.path;
        self.file
            .persist(&path)
            .map(drop)
            .map_err(|error| Failure::Write {
                path,
                source: error.error,
            })
    }
}
