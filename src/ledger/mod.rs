//! The ledger: every computed figure of a plan, with its definition and what it was computed from.

mod definition;
mod gap;
mod inputs;
mod notes;
mod verdict;
mod worksheet;

use std::collections::HashSet;

use indexmap::{IndexMap, IndexSet};

pub use definition::{Definition, OWN_ARITHMETIC, Scope};
pub use gap::Gap;
pub(crate) use gap::{does_not_apply, missing};
pub use inputs::{Input, Inputs, Origin};
pub use notes::Notes;
pub(crate) use verdict::{at_least, at_most, either, no, not, verdict, yes};
pub(crate) use worksheet::{Aside, Worksheet, greatest};

use crate::{quantity::UnitSystem, read::Place};

/// What a figure came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A quantity in SI, of the definition's kind.
    Quantity(f64),
    /// A limit of the trade that is stated in both systems, each exact in its own; both in SI.
    Stated {
        /// As stated in US units.
        us: f64,
        /// As stated in metric ones.
        metric: f64,
    },
    /// Yes or no, and for a no the part that fails, where.
    Verdict {
        /// Whether it holds.
        holds: bool,
        /// What was found, in words.
        because: String,
        /// The plan value that fails it, where one can be named.
        at: Option<Place>,
    },
}

impl Found {
    /// The quantity in SI, as stated in US units; none of a yes or no.
    pub const fn quantity(&self) -> Option<f64> {
        match self {
            Self::Quantity(si) | Self::Stated { us: si, .. } => Some(*si),
            Self::Verdict { .. } => None,
        }
    }

    /// The quantity in SI as it is stated in a system of units.
    pub const fn quantity_in(&self, system: UnitSystem) -> Option<f64> {
        match (self, system) {
            (Self::Stated { metric, .. }, UnitSystem::Si) => Some(*metric),
            _ => self.quantity(),
        }
    }
}

/// A figure's value, or why there is none.
pub type Answer = Result<Found, Gap>;

/// One figure at one place.
#[derive(Clone, Debug)]
pub struct Figure {
    /// What it is.
    pub definition: &'static Definition,
    /// The object it belongs to.
    pub at: Place,
    /// What it came to.
    pub answer: Answer,
    /// What it was computed from.
    pub inputs: Inputs,
}

/// Every figure of a plan, in the order it was computed.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    objects: IndexMap<Place, IndexMap<&'static str, Figure>>,
}

impl Ledger {
    /// The figure of this name at this object.
    pub fn get(&self, at: &Place, name: &str) -> Option<&Figure> {
        self.objects.get(at)?.get(name)
    }

    /// Every figure, object by object, each in the order it was computed.
    pub fn iter(&self) -> impl Iterator<Item = &Figure> {
        self.objects.values().flat_map(IndexMap::values)
    }

    /// How many figures there are.
    pub fn count(&self) -> usize {
        self.objects.values().map(IndexMap::len).sum()
    }

    /// Everything that figures were computed from, figure by figure; a list that several share once.
    pub fn inputs(&self) -> impl Iterator<Item = &Input> {
        let mut seen: HashSet<*const [Input]> = HashSet::new();
        let lists = self.iter().flat_map(|figure| figure.inputs.lists());
        lists.filter(move |list| seen.insert(*list)).flatten()
    }

    /// The quantity of a figure, in SI; none where it has no such value.
    pub fn quantity(&self, at: &Place, name: &str) -> Option<f64> {
        self.get(at, name)?.answer.as_ref().ok()?.quantity()
    }

    /// The values of the plan that a figure rests on, its own first, then those of the figures below it.
    pub fn roots(&self, figure: &Figure) -> Vec<Place> {
        let mut roots = IndexSet::new();
        let mut seen: HashSet<*const [Input]> = HashSet::new();
        let mut open = vec![figure];
        while let Some(figure) = open.pop() {
            for input in figure.inputs.lists().filter(|list| seen.insert(*list)).flatten() {
                match &input.origin {
                    Origin::Plan(place) => {
                        roots.insert(place);
                    }
                    Origin::Figure(at, name) => open.extend(self.get(at, name)),
                    Origin::Assumed(_) | Origin::Worked => {}
                }
            }
        }
        roots.into_iter().cloned().collect()
    }

    /// Everything assumed, each once, in the order it was first needed.
    pub fn assumptions(&self) -> Vec<&str> {
        let assumed = self.inputs().filter_map(|input| match &input.origin {
            Origin::Assumed(why) => Some(why.as_str()),
            _ => None,
        });
        assumed.collect::<IndexSet<&str>>().into_iter().collect()
    }

    /// Computes a figure and enters it; returns its quantity for figures that build on it.
    pub(crate) fn enter(
        &mut self,
        definition: &'static Definition,
        at: &Place,
        compute: impl FnOnce(&mut Worksheet<'_>) -> Answer,
    ) -> Option<f64> {
        let mut sheet = Worksheet::over(self);
        let answer = compute(&mut sheet).map_err(Gap::in_order);
        // A formula outside its range gives NaN; such an intermediate result is named, not printed.
        let (inputs, invalid) = sheet.into_shared_inputs().without_invalid();
        let answer = match answer {
            Ok(Found::Quantity(si)) if !si.is_finite() => Err(Gap::NotComputed(match invalid.first() {
                Some(input) => format!("{} is not a finite number with these values", input.symbol),
                None => "the result is not a finite number".to_owned(),
            })),
            other => other,
        };
        let quantity = answer.as_ref().ok().and_then(Found::quantity);
        let figure = Figure {
            definition,
            at: at.clone(),
            answer,
            inputs,
        };
        self.objects
            .entry(at.clone())
            .or_default()
            .insert(definition.name, figure);
        quantity
    }
}

/// A quantity as an answer.
#[allow(
    clippy::unnecessary_wraps,
    reason = "what a figure’s work returns is an answer"
)]
pub(crate) fn quantity(si: f64) -> Answer {
    Ok(Found::Quantity(si))
}

/// A limit of the trade as an answer: as stated in US units and as stated in metric ones, both in SI.
#[allow(
    clippy::unnecessary_wraps,
    reason = "what a figure’s work returns is an answer"
)]
pub(crate) fn stated(us: f64, metric: f64) -> Answer {
    Ok(Found::Stated { us, metric })
}
