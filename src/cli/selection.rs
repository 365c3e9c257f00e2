//! Which findings and questions of a review are asked for.

use clap::Args;

use super::Failure;
use crate::{
    read::nearest_few,
    report::terminal::Selected,
    review::Review,
    rules::{Library, Severity},
    text::shown,
};

/// How alike two names must be for one to be what was meant by the other.
pub(super) const NEAR: f64 = 0.75;
/// Names that are offered for an unknown one.
pub(super) const OFFERED: usize = 5;

/// A severity as the command line names it.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
pub(super) enum SeverityArgument {
    /// People get hurt or the work is lost.
    Stop,
    /// Correct before approval.
    Revise,
    /// Worth improving.
    Advise,
}

impl From<SeverityArgument> for Severity {
    fn from(severity: SeverityArgument) -> Self {
        match severity {
            SeverityArgument::Stop => Self::Stop,
            SeverityArgument::Revise => Self::Revise,
            SeverityArgument::Advise => Self::Advise,
        }
    }
}

/// Which findings and questions are printed. The recommended action is always that of the whole review.
#[derive(Debug, Args)]
pub(super) struct SelectionArguments {
    /// Show each finding in full: its lines of the plan, reason, cures and sources.
    #[arg(long)]
    pub full: bool,
    /// Show only these findings or questions, in full, such as `3`, `3.1` or `Q2`; repeatable.
    #[arg(long, value_name = "NUMBER", value_delimiter = ',')]
    only: Vec<String>,
    /// Show only this severity.
    #[arg(long, value_name = "WORD", ignore_case = true)]
    severity: Option<SeverityArgument>,
    /// Show only findings of this discipline.
    #[arg(long, value_name = "NAME")]
    discipline: Option<String>,
}

impl SelectionArguments {
    /// Whether findings are told in full.
    pub fn is_full(&self) -> bool {
        self.full || !self.only.is_empty()
    }

    /// What is asked for of a review. A cause brings what follows from it.
    ///
    /// # Errors
    /// A number that the review does not have, or an unknown discipline.
    pub fn of<'r>(&self, review: &'r Review, library: &Library) -> Result<Selected<'r>, Failure> {
        if let Some(name) = &self.discipline {
            known_discipline(library, name)?;
        }
        for number in &self.only {
            known_number(review, number)?;
        }
        let asked = |number: &str| self.only.is_empty() || self.only.iter().any(|only| same(only, number));
        let severity = self.severity.map(Severity::from);
        let of_severity = |found: Severity| severity.is_none_or(|severity| severity == found);
        let of_discipline = |name: &str| self.discipline.as_ref().is_none_or(|wanted| wanted == name);
        let findings: Vec<_> = review
            .findings
            .iter()
            .filter(|finding| asked(&finding.number) || finding.follows.as_deref().is_some_and(asked))
            .filter(|finding| of_severity(finding.severity) && of_discipline(&finding.discipline))
            .collect();
        let discipline_of = |rule: &str| library.card(rule).map_or("", |card| card.discipline.as_str());
        let questions: Vec<_> = review
            .questions
            .iter()
            .filter(|question| asked(&question.number) && of_severity(question.severity))
            .filter(|question| {
                question
                    .rules
                    .iter()
                    .any(|rule| of_discipline(discipline_of(rule)))
            })
            .collect();
        let whole = self.only.is_empty() && severity.is_none() && self.discipline.is_none();
        Ok(Selected {
            findings,
            questions,
            whole,
        })
    }
}

/// Whether a number is the one that was typed, in whatever case.
fn same(typed: &str, number: &str) -> bool {
    typed.trim().eq_ignore_ascii_case(number)
}

/// A finding or question of a review by its number.
pub(super) fn known_number(review: &Review, number: &str) -> Result<(), Failure> {
    let findings = review.findings.iter().map(|finding| finding.number.as_str());
    let questions = review.questions.iter().map(|question| question.number.as_str());
    let numbers: Vec<&str> = findings.chain(questions).collect();
    if numbers.iter().any(|known| same(number, known)) {
        return Ok(());
    }
    let help = if numbers.is_empty() {
        "this review has no findings and no questions".to_owned()
    } else {
        format!("this review has {}", numbers.join(", "))
    };
    Err(Failure::Argument {
        message: format!("no finding or question has the number `{}`", shown(number.trim())),
        help,
    })
}

/// A discipline of the library.
pub(super) fn known_discipline(library: &Library, name: &str) -> Result<(), Failure> {
    let disciplines = library.cards.iter().map(|card| card.discipline.as_str());
    if disciplines.clone().any(|known| known == name) {
        return Ok(());
    }
    Err(unknown(
        "discipline",
        name,
        disciplines,
        "`bywash rules` lists all",
    ))
}

/// Why a name is not taken, with the nearest that are.
pub(super) fn unknown<'a>(
    what: &str,
    name: &str,
    known: impl Iterator<Item = &'a str>,
    all: &str,
) -> Failure {
    let near: Vec<String> = nearest_few(name, known, NEAR, OFFERED)
        .into_iter()
        .map(|near| format!("`{}`", shown(near)))
        .collect();
    let nearest = match near.as_slice() {
        [] => String::new(),
        [one] => format!("the nearest is {one}; "),
        several => format!("the nearest are {}; ", several.join(", ")),
    };
    Failure::Argument {
        message: format!("there is no {what} called `{}`", shown(name)),
        help: format!("{nearest}{all}"),
    }
}
