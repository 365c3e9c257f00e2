//! What the answers to open questions could change: each is tried over what is plausible.

use serde::Serialize;

use super::{
    Question, Review, ReviewContext,
    allowance::Allowance,
    plausible::{Range, range},
    trial::{SeriousRules, ValueChange, as_written},
};
use crate::{
    quantity::{Kind, Quantity},
    read::{Place, Value},
};

/// What the answer to a question could change.
#[derive(Clone, Debug, Serialize)]
pub struct AnswerEffect {
    /// The question's number.
    pub question: String,
    /// The value, in words.
    pub place_name: String,
    /// Whether an answer could bring something to stop for or to revise; none where nothing says what is plausible.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub matters: Option<bool>,
    /// In words: what was tried, and what comes of it.
    pub words: String,
}

impl Review {
    /// What answers could change; those that can’t change the outcome go last.
    pub fn answers_that_matter_first(&self) -> Vec<&AnswerEffect> {
        let (last, first): (Vec<_>, Vec<_>) = self
            .answers
            .iter()
            .partition(|answer| answer.matters == Some(false));
        first.into_iter().chain(last).collect()
    }

    /// Whether the recommended action is certain, or hangs on answers, in a sentence.
    pub fn certainty(&self) -> String {
        if self.counts.stop + self.counts.revise > 0 {
            return "the action is certain: what was found stands whatever the answers are".to_owned();
        }
        let hanging = self.answers.iter().filter(|answer| answer.matters != Some(false));
        let hanging: Vec<&str> = hanging.map(|answer| answer.question.as_str()).collect();
        if hanging.is_empty() {
            "the action is certain: no answer changes it".to_owned()
        } else {
            format!("the action hangs on the answers to {}", hanging.join(", "))
        }
    }
}

/// Halvings of a range to find where an answer begins to matter.
const HALVINGS: usize = 12;

/// Trials that a question takes, about.
const TRIALS_EACH: usize = 8;

/// What the answers to questions could change, in their order.
pub(super) fn effects(
    context: &ReviewContext<'_>,
    serious: &SeriousRules<'_>,
    questions: &[Question],
) -> Vec<AnswerEffect> {
    let allowance = Allowance::of(context.ledger);
    let (tried, _) = allowance.first_of(questions, TRIALS_EACH);
    let untried = questions[tried.len()..].iter();
    let tried = tried.iter().map(|question| effect(context, serious, question));
    let untried = untried.map(|question| told(question, None, "not tried: the plan is too large".to_owned()));
    tried.chain(untried).collect()
}

fn told(question: &Question, matters: Option<bool>, words: String) -> AnswerEffect {
    AnswerEffect {
        question: question.number.clone(),
        place_name: question.place_name.clone(),
        matters,
        words,
    }
}

fn effect(context: &ReviewContext<'_>, serious: &SeriousRules<'_>, question: &Question) -> AnswerEffect {
    let told = |matters, words| told(question, matters, words);
    let tries = Tries {
        context,
        serious,
        place: &question.place,
    };
    let held = question
        .place
        .parent()
        .is_some_and(|parent| context.tree.root.at(&parent).is_some());
    let Some(range) = range(context, &question.place).filter(|_| held) else {
        return told(None, "not tried: nothing says what is plausible".to_owned());
    };
    let outcomes: Vec<Vec<String>> = range
        .values
        .iter()
        .map(|value| tries.faults(value.clone()))
        .collect();
    if outcomes.iter().all(Vec::is_empty) {
        return told(
            Some(false),
            format!("any answer keeps the outcome, {}", range.words),
        );
    }
    let words = match &range.ends {
        Some((kind, values)) => tries.told_of_quantities(*kind, values, &outcomes),
        None => told_of_words(&range, &outcomes),
    };
    told(Some(true), words)
}

/// Which of several words bring what.
fn told_of_words(range: &Range, outcomes: &[Vec<String>]) -> String {
    let bad = range
        .values
        .iter()
        .zip(outcomes)
        .filter(|(_, faults)| !faults.is_empty());
    let told = bad.map(|(value, faults)| match value {
        Value::Text(text) => format!("{text}: {}", faults.join(", ")),
        _ => faults.join(", "),
    });
    told.collect::<Vec<_>>().join("; ")
}

struct Tries<'a> {
    context: &'a ReviewContext<'a>,
    serious: &'a SeriousRules<'a>,
    place: &'a Place,
}

impl Tries<'_> {
    /// What falls short with an answer that did not before.
    fn faults(&self, value: Value) -> Vec<String> {
        let change = ValueChange {
            place: self.place.clone(),
            value,
        };
        let Some(tried) = self.serious.tried(&self.context.start(), &[change]) else {
            return vec!["the plan contradicts itself".to_owned()];
        };
        self.serious.new_faults(self.context, &tried)
    }

    fn faults_at(&self, si: f64, kind: Kind) -> Vec<String> {
        self.faults(Value::Text(as_written(si, kind)))
    }

    /// From where on quantities bring what.
    fn told_of_quantities(&self, kind: Kind, values: &[f64], outcomes: &[Vec<String>]) -> String {
        let shown = |si: f64| Quantity::si(si, kind).show(self.context.units);
        if outcomes.iter().all(|faults| !faults.is_empty()) {
            return format!("at every plausible answer: {}", outcomes[0].join(", "));
        }
        let mut told = Vec::new();
        for (pair, faults) in values.windows(2).zip(outcomes.windows(2)) {
            let (bad, good) = match (faults[0].is_empty(), faults[1].is_empty()) {
                (false, true) => (pair[0], pair[1]),
                (true, false) => (pair[1], pair[0]),
                _ => continue,
            };
            let side = if bad < good { "below" } else { "above" };
            let (mut bad, mut good) = (bad, good);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(bad, good);
                if self.faults_at(middle, kind).is_empty() {
                    good = middle;
                } else {
                    bad = middle;
                }
            }
            let names = if faults[0].is_empty() {
                &faults[1]
            } else {
                &faults[0]
            };
            told.push(format!("{side} {}: {}", shown(good), names.join(", ")));
        }
        if told.is_empty() {
            let at = values
                .iter()
                .zip(outcomes)
                .filter(|(_, faults)| !faults.is_empty());
            told.extend(at.map(|(si, faults)| format!("at {}: {}", shown(*si), faults.join(", "))));
        }
        told.join("; ")
    }
}
