//! Trials: a plan with some values changed, and all that follows from it.

use crate::{
    figures,
    hydraulics::{Followed, Memo, Scenario},
    ledger::{Figure, Ledger, Origin},
    plan::Plan,
    read::{Node, Place, Value, merge, setting},
    rules::{Card, Judged, Subject, judge},
};

/// A value set at a place; `null` takes it away.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Change {
    pub place: Place,
    pub value: Value,
}

/// The plan that trials start from.
#[derive(Clone, Copy)]
pub(super) struct Start<'a> {
    pub tree: &'a Node,
    pub plan: &'a Plan,
    pub memo: &'a Memo,
}

/// A plan with values changed.
pub(super) struct Trial {
    pub tree: Node,
    pub plan: Plan,
    pub ledger: Ledger,
    places: Vec<Place>,
}

impl Start<'_> {
    /// The plan with values set, its figures computed; none where the plan can't be read then. Where scenarios are named,
    /// figures that are read from others are left out.
    pub fn changed(&self, changes: &[Change], only: Option<&[Scenario]>) -> Option<Trial> {
        let mut tree = self.tree.clone();
        for change in changes {
            let span = tree.span_of(&change.place);
            let value = change.value.clone();
            merge(&mut tree, setting(&change.place, Node { span, value }));
        }
        let places: Vec<Place> = changes.iter().map(|change| change.place.clone()).collect();
        let plan = self.plan.changed(&tree, &places).ok()?;
        let followed = Followed {
            memo: Some(self.memo),
            only,
        };
        let (ledger, _) = figures::compute_with_outcomes(&plan, followed);
        Some(Trial {
            tree,
            plan,
            ledger,
            places,
        })
    }
}

impl Trial {
    /// Whether it is still a plan that can be reviewed.
    pub fn is_sound(&self) -> bool {
        self.plan.problems_after(&self.tree, &self.places).is_empty()
    }

    /// How rules come out over it.
    pub fn judged<'c>(&self, cards: &'c [Card]) -> Vec<Judged<'c>> {
        judge(cards, &self.tree, &self.ledger)
    }
}

/// The scenarios that a rule's outcome at an object was read from.
pub(super) fn scenarios_behind(ledger: &Ledger, judged: &Judged<'_>) -> Vec<Scenario> {
    let mut scenarios = Vec::new();
    let mut open: Vec<&Figure> = Vec::new();
    for test in judged.card.when.iter().chain([&judged.card.asks]) {
        let subject = match &test.subject {
            Subject::Figure(definition) => Some(*definition),
            Subject::Field { .. } => None,
        };
        let names = subject.into_iter().chain(test.bound.figures());
        open.extend(names.filter_map(|definition| ledger.get(&judged.object, definition.name)));
    }
    let mut seen: Vec<*const Figure> = Vec::new();
    while let Some(figure) = open.pop() {
        if seen.contains(&std::ptr::from_ref(figure)) {
            continue;
        }
        seen.push(figure);
        scenarios.extend(figures::read_from(figure.definition.name));
        for input in &figure.inputs {
            if let Origin::Figure(at, name) = &input.origin {
                open.extend(ledger.get(at, name));
            }
        }
    }
    scenarios
}
