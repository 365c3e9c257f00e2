//! How far a mark may drift before the first rule that stops or revises falls short: the whole plan is computed again with
//! the mark moved, at the steps a crew can tell apart.

use std::collections::{HashMap, HashSet};

use crate::{
    papers::{
        built::Built,
        level_changes::built_values,
        marks::{Mark, Target},
    },
    quantity::{INCH, UnitSystem},
    read::{Node, Place},
    review::ReviewContext,
    rules::{Card, RuleOutcome, Severity, judge},
};

/// Steps of a drift in either system, m.
const US: [f64; 8] = [
    INCH / 8.0,
    INCH / 4.0,
    INCH * 3.0 / 8.0,
    INCH / 2.0,
    INCH * 3.0 / 4.0,
    INCH,
    INCH * 1.5,
    INCH * 2.0,
];
const SI: [f64; 8] = [0.003, 0.005, 0.010, 0.015, 0.020, 0.025, 0.035, 0.050];

/// How far a mark may drift one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Drift {
    /// The largest step that breaks no rule, m; zero where the first one does.
    pub room: f64,
    /// Whether that is the largest step tried.
    pub is_widest: bool,
    /// The rule that falls short beyond it, by its title.
    pub first: Option<String>,
}

/// How far a mark may drift down and up.
#[derive(Clone, Debug, PartialEq)]
pub struct Drifts {
    /// Downward.
    pub low: Drift,
    /// Upward.
    pub high: Drift,
}

/// Where drifts are tried: a plan, and what falls short in it already.
pub struct DriftTrials<'a> {
    context: &'a ReviewContext<'a>,
    cards: &'a [Card],
    short: HashSet<(&'a str, Place)>,
}

impl<'a> DriftTrials<'a> {
    /// Trials over a plan, by a library of rules.
    pub fn new(context: &'a ReviewContext<'a>, cards: &'a [Card]) -> Self {
        let short = shortfalls(cards, &context.tree.root, context.ledger);
        Self {
            context,
            cards,
            short: short
                .into_iter()
                .map(|(card, at)| (card.id.as_str(), at))
                .collect(),
        }
    }

    /// How far a mark may drift; none for a mark that no value of the plan stands behind.
    pub fn of(&self, marks: &[Mark], mark: &Mark) -> Option<Drifts> {
        if mark.target == Target::Computed {
            return None;
        }
        Some(Drifts {
            low: self.toward(marks, mark, -1.0),
            high: self.toward(marks, mark, 1.0),
        })
    }

    fn toward(&self, marks: &[Mark], mark: &Mark, sign: f64) -> Drift {
        let steps = match self.context.units {
            UnitSystem::Us => US,
            UnitSystem::Si => SI,
        };
        // The widest first: most marks bear it. Then by halves: what breaks a rule breaks it further on too.
        let Some(mut first) = self.broken(marks, mark, sign * steps[steps.len() - 1]) else {
            return Drift {
                room: steps[steps.len() - 1],
                is_widest: true,
                first: None,
            };
        };
        let (mut good, mut bad) = (None, steps.len() - 1);
        while bad > good.map_or(0, |good| good + 1) {
            let middle = usize::midpoint(good.map_or(0, |good: usize| good + 1), bad);
            match self.broken(marks, mark, sign * steps[middle]) {
                None => good = Some(middle),
                Some(rule) => {
                    bad = middle;
                    first = rule;
                }
            }
        }
        Drift {
            room: good.map_or(0.0, |good| steps[good]),
            is_widest: false,
            first: Some(first),
        }
    }

    /// The title of a rule that falls short where a mark stands off and that does not already; stops first.
    fn broken(&self, marks: &[Mark], mark: &Mark, by: f64) -> Option<String> {
        let off = HashMap::from([(mark.id.as_str(), by)]);
        let values = built_values(self.context.plan, marks, &off);
        let Some(built) = Built::of(self.context, &values) else {
            return Some("a level out of order".to_owned());
        };
        let (tree, ledger) = (&built.tree.root, &built.ledger);
        let new = shortfalls(self.cards, tree, ledger)
            .into_iter()
            .filter(|(card, at)| !self.short.contains(&(card.id.as_str(), at.clone())));
        new.min_by_key(|(card, _)| card.severity)
            .map(|(card, _)| card.title.clone())
    }
}

/// The rules that stop or revise and fall short, with their objects.
fn shortfalls<'c>(cards: &'c [Card], tree: &Node, ledger: &crate::ledger::Ledger) -> Vec<(&'c Card, Place)> {
    let judged = judge(cards, tree, ledger).into_iter();
    let short = judged.filter(|judged| {
        judged.card.severity != Severity::Advise && matches!(judged.outcome, RuleOutcome::FallsShort(_))
    });
    short.map(|judged| (judged.card, judged.object)).collect()
}
