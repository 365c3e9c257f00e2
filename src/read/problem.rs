//! What is wrong with an input, told with its place.

use super::{ProblemKind, Span};

/// The known name most like a given one, where it is more alike than this (0 nothing, 1 the same): what was probably
/// meant.
pub(crate) fn nearest<'a>(
    name: &str,
    known: impl IntoIterator<Item = &'a str>,
    alike: f64,
) -> Option<&'a str> {
    let scored = known
        .into_iter()
        .map(|other| (strsim::jaro_winkler(name, other), other));
    scored
        .filter(|(score, _)| *score > alike)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, other)| other)
}

/// Up to so many known names that a given one probably means: those with it as a part of them, else those most like it.
#[cfg(feature = "cli")]
pub(crate) fn nearest_few<'a>(
    name: &str,
    known: impl IntoIterator<Item = &'a str>,
    alike: f64,
    most: usize,
) -> Vec<&'a str> {
    let name = name.to_lowercase();
    let mut scored: Vec<(f64, &str)> = known
        .into_iter()
        .map(|other| {
            let other_name = other.to_lowercase();
            let part = !name.is_empty() && other_name.contains(&name);
            (
                strsim::jaro_winkler(&name, &other_name) + f64::from(u8::from(part)),
                other,
            )
        })
        .filter(|(score, _)| *score > alike)
        .collect();
    scored.sort_by(|(a, left), (b, right)| b.total_cmp(a).then_with(|| left.cmp(right)));
    scored.dedup_by(|(_, a), (_, b)| a == b);
    // Names that hold the given one leave no room for names that are only like it.
    let holds = scored.iter().any(|(score, _)| *score >= 1.0);
    scored.retain(|(score, _)| !holds || *score >= 1.0);
    scored.into_iter().take(most).map(|(_, name)| name).collect()
}

/// One thing wrong with an input file: told with place, what was found, what is accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What kind of problem it is.
    pub kind: ProblemKind,
    /// What is wrong, in lower case, without a full stop.
    pub message: String,
    /// Where, and what to say beside the place.
    pub at: Option<(Span, String)>,
    /// Further places that belong to it, such as the first of two equal keys.
    pub also: Box<[(Span, String)]>,
    /// What is accepted instead, or the nearest right name.
    pub help: Option<String>,
}

impl Problem {
    /// A problem at a place in a file.
    pub fn at(kind: ProblemKind, span: Span, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
            at: Some((span, label.into())),
            also: Box::default(),
            help: None,
        }
    }

    /// The same problem with a word of help.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The same problem with a further place.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        let mut also = std::mem::take(&mut self.also).into_vec();
        also.push((span, label.into()));
        self.also = also.into_boxed_slice();
        self
    }
}

/// The most problems told at once; further ones are counted.
pub const MOST_TOLD: usize = 50;

/// Problems in the order of the text, each told once, at most [`MOST_TOLD`] and then how many more there are.
pub fn in_order(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|problem| problem.at.as_ref().map(|(span, _)| *span));
    problems.dedup();
    let more = problems.len().saturating_sub(MOST_TOLD);
    if more > 0 {
        problems.truncate(MOST_TOLD);
        problems.push(and_more(more));
    }
    problems
}

/// The last problem of a list that was cut short.
pub(crate) fn and_more(count: usize) -> Problem {
    let noun = if count == 1 { "problem" } else { "problems" };
    Problem {
        kind: ProblemKind::More,
        message: format!("and {count} more {noun}"),
        at: None,
        also: Box::default(),
        help: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::SourceId;

    fn problem(start: usize) -> Problem {
        let span = Span {
            source: SourceId(0),
            start,
            end: start + 1,
        };
        Problem::at(ProblemKind::Syntax, span, format!("wrong at {start}"), "here")
    }

    #[test]
    fn problems_come_in_the_order_of_the_text_and_once() {
        let told = in_order(vec![problem(7), problem(2), problem(7)]);
        assert_eq!(told, vec![problem(2), problem(7)]);
    }

    #[test]
    fn a_long_list_ends_in_a_count() {
        let told = in_order((0..MOST_TOLD + 3).map(problem).collect());
        assert_eq!(told.len(), MOST_TOLD + 1);
        assert_eq!(told[MOST_TOLD].message, "and 3 more problems");
    }
}
