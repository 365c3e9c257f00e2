//! What a figure was computed from, in order; long lists that many figures rest on are kept once.

use std::sync::Arc;

use crate::{quantity::Kind, read::Place};

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
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
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

/// Inputs in the order in which they were noted.
#[derive(Clone, Debug, Default)]
pub struct Inputs(Vec<Part>);

/// Inputs of one figure, or of many.
#[derive(Clone, Debug)]
enum Part {
    Own(Vec<Input>),
    Shared(Arc<[Input]>),
}

impl Part {
    fn inputs(&self) -> &[Input] {
        match self {
            Self::Own(inputs) => inputs,
            Self::Shared(inputs) => inputs,
        }
    }
}

impl Inputs {
    /// Each input.
    pub fn iter(&self) -> impl Iterator<Item = &Input> {
        self.lists().flatten()
    }

    /// The lists that they are kept in, one after the other: two figures that share one give the same slice.
    pub fn lists(&self) -> impl Iterator<Item = &[Input]> {
        self.0.iter().map(Part::inputs)
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.lists().map(<[Input]>::len).sum()
    }

    /// Adds one.
    pub(super) fn push(&mut self, input: Input) {
        if let Some(Part::Own(own)) = self.0.last_mut() {
            own.push(input);
        } else {
            self.0.push(Part::Own(vec![input]));
        }
    }

    /// Adds several.
    pub(super) fn extend(&mut self, inputs: &[Input]) {
        if let Some(Part::Own(own)) = self.0.last_mut() {
            own.extend_from_slice(inputs);
        } else if !inputs.is_empty() {
            self.0.push(Part::Own(inputs.to_vec()));
        }
    }

    /// Adds a list that others share.
    pub(super) fn share(&mut self, inputs: &Arc<[Input]>) {
        self.0.push(Part::Shared(Arc::clone(inputs)));
    }

    /// Takes out what is no finite number.
    pub(super) fn without_invalid(self) -> (Self, Vec<Input>) {
        let is_valid = |input: &Input| input.value.is_none_or(|(si, _)| si.is_finite());
        if self.iter().all(is_valid) {
            return (self, Vec::new());
        }
        let (valid, invalid) = self.iter().cloned().partition(is_valid);
        (Self(vec![Part::Own(valid)]), invalid)
    }

    /// As one list.
    pub(crate) fn into_vec(mut self) -> Vec<Input> {
        match self.0.as_mut_slice() {
            [Part::Own(own)] => std::mem::take(own),
            _ => self.iter().cloned().collect(),
        }
    }
}
