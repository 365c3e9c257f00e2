//! Why a run could not go on, and how that is told.

use std::{io, path::PathBuf};

use miette::Diagnostic;
use thiserror::Error;

use super::output::{colour_on_stderr, say_error, width_of_stderr};
use crate::{read::ReadError, report::terminal::Paint};

/// Why a run could not go on.
#[derive(Debug, Diagnostic, Error)]
pub enum Failure {
    /// A file could not be read.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Read(#[from] ReadError),
    /// Inputs that can't be used, told with their lines already laid out.
    #[error("{count} thing{} to put right before this can be reviewed", if *count == 1 { "" } else { "s" })]
    Problems {
        /// How many.
        count: usize,
        /// The text to print before the count.
        told: String,
    },
    /// A file could not be written; nothing of it is left.
    #[error("`{}` can't be written", path.display())]
    #[diagnostic(help("nothing was written; check that the folder exists and can be written to"))]
    Write {
        /// The path as given.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// A file is in the way.
    #[error("`{}` is there already", path.display())]
    #[diagnostic(help("name another file; nothing was overwritten"))]
    InTheWay {
        /// The path as given.
        path: PathBuf,
    },
    /// An argument that can't be used.
    #[error("{message}")]
    #[diagnostic(help("{help}"))]
    Argument {
        /// What is wrong.
        message: String,
        /// What is accepted.
        help: String,
    },
    /// A report could not be laid out.
    #[error("the report could not be laid out: {0}")]
    #[diagnostic(help("this is a fault of the program, not of the plan"))]
    Report(String),
}

/// Tells why a run could not go on.
pub(super) fn report(failure: &Failure) {
    if let Failure::Problems { told, .. } = failure {
        say_error(told);
    }
    let theme = if colour_on_stderr() {
        miette::GraphicalTheme::unicode()
    } else {
        miette::GraphicalTheme::unicode_nocolor()
    };
    let handler = miette::GraphicalReportHandler::new_themed(theme).with_width(width_of_stderr());
    let mut text = String::new();
    if handler.render_report(&mut text, failure).is_err() {
        text = failure.to_string();
    }
    say_error(&(text.trim_matches('\n').to_owned() + "\n"));
}

/// How text on standard error is laid out.
pub(super) fn error_paint() -> Paint {
    Paint {
        width: width_of_stderr(),
        colour: colour_on_stderr(),
    }
}
