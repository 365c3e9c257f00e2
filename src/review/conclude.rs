//! What a review comes to: how each rule comes out, and what is to be told of it.

use super::{
    Accepted, Counts, Finding, Question, ReviewContext, Settled, acceptances::Acceptances, findings,
    plausible, questions, summary,
};
use crate::rules::{Judged, Library, judge};

/// What a review comes to, without all that is printed beside it.
pub(super) struct Concluded<'c> {
    pub judged: Vec<Judged<'c>>,
    pub settled: Vec<Settled>,
    pub findings: Vec<Finding>,
    pub accepted: Vec<Accepted>,
    pub acceptance_notes: Vec<String>,
    pub questions: Vec<Question>,
    pub counts: Counts,
}

/// Judges a plan by a library of rules.
pub(super) fn conclude<'c>(context: &ReviewContext<'_>, library: &'c Library) -> Concluded<'c> {
    let judged = judge(&library.cards, &context.tree.root, context.ledger);
    let (judged, settled) = plausible::settle(context, judged);
    let mut acceptances = Acceptances::of(context, library);
    let (findings, accepted) = findings::all(context, &judged, &settled, &mut acceptances);
    let questions = questions::all(context, &judged);
    Concluded {
        counts: summary::counts(&findings, &questions, accepted.len()),
        acceptance_notes: acceptances.into_notes(),
        judged,
        settled,
        findings,
        accepted,
        questions,
    }
}
