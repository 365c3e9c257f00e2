//! The ledger: every computed figure of a plan, with its definition and what it was computed from.

mod definition;
mod gap;
mod notes;
mod verdict;
mod worksheet;

use indexmap::IndexMap;

pub use definition::{Definition, OWN_ARITHMETIC, Scope};
pub use gap::Gap;
pub(crate) use gap::{does_not_apply, missing};
pub use notes::{Input, Notes, Origin};
pub(crate) use verdict::{at_least, at_most, either, no, not, verdict, yes};
pub(crate) use worksheet::{Aside, Worksheet, greatest};

use crate::read::Place;

/// What a figure came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A quantity in SI, of the definition's kind.
    Quantity(f64),
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
    pub inputs: Vec<Input>,
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

    /// The quantity of a figure, in SI; none where it has no such value.
    pub fn quantity(&self, at: &Place, name: &str) -> Option<f64> {
        match self.get(at, name)?.answer {
            Ok(Found::Quantity(si)) => Some(si),
            _ => None,
        }
    }

    /// The values of the plan that a figure rests on, its own first, then those of the figures below it.
    pub fn roots(&self, figure: &Figure) -> Vec<Place> {
        let mut roots = Vec::new();
        let mut open = vec![figure];
        while let Some(figure) = open.pop() {
            for input in &figure.inputs {
                match &input.origin {
                    Origin::Plan(place) if !roots.contains(place) => roots.push(place.clone()),
                    Origin::Figure(at, name) => open.extend(self.get(at, name)),
                    _ => {}
                }
            }
        }
        roots
    }

    /// Everything assumed, each once, in the order it was first needed.
    pub fn assumptions(&self) -> Vec<&str> {
        let mut seen: Vec<&str> = Vec::new();
        for input in self.iter().flat_map(|figure| &figure.inputs) {
            if let Origin::Assumed(why) = &input.origin
                && !seen.contains(&why.as_str())
            {
                seen.push(why);
            }
        }
        seen
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
        let (inputs, invalid): (Vec<Input>, Vec<Input>) = sheet
            .into_inputs()
            .into_iter()
            .partition(|input| input.value.is_none_or(|(si, _)| si.is_finite()));
        let answer = match answer {
            Ok(Found::Quantity(si)) if !si.is_finite() => Err(Gap::NotComputed(match invalid.first() {
                Some(input) => format!("{} is not a finite number with these values", input.symbol),
                None => "the result is not a finite number".to_owned(),
            })),
            other => other,
        };
        let quantity = match answer {
            Ok(Found::Quantity(si)) => Some(si),
            _ => None,
        };
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
