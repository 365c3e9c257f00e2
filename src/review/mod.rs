//! The review: outcomes and acceptances to findings, questions, coverage and a recommended action.

mod acceptances;
mod case_report;
mod cases;
mod context;
mod cures;
mod entries;
mod figure_lines;
mod findings;
mod house;
mod log;
mod model;
mod plausible;
mod questions;
mod summary;
mod trial;
mod unevaluated;
mod value;
mod words;

pub use case_report::{CaseBasin, CaseLost, CaseReport, CaseSiphon, CaseStopped, Cases, Series, Worst};
pub use cases::report as report_cases;
pub use context::ReviewContext;
pub use figure_lines::figure_lines;
pub use log::{Backcheck, EarlierSubject, LogEntry, PlanChange, Status};
pub use model::*;
pub use unevaluated::{SERVE_OTHERWISE, serves_otherwise};
pub use value::Value;
pub use words::CAUTIONS;

use crate::rules::{Judged, Library, judge};

/// Reviews a plan by a library of rules.
pub fn review(
    context: &ReviewContext<'_>,
    file: &str,
    patches: Vec<String>,
    sheets: Vec<Sheet>,
    library: &Library,
) -> Review {
    let judged = judge(&library.cards, &context.tree.root, context.ledger);
    let (judged, settled) = plausible::settle(context, judged);
    let mut acceptances = acceptances::Acceptances::of(context, library);
    let (mut findings, accepted) = findings::all(context, &judged, &settled, &mut acceptances);
    if context.cures {
        cures::work_out(context, &library.cards, &judged, &mut findings);
    }
    let questions = questions::all(context, &judged);
    let unjudged = questions::unjudged(context, &judged);
    let coverage = summary::coverage(&judged, &accepted);
    let unevaluated = unevaluated::all(context, &judged);
    let cases = context.cases.then(|| report_cases(context, &[]));
    let counts = summary::counts(&findings, &questions, accepted.len());
    Review {
        format: Review::FORMAT,
        version: env!("CARGO_PKG_VERSION"),
        subject: summary::subject(context, file, patches, sheets),
        date: context.date,
        action: summary::recommend(&counts, &unjudged),
        counts,
        coverage,
        questions,
        settled,
        unjudged,
        unevaluated,
        acceptance_notes: acceptances.into_notes(),
        accepted,
        house: house::all(context, library),
        met: met(context, &judged),
        figures: figure_lines(context),
        consequences: summary::consequences(&findings, cases.as_ref()),
        cases,
        assumptions: context.assumptions(),
        findings,
        sources: summary::sources(&judged),
        codes: summary::codes(&judged),
        cautions: CAUTIONS.iter().map(|&caution| caution.to_owned()).collect(),
        backcheck: None,
        plan: context.tree.root.to_json(),
    }
}

/// The cures in numbers of one finding, by its rule and object.
pub fn cures_of(
    context: &ReviewContext<'_>,
    library: &Library,
    rule: &str,
    object: &crate::read::Place,
) -> Vec<Cure> {
    let judged = judge(&library.cards, &context.tree.root, context.ledger);
    let (judged, _) = plausible::settle(context, judged);
    cures::of_one(context, &library.cards, &judged, rule, object)
}

fn met(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> Vec<Met> {
    let met = judged.iter().filter_map(|judged| match &judged.outcome {
        crate::rules::RuleOutcome::Meets(standing) => Some((judged, standing)),
        _ => None,
    });
    met.map(|(judged, standing)| {
        let (found, limit) = words::values(standing, context.units);
        Met {
            rule: judged.card.id.clone(),
            title: judged.card.title.clone(),
            discipline: judged.card.discipline.clone(),
            object: judged.object.clone(),
            object_name: context.name(&judged.object),
            found,
            limit,
            standing: words::standing(standing, context.units),
        }
    })
    .collect()
}
