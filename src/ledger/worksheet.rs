//! The worksheet of one figure: takes values from the plan and from figures already in the ledger, and notes each.

use std::ops::{Deref, DerefMut};

use super::{Answer, Definition, Found, Gap, Input, Inputs, Ledger, Notes, Origin};
use crate::read::Place;

/// The worksheet of one figure: its notes, and the ledger so far.
pub(crate) struct Worksheet<'a> {
    ledger: &'a Ledger,
    notes: Notes,
}

impl Deref for Worksheet<'_> {
    type Target = Notes;

    fn deref(&self) -> &Notes {
        &self.notes
    }
}

impl DerefMut for Worksheet<'_> {
    fn deref_mut(&mut self) -> &mut Notes {
        &mut self.notes
    }
}

impl<'a> Worksheet<'a> {
    /// A blank worksheet over the figures so far.
    pub(super) fn over(ledger: &'a Ledger) -> Self {
        Self {
            ledger,
            notes: Notes::default(),
        }
    }

    /// What was noted.
    pub(super) fn into_shared_inputs(self) -> Inputs {
        self.notes.into_shared_inputs()
    }

    /// Another figure's quantity, in SI; its gap is passed on.
    pub fn figure(
        &mut self,
        symbol: &'static str,
        definition: &'static Definition,
        at: &Place,
    ) -> Result<f64, Gap> {
        let missing = || Gap::NotComputed(format!("{} was not computed", definition.title));
        let figure = self.ledger.get(at, definition.name).ok_or_else(missing)?;
        match figure.answer.as_ref().map(Found::quantity) {
            Ok(Some(si)) => {
                let value = definition.kind.map(|kind| (si, kind));
                let origin = Origin::Figure(at.clone(), definition.name);
                self.notes.take(&[Input {
                    symbol,
                    value,
                    origin,
                }]);
                Ok(si)
            }
            Ok(None) => Err(missing()),
            Err(gap) => Err(gap.clone()),
        }
    }

    /// What another figure of yes or no came to, or why it has no answer; none where it was never entered.
    pub fn verdict(
        &mut self,
        symbol: &'static str,
        definition: &'static Definition,
        at: &Place,
    ) -> Option<&'a Answer> {
        let answer = &self.ledger.get(at, definition.name)?.answer;
        let origin = Origin::Figure(at.clone(), definition.name);
        self.notes.take(&[Input {
            symbol,
            value: None,
            origin,
        }]);
        Some(answer)
    }

    /// Works something out beside the worksheet, over the same ledger, so that its notes can be taken over or not.
    pub fn aside<T>(&self, work: impl FnOnce(&mut Worksheet<'_>) -> T) -> (T, Vec<Input>) {
        let mut aside = Worksheet::over(self.ledger);
        (work(&mut aside), aside.notes.into_inputs())
    }
}

/// A value worked beside the sheet, and what was noted for it.
pub(crate) type Aside = (Result<f64, Gap>, Vec<Input>);

/// The greatest of several values, with its own notes only. One that is enough decides, whatever is not known of the
/// others; else what is not known of any is asked for. A value that does not arise is passed over; none where no
/// value arises.
pub(crate) fn greatest(
    notes: &mut Notes,
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
            notes.take(&inputs);
            most
        })),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Gap, Notes, Place, greatest};

    #[test]
    fn a_value_that_is_enough_decides_and_a_lesser_one_waits_for_the_others() {
        let missing = |at: &str| Err(Gap::NotShown(vec![Place::from_pointer(at)]));
        let over_two = |values: &[Result<f64, Gap>]| {
            let values = values.iter().map(|value| (value.clone(), Vec::new()));
            greatest(&mut Notes::default(), values, |value| value > 2.0)
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
