//! A plan with some of its levels as they were built, and all that follows from them.

use crate::{
    figures,
    hydraulics::{Followed, Outcomes},
    ledger::Ledger,
    papers::level_changes::{BuiltValue, put, written},
    plan::Plan,
    read::{Patched, Place},
    review::ReviewContext,
};

/// A plan as it was built.
pub(super) struct Built {
    pub tree: Patched,
    pub plan: Plan,
    pub ledger: Ledger,
    pub outcomes: Outcomes,
}

impl Built {
    /// The plan with values as they were built; none where it is no plan that can be reviewed then.
    pub fn of(context: &ReviewContext<'_>, values: &[BuiltValue]) -> Option<Self> {
        let mut tree = context.tree.clone();
        for value in values {
            put(&mut tree.root, &value.place, &written(value.metres));
        }
        let places: Vec<Place> = values.iter().map(|value| value.place.clone()).collect();
        let plan = context.plan.changed(&tree.root, &places).ok()?;
        if !plan.problems_after(&tree.root, &places).is_empty() {
            return None;
        }
        let followed = Followed {
            memo: Some(context.memo),
            ..Followed::default()
        };
        let (ledger, outcomes) = figures::compute_with_outcomes(&plan, followed);
        Some(Self {
            tree,
            plan,
            ledger,
            outcomes,
        })
    }

    /// The built plan laid out for review as the drawn one is.
    pub fn context<'b>(&'b self, drawn: &ReviewContext<'b>) -> ReviewContext<'b> {
        ReviewContext {
            tree: &self.tree,
            plan: &self.plan,
            ledger: &self.ledger,
            outcomes: &self.outcomes,
            ..*drawn
        }
    }
}
