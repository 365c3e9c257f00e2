//! Numbers: what was raised before keeps its own, what is new takes the next that was never used.

use std::collections::{HashMap, HashSet};

use crate::review::{LogEntry, Review};

/// Renumbers a review by the entries of the one before.
pub(super) fn keep(review: &mut Review, known: &[LogEntry]) {
    let mut given = Given::of(known);
    let mut new_of: HashMap<String, String> = HashMap::new();
    for finding in &mut review.findings {
        let number = known_finding(known, &finding.rule, finding).unwrap_or_else(|| {
            let cause = finding.follows.as_ref().and_then(|cause| new_of.get(cause));
            match cause {
                Some(cause) => given.next_under(cause),
                None => given.next(),
            }
        });
        new_of.insert(finding.number.clone(), number.clone());
        finding.number = number;
    }
    for finding in &mut review.findings {
        finding.follows = finding
            .follows
            .take()
            .map(|cause| new_of.get(&cause).cloned().unwrap_or(cause));
    }
    for accepted in &mut review.accepted {
        let finding = &accepted.finding;
        let number = known_finding(known, &finding.rule, finding);
        accepted.finding.number = number.unwrap_or_else(|| given.next());
    }
    for question in &mut review.questions {
        let same =
            |entry: &&LogEntry| entry.is_question() && question.places().any(|place| *place == entry.object);
        question.number = match known.iter().find(same) {
            Some(entry) => entry.number.clone(),
            None => given.next_question(),
        };
    }
}

fn known_finding(known: &[LogEntry], rule: &str, finding: &crate::review::Finding) -> Option<String> {
    known
        .iter()
        .find(|entry| entry.rule.as_deref() == Some(rule) && entry.object == finding.object)
        .map(|entry| entry.number.clone())
}

/// The numbers that were ever given.
struct Given {
    all: HashSet<String>,
    last: u32,
    last_question: u32,
}

impl Given {
    fn of(known: &[LogEntry]) -> Self {
        let last = |questions: bool| {
            let of_kind = known.iter().filter(|entry| entry.is_question() == questions);
            of_kind
                .filter_map(|entry| entry.order().1.first().copied())
                .max()
                .unwrap_or(0)
        };
        Self {
            all: known.iter().map(|entry| entry.number.clone()).collect(),
            last: last(false),
            last_question: last(true),
        }
    }

    fn next(&mut self) -> String {
        self.last = self.last.saturating_add(1);
        self.last.to_string()
    }

    fn next_question(&mut self) -> String {
        self.last_question = self.last_question.saturating_add(1);
        format!("Q{}", self.last_question)
    }

    /// The next number under a cause: `5.3` under `5` and under `5.1`.
    fn next_under(&mut self, cause: &str) -> String {
        let top = cause.split('.').next().unwrap_or(cause);
        let mut echo = 1_usize;
        loop {
            let number = format!("{top}.{echo}");
            if self.all.insert(number.clone()) {
                return number;
            }
            echo += 1;
        }
    }
}
