//! Why a figure has no value.

use crate::read::Place;

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

impl Gap {
    pub(super) fn in_order(self) -> Self {
        match self {
            Self::NotShown(mut places) => {
                places.dedup();
                Self::NotShown(places)
            }
            other => other,
        }
    }

    /// Both gaps as one: what is not shown is asked for together.
    pub(crate) fn and(self, other: Self) -> Self {
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

/// The gap of a place that the plan leaves out.
pub(crate) fn missing(place: Place) -> Gap {
    Gap::NotShown(vec![place])
}

/// The gap of a question that does not arise here.
pub(crate) fn does_not_apply(why: impl Into<String>) -> Gap {
    Gap::DoesNotApply(why.into())
}
