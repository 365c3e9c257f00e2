//! What a value was computed from: every plan value, assumption and intermediate result is noted as it is used.

use std::sync::Arc;

use super::{Gap, Input, Inputs, Origin};
use crate::{
    plan::{Given, Measure, Shown},
    quantity::Kind,
    read::Place,
};

/// Notes of what a computation used, in order.
#[derive(Clone, Debug, Default)]
pub struct Notes {
    inputs: Inputs,
}

impl Notes {
    /// What was noted.
    pub fn into_inputs(self) -> Vec<Input> {
        self.inputs.into_vec()
    }

    /// The same, with lists that others share left as they are.
    pub(super) fn into_shared_inputs(self) -> Inputs {
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

    /// A value that is assumed, for a reason that the review prints.
    pub fn assumed(&mut self, symbol: &'static str, si: f64, kind: Kind, why: &str) -> f64 {
        self.inputs.push(Input {
            symbol,
            value: Some((si, kind)),
            origin: Origin::Assumed(why.to_owned()),
        });
        si
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
        self.inputs.extend(inputs);
    }

    /// Takes over notes that many figures rest on, such as a whole circuit, without copying them.
    pub(crate) fn share(&mut self, inputs: &Arc<[Input]>) {
        self.inputs.share(inputs);
    }
}
