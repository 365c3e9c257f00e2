//! Trials: a plan with some values changed, and all that follows from it.

use std::{collections::HashSet, slice};

use crate::{
    figures,
    hydraulics::{Followed, Memo, NOT_FOLLOWED, Outcomes, Scenario},
    ledger::{Figure, Input, Ledger, Origin},
    plan::Plan,
    quantity::{Kind, UnitSystem, natural_unit},
    read::{Node, Patched, Place, Value, put},
    review::ReviewContext,
    rules::{Card, Fact, Judged, Library, RuleOutcome, Severity, Standing, Subject, fact, judge},
};

/// A value set at a place; `null` takes it away.
#[derive(Clone, Debug, PartialEq)]
pub struct ValueChange {
    /// Where.
    pub place: Place,
    /// What stands there then.
    pub value: Value,
}

impl ValueChange {
    /// A quantity set at a place, in SI.
    pub fn quantity(place: Place, si: f64, kind: Kind) -> Self {
        Self {
            place,
            value: Value::Text(as_written(si, kind)),
        }
    }
}

/// The plan that trials start from.
#[derive(Clone, Copy)]
pub(super) struct Start<'a> {
    pub tree: &'a Node,
    pub plan: &'a Plan,
    pub memo: &'a Memo,
}

/// A plan with values changed.
pub struct ChangedPlan {
    /// Its tree.
    pub tree: Patched,
    /// Its typed form.
    pub plan: Plan,
    /// Its figures.
    pub ledger: Ledger,
    outcomes: Outcomes,
    places: Vec<Place>,
}

impl Start<'_> {
    /// The plan with values set, its figures computed; none where the plan can't be read then. Where scenarios are named,
    /// figures that are read from others are left out.
    pub fn changed(&self, changes: &[ValueChange], only: Option<&[Scenario]>) -> Option<ChangedPlan> {
        let (tree, plan, places) = self.plan_with(changes)?;
        let followed = Followed {
            memo: Some(self.memo),
            only,
        };
        let (ledger, outcomes) = figures::compute_with_outcomes(&plan, followed);
        Some(ChangedPlan {
            tree: Patched::new(tree),
            plan,
            ledger,
            outcomes,
            places,
        })
    }

    /// Whether the plan with values set is one that can be reviewed; no figure is computed.
    pub fn is_sound_with(&self, changes: &[ValueChange]) -> bool {
        self.plan_with(changes)
            .is_some_and(|(tree, plan, places)| plan.problems_after(&tree, &places).is_empty())
    }

    /// Tree and plan with values set, and their places.
    fn plan_with(&self, changes: &[ValueChange]) -> Option<(Node, Plan, Vec<Place>)> {
        let mut tree = self.tree.clone();
        for change in changes {
            let span = tree.span_of(&change.place);
            let value = change.value.clone();
            put(&mut tree, &change.place, Node { span, value });
        }
        let places: Vec<Place> = changes.iter().map(|change| change.place.clone()).collect();
        let plan = self.plan.changed(&tree, &places).ok()?;
        Some((tree, plan, places))
    }
}

impl ChangedPlan {
    /// The changed plan laid out as the plan was, without all that takes trials.
    pub fn context<'c>(&'c self, of: &ReviewContext<'c>) -> ReviewContext<'c> {
        ReviewContext {
            tree: &self.tree,
            plan: &self.plan,
            ledger: &self.ledger,
            outcomes: &self.outcomes,
            cures: false,
            cases: false,
            in_depth: false,
            ..*of
        }
    }

    /// Whether it is still a plan that can be reviewed.
    pub fn is_sound(&self) -> bool {
        self.plan.problems_after(&self.tree.root, &self.places).is_empty()
    }

    /// How a rule comes out at an object; none where it does not look there any more.
    pub fn judged_at<'c>(&self, card: &'c Card, object: &Place) -> Option<RuleOutcome> {
        let judged: Vec<Judged<'c>> = self.judged(slice::from_ref(card));
        judged
            .into_iter()
            .find(|judged| judged.object == *object)
            .map(|judged| judged.outcome)
    }

    /// How rules come out over it.
    pub fn judged<'c>(&self, cards: impl IntoIterator<Item = &'c Card>) -> Vec<Judged<'c>> {
        judge(cards, &self.tree.root, &self.ledger)
    }
}

/// The rules to stop for or to revise, and how they come out to begin with. A rule that advises counts where its fault costs
/// more; what it only advises is left out.
pub(super) struct SeriousRules<'a> {
    pub cards: Vec<&'a Card>,
    pub judged: Vec<Judged<'a>>,
    /// The scenarios that they were read from.
    scenarios: Vec<Scenario>,
}

impl<'a> SeriousRules<'a> {
    /// Those of a library over a plan.
    pub fn over(context: &ReviewContext<'_>, library: &'a Library) -> Self {
        let cards: Vec<&Card> = library
            .cards
            .iter()
            .filter(|card| card.severity != Severity::Advise || !card.revise_when.is_empty())
            .collect();
        let mut judged = judge(cards.iter().copied(), &context.tree.root, context.ledger);
        judged.retain(|judged| !is_advice(judged));
        let mut scenarios = Vec::new();
        walk(context.ledger, &judged, |figure| {
            scenarios.extend(figures::read_from(figure.definition.name));
        });
        Self {
            cards,
            judged,
            scenarios,
        }
    }

    /// How the rules come out with values changed; none where the plan can't be reviewed then. Scenarios that no rule was
    /// read from are followed where a rule needs them after all.
    pub fn tried(&self, start: &Start<'_>, changes: &[ValueChange]) -> Option<Vec<Judged<'a>>> {
        let over = |only: Option<&[Scenario]>| {
            let changed = start.changed(changes, only).filter(ChangedPlan::is_sound)?;
            let mut judged = changed.judged(self.cards.iter().copied());
            judged.retain(|judged| !is_advice(judged));
            Some(judged)
        };
        let few = over(Some(&self.scenarios))?;
        let lacks = |judged: &Judged<'_>| matches!(&judged.outcome, RuleOutcome::NotComputed(why) if why == NOT_FOLLOWED);
        if few.iter().any(lacks) {
            return over(None);
        }
        Some(few)
    }

    /// Whether a rule fell short at an object to begin with.
    pub fn was_short(&self, judged: &Judged<'_>) -> bool {
        let same = |known: &Judged<'_>| known.card.id == judged.card.id && known.object == judged.object;
        self.judged.iter().any(|known| is_short(known) && same(known))
    }

    /// What falls short over a changed plan and did not before, in words.
    pub fn new_faults(&self, context: &ReviewContext<'_>, tried: &[Judged<'_>]) -> Vec<String> {
        let new = tried
            .iter()
            .filter(|judged| is_short(judged) && !self.was_short(judged));
        new.map(|judged| format!("{} at {}", judged.card.id, context.name(&judged.object)))
            .collect()
    }
}

/// Whether a rule falls short where that is a suggestion only.
fn is_advice(judged: &Judged<'_>) -> bool {
    is_short(judged) && judged.severity == Severity::Advise
}

/// Whether a rule falls short, to stop for or to revise.
pub(super) fn is_serious(judged: &Judged<'_>) -> bool {
    is_short(judged) && judged.severity != Severity::Advise
}

/// Whether a rule falls short.
pub(super) fn is_short(judged: &Judged<'_>) -> bool {
    matches!(judged.outcome, RuleOutcome::FallsShort(_))
}

/// A quantity as a plan may write it, to the last digit.
pub(super) fn as_written(si: f64, kind: Kind) -> String {
    if kind == Kind::Level {
        return format!("{si} m");
    }
    let unit = natural_unit(si, kind, UnitSystem::Si);
    format!("{} {}", unit.from_si(si), unit.symbol)
}

/// The scenarios that a rule's outcome at an object was read from.
pub(super) fn scenarios_behind(ledger: &Ledger, judged: &Judged<'_>) -> Vec<Scenario> {
    let mut scenarios = Vec::new();
    walk(ledger, [judged], |figure| {
        scenarios.extend(figures::read_from(figure.definition.name));
    });
    scenarios
}

/// The values of the plan that outcomes rest on: those that their figures were computed from, and those that were read.
pub(super) fn values_behind<'j>(
    start: &Start<'_>,
    ledger: &Ledger,
    judged: impl IntoIterator<Item = &'j Judged<'j>> + Clone,
) -> HashSet<Place> {
    let mut places = HashSet::new();
    let mut seen: HashSet<*const [Input]> = HashSet::new();
    walk(ledger, judged.clone(), |figure| {
        for input in figure.inputs.lists().filter(|list| seen.insert(*list)).flatten() {
            if let Origin::Plan(place) = &input.origin {
                places.insert(place.clone());
            }
        }
    });
    for judged in judged {
        for test in judged.card.tests() {
            if let Subject::Field { path, .. } = &test.subject
                && let Fact::Is(_, place) = fact(start.tree, &judged.object, path)
            {
                places.insert(place);
            }
        }
    }
    places
}

/// The figures that a rule looks at, at its object.
pub(super) fn figures_of<'l>(ledger: &'l Ledger, judged: &Judged<'_>) -> Vec<&'l Figure> {
    let mut figures = Vec::new();
    for test in judged.card.tests() {
        let subject = match &test.subject {
            Subject::Figure(definition) => Some(*definition),
            Subject::Field { .. } => None,
        };
        let names = subject.into_iter().chain(test.bound.figures());
        figures.extend(names.filter_map(|definition| ledger.get(&judged.object, definition.name)));
    }
    figures
}

/// Visits every figure that outcomes rest on, each once.
fn walk<'j>(
    ledger: &Ledger,
    judged: impl IntoIterator<Item = &'j Judged<'j>>,
    mut visit: impl FnMut(&Figure),
) {
    let mut open: Vec<&Figure> = judged
        .into_iter()
        .flat_map(|judged| figures_of(ledger, judged))
        .collect();
    let mut seen: HashSet<*const Figure> = HashSet::new();
    let mut lists: HashSet<*const [Input]> = HashSet::new();
    while let Some(figure) = open.pop() {
        if !seen.insert(std::ptr::from_ref(figure)) {
            continue;
        }
        visit(figure);
        for input in figure.inputs.lists().filter(|list| lists.insert(*list)).flatten() {
            if let Origin::Figure(at, name) = &input.origin {
                open.extend(ledger.get(at, name));
            }
        }
    }
}

/// How far a judged rule is from its limit; positive where it is met, none where nothing is measured.
pub(super) fn margin_of(outcome: &RuleOutcome) -> Option<f64> {
    let (standing, met) = match outcome {
        RuleOutcome::Meets(standing) => (standing, true),
        RuleOutcome::FallsShort(shortfall) => (&shortfall.standing, false),
        _ => return None,
    };
    match standing {
        Standing::Measured {
            found, stated, side, ..
        } => {
            // What is offered meets the limit as either system states it.
            let limit = side.stricter(stated.0, stated.1);
            let margin = side.margin(*found, limit);
            Some(if met && side.met(*found, limit) {
                margin.max(0.0)
            } else {
                margin
            })
        }
        Standing::Said { .. } => None,
    }
}
