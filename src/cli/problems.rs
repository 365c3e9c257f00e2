//! What keeps an input from being used, printed for programs where the output they asked for was to be printed.

use super::{Failure, Status, print::say};
use crate::report::{input_problems, sarif};

/// A form in which problems of an input are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ProblemForm {
    /// As `schema/problems.schema.json` describes it.
    Json,
    /// As SARIF 2.1.0.
    Sarif,
}

/// An outcome; where an input can't be used, its problems are first printed in the form, if one was to be printed.
///
/// # Errors
/// The failure as it was, or that standard output takes no text.
pub(super) fn with_problems(
    outcome: Result<Status, Failure>,
    form: Option<ProblemForm>,
) -> Result<Status, Failure> {
    let problems = outcome.as_ref().err().and_then(Failure::problems);
    if let (Some(problems), Some(form)) = (problems, form) {
        let text = match form {
            ProblemForm::Json => input_problems::problems(&problems),
            ProblemForm::Sarif => sarif::problems(&problems),
        };
        say(&text.map_err(|error| Failure::Report(error.to_string()))?)?;
    }
    outcome
}
