//! The review: outcomes and acceptances to findings, questions, coverage and a recommended action.

mod acceptances;
mod cases;
mod cures;
mod figure_lines;
mod findings;
mod house;
mod model;
mod plausible;
mod questions;
mod summary;
mod what_if;
mod words;

pub use cases::{CaseBasin, CaseLost, CaseReport, CaseSiphon, Cases, Series, Worst, report as report_cases};
pub use figure_lines::figure_lines;
pub use model::*;
pub use words::CAUTIONS;

use crate::{
    check::SchemaBook,
    ledger::Ledger,
    plan::{Date, Plan},
    quantity::{UnitSystem, own_first},
    read::{Patched, Place, Sources},
    rules::{Judged, Library, judge},
};

/// A plan laid out for review: its texts, its tree under its patches, its typed form and its figures.
#[derive(Clone, Copy)]
pub struct ReviewContext<'a> {
    /// Every text that was read.
    pub sources: &'a Sources,
    /// The plan's tree, patched.
    pub tree: &'a Patched,
    /// The typed plan.
    pub plan: &'a Plan,
    /// Its figures.
    pub ledger: &'a Ledger,
    /// The schema, for names of places.
    pub book: &'a SchemaBook,
    /// Units to print in.
    pub units: UnitSystem,
    /// The date the review is made for.
    pub date: Option<Date>,
    /// Whether cures are worked out in numbers, which takes several times as long as all else.
    pub cures: bool,
    /// Whether the cases are followed.
    pub cases: bool,
}

impl ReviewContext<'_> {
    /// Where a place stands in the files.
    fn location(&self, place: &Place) -> Location {
        let span = self.tree.pointed(place);
        let (line, column) = self.sources.line_column(span);
        Location {
            file: self.sources.name(span.source).to_owned(),
            line,
            column,
        }
    }

    /// Fixed words as they are printed: a value that they give in both systems, the reader's first.
    fn words(&self, text: &str) -> String {
        own_first(text, self.units)
    }

    /// What was assumed where the plan is silent, each once.
    pub fn assumptions(&self) -> Vec<String> {
        let assumed = self.ledger.assumptions().into_iter();
        assumed.map(|why| self.words(why)).collect()
    }

    /// A place in words; an object by its id.
    fn name(&self, place: &Place) -> String {
        self.book.title_of(place)
    }
}

/// Reviews a plan by a library of rules.
pub fn review(context: &ReviewContext<'_>, file: &str, patches: Vec<String>, library: &Library) -> Review {
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
    let counts = summary::counts(&findings, &questions, accepted.len());
    Review {
        format: "bywash review 1",
        version: env!("CARGO_PKG_VERSION"),
        subject: summary::subject(context, file, patches),
        date: context.date,
        action: summary::recommend(&counts, &unjudged),
        counts,
        coverage,
        findings,
        questions,
        settled,
        unjudged,
        acceptance_notes: acceptances.into_notes(),
        accepted,
        house: house::all(context, library),
        met: met(context, &judged),
        figures: figure_lines(context),
        cases: context.cases.then(|| report_cases(context, &[])),
        assumptions: context.assumptions(),
        sources: summary::sources(&judged),
        cautions: CAUTIONS.iter().map(|&caution| caution.to_owned()).collect(),
    }
}

fn met(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> Vec<Met> {
    let met = judged.iter().filter_map(|judged| match &judged.outcome {
        crate::rules::RuleOutcome::Meets(standing) => Some((judged, standing)),
        _ => None,
    });
    met.map(|(judged, standing)| Met {
        rule: judged.card.id.clone(),
        title: judged.card.title.clone(),
        discipline: judged.card.discipline.clone(),
        object: judged.object.clone(),
        object_name: context.name(&judged.object),
        standing: words::standing(standing, context.units),
    })
    .collect()
}
