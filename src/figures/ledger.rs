//! The ledger: every computed figure with what it came from.

use indexmap::IndexMap;

use super::definition::Definition;
use crate::{
    plan::{Given, Measure, Shown},
    quantity::Kind,
    read::Place,
};

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

/// Why there is no figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Gap {
    /// These places are left out of the plan.
    NotShown(Vec<Place>),
    /// The question doesn't arise here.
    DoesNotApply(String),
    /// It can't be computed: outside a formula's range, or no solution was found.
    NotComputed(String),
}

/// A figure's value, or why there is none.
pub type Answer = Result<Found, Gap>;

/// Something a figure was computed from.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Its symbol in the formula.
    pub symbol: &'static str,
    /// Value in SI; none for what is not a quantity.
    pub value: Option<(f64, Kind)>,
    /// Where it came from.
    pub origin: Origin,
}

/// Where an input came from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// A value of the plan.
    Plan(Place),
    /// Another figure.
    Figure(Place, &'static str),
    /// Assumed, for this reason.
    Assumed(String),
    /// Worked out on the way, from the other inputs.
    Worked,
}

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
    pub(super) fn enter(
        &mut self,
        definition: &'static Definition,
        at: &Place,
        compute: impl FnOnce(&mut Sheet<'_>) -> Answer,
    ) -> Option<f64> {
        let mut sheet = Sheet {
            ledger: Some(self),
            inputs: Vec::new(),
        };
        let answer = compute(&mut sheet).map_err(Gap::in_order);
        let answer = match answer {
            Ok(Found::Quantity(si)) if !si.is_finite() => {
                Err(Gap::NotComputed("the result is not a finite number".to_owned()))
            }
            other => other,
        };
        let inputs = sheet.inputs;
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

impl Gap {
    fn in_order(self) -> Self {
        match self {
            Self::NotShown(mut places) => {
                places.dedup();
                Self::NotShown(places)
            }
            other => other,
        }
    }

    /// Both gaps as one: what is not shown is asked for together.
    pub(super) fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::NotShown(mut a), Self::NotShown(b)) => {
                a.extend(
                    b.into_iter()
                        .filter(|place| !a.contains(place))
                        .collect::<Vec<_>>(),
                );
                Self::NotShown(a)
            }
            (Self::NotShown(a), _) => Self::NotShown(a),
            (_, b) => b,
        }
    }
}

/// The sheet a figure is worked on: takes values from the plan and the ledger and keeps note of each.
pub(super) struct Sheet<'a> {
    ledger: Option<&'a Ledger>,
    inputs: Vec<Input>,
}

impl Sheet<'_> {
    /// A sheet for work that no figure of the ledger goes into.
    pub fn blank() -> Self {
        Self {
            ledger: None,
            inputs: Vec::new(),
        }
    }

    /// What was noted.
    pub fn into_inputs(self) -> Vec<Input> {
        self.inputs
    }

    /// A quantity of the plan, in SI; a gap where it is left out or said to be none.
    pub fn given<T: Measure>(
        &mut self,
        symbol: &'static str,
        value: &Shown<T>,
        object: &Place,
        field: &str,
    ) -> Result<f64, Gap> {
        match value {
            Shown::Is(given) => {
                self.note_given(symbol, given);
                Ok(given.value.si())
            }
            Shown::None(_) => Err(Gap::DoesNotApply(format!(
                "the plan says that there is no {field}"
            ))),
            Shown::NotShown => Err(Gap::NotShown(vec![object.join(field)])),
        }
    }

    /// Notes a quantity of the plan.
    pub fn note_given<T: Measure>(&mut self, symbol: &'static str, given: &Given<T>) {
        let value = Some((given.value.si(), T::KIND));
        self.inputs.push(Input {
            symbol,
            value,
            origin: Origin::Plan(given.place.clone()),
        });
    }

    /// Notes a value of the plan that is not a quantity.
    pub fn note_place(&mut self, symbol: &'static str, place: &Place) {
        self.inputs.push(Input {
            symbol,
            value: None,
            origin: Origin::Plan(place.clone()),
        });
    }

    /// Notes what a value of the plan stands for in numbers: a count, or the nothing of a thing said to be none.
    pub fn note_value(&mut self, symbol: &'static str, si: f64, kind: Kind, place: &Place) {
        self.inputs.push(Input {
            symbol,
            value: Some((si, kind)),
            origin: Origin::Plan(place.clone()),
        });
    }

    /// Another figure's quantity, in SI; its gap is passed on.
    pub fn figure(
        &mut self,
        symbol: &'static str,
        definition: &'static Definition,
        at: &Place,
    ) -> Result<f64, Gap> {
        let missing = || Gap::NotComputed(format!("{} was not computed", definition.title));
        let figure = self
            .ledger
            .and_then(|ledger| ledger.get(at, definition.name))
            .ok_or_else(missing)?;
        match &figure.answer {
            Ok(Found::Quantity(si)) => {
                let value = definition.kind.map(|kind| (*si, kind));
                let origin = Origin::Figure(at.clone(), definition.name);
                self.inputs.push(Input {
                    symbol,
                    value,
                    origin,
                });
                Ok(*si)
            }
            Ok(Found::Verdict { .. }) => Err(missing()),
            Err(gap) => Err(gap.clone()),
        }
    }

    /// A value that is assumed, for a reason that the review prints.
    pub fn assumed(&mut self, symbol: &'static str, si: f64, kind: Kind, why: &str) -> f64 {
        self.inputs.push(Input {
            symbol,
            value: Some((si, kind)),
            origin: Origin::Assumed(why.to_owned()),
        });
        si
    }

    /// Works something out beside the sheet, over the same ledger, so that its notes can be taken over or not.
    pub fn aside<T>(&self, work: impl FnOnce(&mut Sheet<'_>) -> T) -> (T, Vec<Input>) {
        let mut aside = Sheet {
            ledger: self.ledger,
            inputs: Vec::new(),
        };
        (work(&mut aside), aside.inputs)
    }

    /// A value worked out on the way, noted so that the formula can be read with its numbers.
    pub fn worked(&mut self, symbol: &'static str, si: f64, kind: Kind) -> f64 {
        self.inputs.push(Input {
            symbol,
            value: Some((si, kind)),
            origin: Origin::Worked,
        });
        si
    }

    /// Takes over the notes of work done elsewhere, such as a solved system.
    pub fn take(&mut self, inputs: &[Input]) {
        self.inputs.extend_from_slice(inputs);
    }
}

/// A quantity as an answer.
#[allow(
    clippy::unnecessary_wraps,
    reason = "what a figure's work returns is an answer"
)]
pub(super) fn quantity(si: f64) -> Answer {
    Ok(Found::Quantity(si))
}

/// A value worked beside the sheet, and what was noted for it.
pub(super) type Aside = (Result<f64, Gap>, Vec<Input>);

/// The greatest of several values, with its own notes only. One that is enough decides, whatever is not known of the
/// others; else what is not known of any is asked for. A value that does not arise is passed over; none where no
/// value arises.
pub(super) fn greatest(
    sheet: &mut Sheet<'_>,
    values: impl IntoIterator<Item = Aside>,
    enough: impl Fn(f64) -> bool,
) -> Result<Option<f64>, Gap> {
    let (mut most, mut gap): (Option<(f64, Vec<Input>)>, Option<Gap>) = (None, None);
    for (value, inputs) in values {
        match value {
            Ok(value) if most.as_ref().is_none_or(|(most, _)| value > *most) => most = Some((value, inputs)),
            Ok(_) | Err(Gap::DoesNotApply(_)) => {}
            Err(next) => {
                gap = Some(match gap {
                    Some(gap) => gap.and(next),
                    None => next,
                });
            }
        }
    }
    let settled = most.as_ref().is_some_and(|(most, _)| enough(*most));
    match (gap, most) {
        (Some(gap), _) if !settled => Err(gap),
        (_, most) => Ok(most.map(|(most, inputs)| {
            sheet.take(&inputs);
            most
        })),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Gap, Place, Sheet, greatest};

    #[test]
    fn a_value_that_is_enough_decides_and_a_lesser_one_waits_for_the_others() {
        let missing = |at: &str| Err(Gap::NotShown(vec![Place::from_pointer(at)]));
        let over_two = |values: &[Result<f64, Gap>]| {
            let values = values.iter().map(|value| (value.clone(), Vec::new()));
            greatest(&mut Sheet::blank(), values, |value| value > 2.0)
        };
        assert_eq!(over_two(&[Ok(1.0), missing("/a"), Ok(3.0)]), Ok(Some(3.0)));
        let both = Gap::NotShown(vec![Place::from_pointer("/a"), Place::from_pointer("/b")]);
        assert_eq!(
            over_two(&[missing("/a"), Ok(2.0), missing("/b")]).unwrap_err(),
            both
        );
        let not_there = || Err(Gap::DoesNotApply(String::new()));
        assert_eq!(over_two(&[not_there(), Ok(1.0)]), Ok(Some(1.0)));
        assert_eq!(over_two(&[not_there()]), Ok(None));
    }
}
