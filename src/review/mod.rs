//! The review: outcomes and acceptances to findings, questions, coverage and a recommended action.

mod acceptances;
mod allowance;
mod answers;
mod case_report;
mod cases;
mod closing;
mod conclude;
mod context;
mod cures;
mod entries;
mod figure_lines;
mod findings;
mod house;
mod log;
mod model;
mod model_range;
mod plausible;
mod questions;
mod rests_on;
mod summary;
mod tolerance;
mod trial;
mod unevaluated;
mod value;
mod words;

pub use answers::AnswerEffect;
pub use case_report::{CaseBasin, CaseLost, CaseReport, CaseSiphon, CaseStopped, Cases, Series, Worst};
pub use cases::report as report_cases;
pub use closing::{ChangeSet, Closing, ClosingChange, tried_changes};
pub use context::ReviewContext;
pub use figure_lines::figure_lines;
pub use log::{Backcheck, EarlierSubject, LogEntry, PlanChange, Status};
pub use model::*;
pub use model_range::ModelEnd;
pub use tolerance::{Drift, DriftTrials, Tolerance, Until, tolerances};
pub use trial::{ChangedPlan, ValueChange};
pub use unevaluated::{SERVE_OTHERWISE, serves_otherwise};
pub use value::Value;
pub use words::CAUTIONS;

use crate::rules::{Judged, Library};
use conclude::{Concluded, conclude};

/// The changes that close the review of a plan.
pub fn closing(context: &ReviewContext<'_>, library: &Library) -> Closing {
    let rules = trial::SeriousRules::over(context, library);
    closing::work_out(
        context,
        library,
        &rules,
        &cures::Margins::default(),
        &conclude(context, library),
        &mut Vec::new(),
    )
}

/// What takes many trials.
#[derive(Default)]
struct Depth {
    closing: Option<Closing>,
    tolerances: Vec<Tolerance>,
    answers: Vec<AnswerEffect>,
    model_ends: Vec<ModelEnd>,
    untried: Vec<String>,
}

impl Depth {
    fn of(
        context: &ReviewContext<'_>,
        library: &Library,
        margins: &cures::Margins,
        concluded: &Concluded<'_>,
    ) -> Self {
        let serious = trial::SeriousRules::over(context, library);
        let mut untried = Vec::new();
        Self {
            closing: Some(closing::work_out(
                context,
                library,
                &serious,
                margins,
                concluded,
                &mut untried,
            )),
            tolerances: tolerance::all(context, &serious, &mut untried),
            answers: answers::effects(context, &serious, &concluded.questions),
            model_ends: model_range::ends(context, &serious, &mut untried),
            untried,
        }
    }
}

/// Reviews a plan by a library of rules.
pub fn review(
    context: &ReviewContext<'_>,
    file: &str,
    patches: Vec<String>,
    sheets: Vec<Sheet>,
    library: &Library,
) -> Review {
    laid_out(context, file, patches, sheets, library, true)
}

/// The review without the figures and the values that nothing evaluates, which only files and paper list.
pub fn review_for_screen(
    context: &ReviewContext<'_>,
    file: &str,
    sheets: Vec<Sheet>,
    library: &Library,
) -> Review {
    laid_out(context, file, Vec::new(), sheets, library, false)
}

fn laid_out(
    context: &ReviewContext<'_>,
    file: &str,
    patches: Vec<String>,
    sheets: Vec<Sheet>,
    library: &Library,
    lists: bool,
) -> Review {
    let mut concluded = conclude(context, library);
    let mut untried = Vec::new();
    let margins = cures::Margins::default();
    if context.cures {
        let findings = &mut concluded.findings;
        let left_out = cures::work_out(context, &library.cards, &concluded.judged, &margins, findings);
        if left_out > 0 {
            untried.push(format!("cures of {left_out} further findings"));
        }
    }
    let depth = context
        .in_depth
        .then(|| Depth::of(context, library, &margins, &concluded));
    let depth = depth.unwrap_or_default();
    let judged = &concluded.judged;
    let unjudged = questions::unjudged(context, judged);
    let cases = context.cases.then(|| report_cases(context, &[]));
    Review {
        format: Review::FORMAT,
        version: env!("CARGO_PKG_VERSION"),
        subject: summary::subject(context, file, patches, sheets),
        date: context.date,
        action: summary::recommend(&concluded.counts, &unjudged),
        counts: concluded.counts,
        coverage: summary::coverage(judged, &concluded.accepted),
        settled: concluded.settled,
        unjudged,
        unevaluated: if lists {
            unevaluated::all(context, judged)
        } else {
            Vec::new()
        },
        acceptance_notes: concluded.acceptance_notes,
        house: house::all(context, library),
        met: met(context, judged),
        figures: if lists { figure_lines(context) } else { Vec::new() },
        consequences: summary::consequences(&concluded.findings, cases.as_ref()),
        cases,
        closing: depth.closing,
        tolerances: depth.tolerances,
        answers: depth.answers,
        model_ends: depth.model_ends,
        untried: untried.into_iter().chain(depth.untried).collect(),
        assumptions: context.assumptions(),
        sources: summary::sources(judged),
        codes: summary::codes(judged),
        cautions: CAUTIONS.iter().map(|&caution| caution.to_owned()).collect(),
        backcheck: None,
        plan: context.tree.root.to_json(),
        findings: concluded.findings,
        questions: concluded.questions,
        accepted: concluded.accepted,
    }
}

/// The cures in numbers of one finding, by its rule and object.
pub fn cures_of(
    context: &ReviewContext<'_>,
    library: &Library,
    rule: &str,
    object: &crate::read::Place,
) -> Vec<Cure> {
    let concluded = conclude(context, library);
    cures::of_one(context, &library.cards, &concluded.judged, rule, object)
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
