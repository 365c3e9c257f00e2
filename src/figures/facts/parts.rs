//! What a yes-or-no figure is put together from: parts that each hold, fail somewhere or are not shown.

use crate::{
    ledger::{Answer, Found, Gap, Worksheet, does_not_apply, missing, no, not, yes},
    plan::{Given, Measure, Shown},
    read::Place,
};

/// What the plan gives here; said to be none, the question doesn't arise; left out, it is asked for.
pub fn part<'a, T>(value: &'a Shown<T>, object: &Place, field: &str) -> Result<&'a Given<T>, Gap> {
    match value {
        Shown::Is(given) => Ok(given),
        Shown::None(_) => Err(does_not_apply("the plan says that there is none")),
        Shown::NotShown => Err(missing(object.child(field))),
    }
}

/// The value that a plan gives of something that is not a quantity, noted.
pub fn noted<'a, T>(
    sheet: &mut Worksheet<'_>,
    value: &'a Shown<T>,
    object: &Place,
    field: &'static str,
) -> Result<&'a Given<T>, Gap> {
    let given = part(value, object, field)?;
    sheet.note_place(field, &given.place);
    Ok(given)
}

/// Holds where the plan gives it, fails where it says that there is none.
pub fn given<T>(
    sheet: &mut Worksheet<'_>,
    value: &Shown<T>,
    object: &Place,
    field: &'static str,
    none: &str,
) -> Answer {
    match value {
        Shown::Is(given) => {
            sheet.note_place(field, &given.place);
            yes("given")
        }
        Shown::None(place) => {
            sheet.note_place(field, place);
            no(none, place)
        }
        Shown::NotShown => Err(missing(object.child(field))),
    }
}

/// Holds where the plan says yes.
pub fn said(
    sheet: &mut Worksheet<'_>,
    value: &Shown<bool>,
    object: &Place,
    field: &'static str,
    otherwise: &str,
) -> Answer {
    match (value.yes(), object.child(field)) {
        (None, place) => Err(missing(place)),
        (Some(holds), place) => {
            sheet.note_place(field, &place);
            if holds {
                yes("said so")
            } else {
                no(otherwise, &place)
            }
        }
    }
}

/// A quantity and its place in the plan, for a test of it.
pub struct Measured<'a, T> {
    pub symbol: &'static str,
    pub value: &'a Shown<T>,
    pub object: &'a Place,
    pub field: &'static str,
}

impl<T: Measure> Measured<'_, T> {
    /// Holds where the quantity passes; fails where it doesn't, or where the plan says that there is none.
    pub fn passes(
        self,
        sheet: &mut Worksheet<'_>,
        test: impl FnOnce(f64) -> bool,
        otherwise: &str,
    ) -> Answer {
        let place = self.object.child(self.field);
        if let Shown::None(place) = self.value {
            sheet.note_place(self.symbol, place);
            return no(otherwise, place);
        }
        let found = sheet.given(self.symbol, self.value, self.object, self.field)?;
        if test(found) {
            yes("within the limit")
        } else {
            no(otherwise, &place)
        }
    }
}

/// Holds where every part does. One that fails decides, whatever else is not shown.
pub fn all(so: &str, parts: impl IntoIterator<Item = Answer>) -> Answer {
    let mut gap: Option<Gap> = None;
    for part in parts {
        match part {
            Ok(Found::Verdict { holds: false, .. }) => return part,
            Ok(_) => {}
            Err(next) => {
                gap = Some(match gap {
                    Some(gap) => gap.and(next),
                    None => next,
                });
            }
        }
    }
    gap.map_or_else(|| yes(so), Err)
}

/// Holds where any part does. Where none does, the first that is not shown is asked for; where all are shown, the
/// first that fails is the answer.
pub fn any(parts: impl IntoIterator<Item = Answer>) -> Answer {
    let (mut gap, mut fails) = (None, None);
    for part in parts {
        match part {
            Ok(Found::Verdict { holds: true, .. }) => return part,
            Ok(_) => fails = fails.or(Some(part)),
            Err(next) => gap = gap.or(Some(next)),
        }
    }
    gap.map_or_else(|| fails.unwrap_or_else(|| not("none of it is so")), Err)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Answer, Found, Gap, Place, all, any, missing, no, yes};

    fn holds(answer: &Answer) -> Option<bool> {
        match answer {
            Ok(Found::Verdict { holds, .. }) => Some(*holds),
            _ => None,
        }
    }

    #[test]
    fn one_failing_part_decides_whatever_is_not_shown() {
        let (a, b) = (Place::from_pointer("/a"), Place::from_pointer("/b"));
        let failing = all("both", [Err(missing(a.clone())), no("b fails", &b)]);
        assert_eq!(holds(&failing), Some(false));
        let gap = all(
            "both",
            [Err(missing(a.clone())), yes(""), Err(missing(b.clone()))],
        );
        assert_eq!(gap.unwrap_err(), Gap::NotShown(vec![a, b]));
        assert_eq!(holds(&all("both", [yes(""), yes("")])), Some(true));
    }

    #[test]
    fn one_holding_part_is_enough_and_the_first_gap_is_asked_for() {
        let (a, b) = (Place::from_pointer("/a"), Place::from_pointer("/b"));
        assert_eq!(holds(&any([Err(missing(a.clone())), yes("")])), Some(true));
        let gap = any([no("", &a), Err(missing(b.clone())), Err(missing(a.clone()))]);
        assert_eq!(gap.unwrap_err(), Gap::NotShown(vec![b.clone()]));
        let fails = any([no("a fails", &a), no("b fails", &b)]);
        assert_eq!(fails, no("a fails", &a));
    }
}
