//! A piece of the plant with what it rests on, and the gaps of many pieces collected.

use crate::ledger::{Gap, Input, Notes};

/// A piece ready for the network, with what it rests on.
#[derive(Debug)]
pub(crate) struct Piece<T> {
    pub item: T,
    pub inputs: Vec<Input>,
}

/// Collects the gaps of many pieces, so that everything missing is asked for at once.
#[derive(Default)]
pub(crate) struct Gaps(Option<Gap>);

impl Gaps {
    /// The item, or its gap kept.
    pub fn keep<T>(&mut self, result: Result<T, Gap>) -> Option<T> {
        match result {
            Ok(item) => Some(item),
            Err(gap) => {
                self.0 = Some(match self.0.take() {
                    Some(earlier) => earlier.and(gap),
                    None => gap,
                });
                None
            }
        }
    }

    /// Nothing missing, or everything that is.
    pub fn settle(self) -> Result<(), Gap> {
        self.0.map_or(Ok(()), Err)
    }
}

/// Works a piece out on notes of its own.
pub(super) fn piece<T>(work: impl FnOnce(&mut Notes) -> Result<T, Gap>) -> Result<Piece<T>, Gap> {
    let mut sheet = Notes::default();
    let item = work(&mut sheet)?;
    Ok(Piece {
        item,
        inputs: sheet.into_inputs(),
    })
}
