//! Which of several changed values outcomes rest on, by what the figures behind them note.

use std::collections::{HashMap, hash_map::Entry};

use super::trial::figures_of;
use crate::{
    ledger::{Figure, Input, Ledger, Origin},
    read::{Node, Place},
    rules::{Fact, Judged, Subject, fact},
};

/// Which of several values something rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum RestsOn {
    /// None of them, as far as figures note.
    Nothing,
    /// This one alone, by its position.
    One(usize),
    /// More than one.
    Several,
}

impl RestsOn {
    fn and(self, other: Self) -> Self {
        match (self, other) {
            (one, Self::Nothing) | (Self::Nothing, one) => one,
            (Self::One(a), Self::One(b)) if a == b => self,
            _ => Self::Several,
        }
    }
}

/// Values of a plan, and which of them its figures rest on; each figure is looked at once.
pub(super) struct ChangedValues<'a> {
    tree: &'a Node,
    ledger: &'a Ledger,
    places: HashMap<&'a Place, usize>,
    known: HashMap<*const Figure, RestsOn>,
    lists: HashMap<*const [Input], RestsOn>,
}

impl<'a> ChangedValues<'a> {
    /// Values at places.
    pub fn at(tree: &'a Node, ledger: &'a Ledger, places: impl IntoIterator<Item = &'a Place>) -> Self {
        Self {
            tree,
            ledger,
            places: places.into_iter().zip(0..).collect(),
            known: HashMap::new(),
            lists: HashMap::new(),
        }
    }

    /// Which of them the outcome of a rule rests on.
    pub fn behind(&mut self, judged: &Judged<'_>) -> RestsOn {
        let mut rests_on = RestsOn::Nothing;
        for figure in figures_of(self.ledger, judged) {
            rests_on = rests_on.and(self.behind_figure(figure));
        }
        for test in judged.card.tests() {
            if let Subject::Field { path, .. } = &test.subject
                && let Fact::Is(_, place) | Fact::None(place) = fact(self.tree, &judged.object, path)
            {
                rests_on = rests_on.and(self.value(&place));
            }
        }
        rests_on
    }

    fn value(&self, place: &Place) -> RestsOn {
        self.places
            .get(place)
            .map_or(RestsOn::Nothing, |at| RestsOn::One(*at))
    }

    /// A chain of figures may be as long as the plan, so this calls itself for none.
    fn behind_figure(&mut self, figure: &'a Figure) -> RestsOn {
        let ledger = self.ledger;
        let mut open = vec![(figure, false)];
        while let Some((next, known_below)) = open.pop() {
            let key = std::ptr::from_ref(next);
            if known_below {
                let mut rests_on = RestsOn::Nothing;
                for list in next.inputs.lists() {
                    rests_on = rests_on.and(self.behind_list(list));
                }
                self.known.insert(key, rests_on);
            } else if let Entry::Vacant(unknown) = self.known.entry(key) {
                unknown.insert(RestsOn::Nothing);
                open.push((next, true));
                let new = |list: &&[Input]| !self.lists.contains_key(&std::ptr::from_ref(*list));
                for input in next.inputs.lists().filter(new).flatten() {
                    if let Origin::Figure(at, name) = &input.origin {
                        open.extend(ledger.get(at, name).map(|below| (below, false)));
                    }
                }
            }
        }
        self.known_of(Some(figure))
    }

    /// A list that many figures share is walked once.
    fn behind_list(&mut self, list: &[Input]) -> RestsOn {
        let key = std::ptr::from_ref(list);
        if let Some(known) = self.lists.get(&key) {
            return *known;
        }
        let inputs = list.iter().map(|input| match &input.origin {
            Origin::Plan(place) => self.value(place),
            Origin::Figure(at, name) => self.known_of(self.ledger.get(at, name)),
            Origin::Assumed(_) | Origin::Worked => RestsOn::Nothing,
        });
        let rests_on = inputs.fold(RestsOn::Nothing, RestsOn::and);
        self.lists.insert(key, rests_on);
        rests_on
    }

    fn known_of(&self, figure: Option<&Figure>) -> RestsOn {
        let known = figure.and_then(|figure| self.known.get(&std::ptr::from_ref(figure)));
        known.copied().unwrap_or(RestsOn::Nothing)
    }
}
