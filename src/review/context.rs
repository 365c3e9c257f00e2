//! What a review is made from.

use super::{
    model::Location,
    trial::{ChangedPlan, Start, ValueChange},
};
use crate::{
    check::SchemaBook,
    hydraulics::{Memo, Outcomes},
    ledger::Ledger,
    plan::{Date, Plan},
    quantity::{UnitSystem, own_first},
    read::{Patched, Place, Sources},
    text::typographic,
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
    /// What the scenarios came to that its figures were read from.
    pub outcomes: &'a Outcomes,
    /// What was followed to get there.
    pub memo: &'a Memo,
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
    /// Whether all that takes many trials is worked out too.
    pub in_depth: bool,
}

impl<'a> ReviewContext<'a> {
    /// The plan as trials start from it.
    pub(super) fn start(&self) -> Start<'a> {
        Start {
            tree: &self.tree.root,
            plan: self.plan,
            memo: self.memo,
        }
    }

    /// The plan with values changed, all its figures computed; none where it is no plan that can be reviewed then.
    pub fn changed(&self, changes: &[ValueChange]) -> Option<ChangedPlan> {
        self.start().changed(changes, None).filter(ChangedPlan::is_sound)
    }

    /// Where a place stands in the files.
    pub(super) fn location(&self, place: &Place) -> Location {
        let span = self.tree.pointed(place);
        let (line, column) = self.sources.line_column(span);
        Location {
            file: self.sources.name(span.source).to_owned(),
            line,
            column,
        }
    }

    /// Fixed words as they are printed: a value that they give in both systems, the reader's first.
    pub(super) fn words(&self, text: &str) -> String {
        typographic(&own_first(text, self.units))
    }

    /// What was assumed where the plan is silent, each once.
    pub fn assumptions(&self) -> Vec<String> {
        let assumed = self.ledger.assumptions().into_iter();
        assumed.map(|why| self.words(why)).collect()
    }

    /// A place in words; an object by its id.
    pub(super) fn name(&self, place: &Place) -> String {
        self.book.title_of(place)
    }
}
