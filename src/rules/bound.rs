//! Bounds: what a rule asks of a value, and how a value stands against it.

use std::fmt;

use crate::{
    ledger::Definition,
    quantity::{Kind, UnitSystem, agree, own_first, show_limit},
};

/// A limit: a fixed quantity in SI, or a multiple of another figure of the same object.
#[derive(Clone, Debug)]
pub enum Limit {
    /// A quantity in SI, and as the card writes it.
    Fixed {
        /// In SI, as written first.
        si: f64,
        /// In SI, as written in brackets for readers of metric units; the same where nothing is.
        metric: f64,
        /// As the card writes it.
        written: String,
    },
    /// A multiple of another figure of the same object.
    Figure {
        /// The figure.
        definition: &'static Definition,
        /// How many times it.
        times: f64,
    },
}

/// What a rule asks of a value.
#[derive(Clone, Debug)]
pub enum Bound {
    /// No less than this.
    AtLeast(Limit, Kind),
    /// More than this, and not just this; only a condition asks so.
    MoreThan(Limit, Kind),
    /// No more than this.
    AtMost(Limit, Kind),
    /// From the first to the second.
    Between(Limit, Limit, Kind),
    /// One of these words.
    OneOf(Vec<String>),
    /// Yes (given, not said to be none) or no.
    Is(bool),
    /// Given by the plan.
    Shown,
}

impl Bound {
    /// The figures that its limits are multiples of.
    pub fn figures(&self) -> impl Iterator<Item = &'static Definition> {
        let limits = match self {
            Self::AtLeast(limit, _) | Self::MoreThan(limit, _) | Self::AtMost(limit, _) => {
                [Some(limit), None]
            }
            Self::Between(low, high, _) => [Some(low), Some(high)],
            Self::OneOf(_) | Self::Is(_) | Self::Shown => [None, None],
        };
        limits.into_iter().flatten().filter_map(|limit| match limit {
            Limit::Figure { definition, .. } => Some(*definition),
            Limit::Fixed { .. } => None,
        })
    }
}

impl Limit {
    /// In words: as the card writes it, or in units of a system.
    fn in_words(&self, kind: Kind, units: Option<UnitSystem>) -> String {
        match (self, units) {
            (Self::Fixed { written, .. }, None) => written.clone(),
            (Self::Fixed { si, .. }, Some(UnitSystem::Us)) => show_limit(*si, kind, UnitSystem::Us),
            (Self::Fixed { metric, .. }, Some(UnitSystem::Si)) => show_limit(*metric, kind, UnitSystem::Si),
            (Self::Figure { definition, times }, units) => {
                let title = own_first(definition.title, units.unwrap_or_default());
                if *times == 1.0 {
                    title
                } else {
                    format!("{times} times {title}")
                }
            }
        }
    }
}

impl Bound {
    /// In words, limits as the card writes them or in units of a system.
    pub fn in_words(&self, units: Option<UnitSystem>) -> String {
        match self {
            Self::AtLeast(limit, kind) => format!("at least {}", limit.in_words(*kind, units)),
            Self::MoreThan(limit, kind) => format!("more than {}", limit.in_words(*kind, units)),
            Self::AtMost(limit, kind) => format!("at most {}", limit.in_words(*kind, units)),
            Self::Between(low, high, kind) => {
                format!(
                    "from {} to {}",
                    low.in_words(*kind, units),
                    high.in_words(*kind, units)
                )
            }
            Self::OneOf(words) => match words.as_slice() {
                [word] => word.clone(),
                words => format!("one of: {}", words.join(", ")),
            },
            Self::Is(true) => "yes".to_owned(),
            Self::Is(false) => "no".to_owned(),
            Self::Shown => "shown on the plan".to_owned(),
        }
    }
}

impl fmt::Display for Bound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_words(None))
    }
}

/// The side of a limit that counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The value must not be less.
    AtLeast,
    /// The value must not be more.
    AtMost,
}

impl Side {
    /// How far a value is from its limit: positive where it meets it; in the value's own unit.
    pub fn margin(self, found: f64, limit: f64) -> f64 {
        match self {
            Self::AtLeast => found - limit,
            Self::AtMost => limit - found,
        }
    }

    /// The looser of two limits: a limit stated in two systems is met where it is met in either.
    pub fn looser(self, one: f64, other: f64) -> f64 {
        match self {
            Self::AtLeast => one.min(other),
            Self::AtMost => one.max(other),
        }
    }

    /// The stricter of two limits.
    pub fn stricter(self, one: f64, other: f64) -> f64 {
        match self {
            Self::AtLeast => one.max(other),
            Self::AtMost => one.min(other),
        }
    }

    /// Whether a value meets its limit. A value that differs from it only by the rounding of arithmetic is at the
    /// limit and meets it.
    pub fn met(self, found: f64, limit: f64) -> bool {
        self.margin(found, limit) >= 0.0 || agree(found, limit)
    }
}

#[cfg(test)]
mod tests {
    use super::Side;

    #[test]
    fn a_value_at_the_limit_meets_it_from_both_sides() {
        // Rim +10.2 in less still +4.2 in, in metres, is a hair under 6 in.
        let freeboard = 10.2 * 0.0254 - 4.2 * 0.0254;
        let six_inches = 6.0 * 0.0254;
        assert!(Side::AtLeast.met(freeboard, six_inches));
        assert!(Side::AtMost.met(freeboard, six_inches));
        assert!(!Side::AtLeast.met(six_inches * 0.999, six_inches));
        assert!(!Side::AtMost.met(six_inches * 1.001, six_inches));
        assert!(Side::AtLeast.met(0.0, 0.0) && !Side::AtLeast.met(-1e-9, 0.0));
    }
}
