//! Why a run could not go on, and how that is told.

use std::{io, path::PathBuf};

use miette::Diagnostic;
use thiserror::Error;

use super::print::{colour_on_stderr, say_error, width_of_stderr};
use crate::{
    read::ReadError,
    report::{input_problems::InputProblem, terminal::Paint},
    text::shown_path,
};

/// Why a run could not go on.
#[derive(Debug, Diagnostic, Error)]
pub enum Failure {
    /// A file could not be read.
    #[error(transparent)]
    #[diagnostic(help("{}", source.help().unwrap_or("nothing was written")))]
    Read {
        /// Why.
        #[from]
        source: ReadError,
    },
    /// Inputs that can't be used, told with their lines already laid out.
    #[error("{count} problem{} to correct before this can be reviewed", if *count == 1 { "" } else { "s" })]
    Problems {
        /// How many.
        count: usize,
        /// The text to print before the count.
        told: String,
        /// The same for programs.
        listed: Vec<InputProblem>,
    },
    /// A file could not be written; nothing of it is left.
    #[error("`{}` can’t be written", shown_path(path))]
    #[diagnostic(help("nothing was written; check that the folder exists and can be written to"))]
    Write {
        /// The path as given.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// Of several files, some were written and one could not be.
    #[error("{failure}")]
    #[diagnostic(help("written before that: {}", path_list(written)))]
    WrittenInPart {
        /// The files that are written.
        written: Vec<PathBuf>,
        /// Why the next one is not.
        failure: Box<Failure>,
    },
    /// A file is in the way.
    #[error("`{}` is there already", shown_path(path))]
    #[diagnostic(help("name another file; nothing was overwritten"))]
    InTheWay {
        /// The path as given.
        path: PathBuf,
    },
    /// A file that is there is not to be replaced.
    #[error("`{}` is left as it is: {why}", shown_path(path))]
    #[diagnostic(help("name another file, or replace it with --force; nothing was written"))]
    Protected {
        /// The path as given.
        path: PathBuf,
        /// What protects it.
        why: &'static str,
    },
    /// A file would be written over what the run reads.
    #[error("{argument} would write over `{}`, which is read", shown_path(input))]
    #[diagnostic(help(
        "`{}` is that file; name another one; nothing was written",
        shown_path(output)
    ))]
    OverInput {
        /// The argument that names it.
        argument: &'static str,
        /// The output as given.
        output: PathBuf,
        /// The input as given.
        input: PathBuf,
    },
    /// Standard output does not take the text.
    #[error("standard output can’t be written")]
    #[diagnostic(help("some or all of the printed text is lost; the requested files are written"))]
    Print {
        /// What the system says.
        source: io::Error,
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
    /// The page can't be served.
    #[cfg(feature = "page")]
    #[error("the page can’t be served on this machine: {source}")]
    #[diagnostic(help("something keeps programs from answering on the loopback address"))]
    Serve {
        /// What the system says.
        source: io::Error,
    },
    /// A report could not be laid out.
    #[error("the report could not be laid out: {0}")]
    #[diagnostic(help("this is a defect of the program, not of the plan"))]
    Report(String),
}

impl Failure {
    /// What keeps an input from being used; none where it is not an input that fails.
    pub(super) fn problems(&self) -> Option<Vec<InputProblem>> {
        match self {
            Self::Problems { listed, .. } => Some(listed.clone()),
            Self::Read { source } => Some(vec![InputProblem::of_file(
                source.kind(),
                source.to_string(),
                source.help(),
            )]),
            _ => None,
        }
    }
}

fn path_list(paths: &[PathBuf]) -> String {
    let names: Vec<String> = paths.iter().map(|path| shown_path(path)).collect();
    names.join(", ")
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
