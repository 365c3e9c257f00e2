//! The one quantity type: a value in SI with its kind; units are converted here at the door and at the exit.

mod both;
mod digits;
mod error;
mod kind;
mod number;
mod parse;
#[cfg(test)]
mod properties;
mod show;
mod slope;
mod spelling;
mod units;

use std::fmt;

pub use both::{both_levels, both_trade_lengths, own_first};
pub(crate) use digits::grouped;
pub use error::{Fault, QuantityError};
pub use kind::Kind;
pub use show::{
    UnitSystem, agree, feet_inches, level_unit, natural_unit, show, show_computed, show_computed_in,
    show_estimate, show_in, show_level, show_level_in, show_limit, show_margin, show_pair,
};
pub(crate) use units::{FOOT, INCH};
pub use units::{UNITS, Unit};

/// A value in SI with what it measures, and the unit it was written in where it was written by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The value in the SI unit of its kind.
    pub si: f64,
    /// What it measures.
    pub kind: Kind,
    /// The unit it was written in (the largest of `3 ft 6 in`); none for a computed value.
    pub unit: Option<&'static Unit>,
}

impl Quantity {
    /// A computed quantity: a value in the SI unit of `kind`.
    pub const fn si(value: f64, kind: Kind) -> Self {
        Self {
            si: value,
            kind,
            unit: None,
        }
    }

    /// The quantity in the natural unit of a system.
    pub fn show(&self, system: UnitSystem) -> String {
        show(self.si, self.kind, system)
    }
}

/// In the unit as written, or the natural SI unit of a computed value.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = self
            .unit
            .unwrap_or_else(|| natural_unit(self.si, self.kind, UnitSystem::Si));
        f.write_str(&show_in(self.si, unit, digits::USUAL))
    }
}
