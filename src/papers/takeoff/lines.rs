//! Lines of the materials list: what is needed, what is ordered, and how that was worked out.

use crate::{
    quantity::{
        INCH, Kind, Unit, UnitSystem, agree, feet_inches, natural_unit, show_computed, show_computed_in,
    },
    read::Place,
    review::Review,
};

/// The part of the work that a material is for, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Phase {
    Dig,
    Lining,
    Pipes,
    Stone,
    Power,
    Water,
    Plants,
}

impl Phase {
    pub const ALL: [Self; 7] = [
        Self::Dig,
        Self::Lining,
        Self::Pipes,
        Self::Stone,
        Self::Power,
        Self::Water,
        Self::Plants,
    ];

    pub const fn title(self) -> &'static str {
        match self {
            Self::Dig => "Dig and backfill",
            Self::Lining => "Lining",
            Self::Pipes => "Pipes and pumps",
            Self::Stone => "Stone and modules",
            Self::Power => "Power",
            Self::Water => "Water",
            Self::Plants => "Plants",
        }
    }
}

/// What is ordered: so many of what it is sold by.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Order {
    pub amount: f64,
    pub sold_by: String,
}

/// One line.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub phase: Phase,
    /// What it is: the same words for the same goods, so that a price list finds it.
    pub item: String,
    /// What is needed, in words; why it is not known where there is no order.
    pub net: String,
    /// In SI, where it is one quantity.
    pub si: Option<f64>,
    pub order: Option<Order>,
    /// How it was worked out.
    pub worked: String,
}

/// A unit that goods are sold by, and the least step of an order.
#[derive(Clone, Copy)]
pub(super) struct SoldBy {
    pub unit: &'static Unit,
    pub step: f64,
}

impl SoldBy {
    /// Units and steps that trades of either system sell by (common practice).
    pub fn of(kind: Kind, units: UnitSystem) -> Self {
        let (symbol, step) = match (kind, units) {
            (Kind::Mass, UnitSystem::Us) => ("ton", 0.5),
            (Kind::Mass, UnitSystem::Si) => ("t", 0.5),
            (Kind::BulkVolume, UnitSystem::Us) => ("yd³", 0.5),
            (Kind::BulkVolume, UnitSystem::Si) => ("m³", 0.5),
            (Kind::Volume, UnitSystem::Us) => ("gal", 10.0),
            (Kind::Volume, UnitSystem::Si) => ("m³", 0.1),
            (Kind::Area, UnitSystem::Us) => ("ft²", 10.0),
            (Kind::Area, UnitSystem::Si) => ("m²", 1.0),
            (_, UnitSystem::Us) => ("ft", 1.0),
            (_, UnitSystem::Si) => ("m", 0.5),
        };
        Self {
            unit: unit(kind, symbol),
            step,
        }
    }

    /// The same in other steps.
    pub const fn in_steps(self, step: f64) -> Self {
        Self { step, ..self }
    }

    /// The order of a quantity, rounded up to a step.
    pub fn order(self, si: f64) -> Order {
        Order {
            amount: rounded_up(self.unit.from_si(si), self.step),
            sold_by: self.unit.symbol.to_owned(),
        }
    }

    /// A quantity in this unit.
    pub fn show(self, si: f64) -> String {
        show_computed_in(si, self.unit)
    }
}

/// Up to the next step; what stands on one but for rounding stays.
pub(super) fn rounded_up(value: f64, step: f64) -> f64 {
    let steps = (value / step - 1e-6).ceil().max(0.0);
    let rounded = steps * step;
    // A step of a tenth leaves no trail of figures.
    (rounded * 1e6).round() / 1e6
}

/// Pieces of a count.
pub(super) fn pieces(count: f64) -> Order {
    Order {
        amount: count,
        sold_by: "each".to_owned(),
    }
}

/// A figure of the review with how it was worked out.
pub(super) struct FigureFound {
    /// Its value in SI; none where it has none.
    pub si: Option<f64>,
    /// The object it belongs to, in words.
    pub object: String,
    /// How it was worked out, or why it was not.
    pub worked: String,
}

impl FigureFound {
    /// How it was worked out, with its object.
    pub fn line(self) -> String {
        format!("{}: {}", self.object, self.worked)
    }
}

/// A figure of an object, from the review.
pub(super) fn figure(review: &Review, object: &Place, name: &str) -> Option<FigureFound> {
    let line = review
        .figures
        .iter()
        .find(|line| line.name == name && line.object == *object)?;
    let si = line.value.as_ref().and_then(|value| value.si);
    let worked = line
        .worked
        .as_ref()
        .or(line.gap.as_ref())
        .cloned()
        .unwrap_or_default();
    Some(FigureFound {
        si,
        object: line.object_name.clone(),
        worked,
    })
}

/// A computed value in its natural unit.
pub(super) fn natural(si: f64, kind: Kind, units: UnitSystem) -> String {
    show_computed(si, kind, units)
}

/// A size of stone: in inches to 1/8 in where it is one of those, as sieves are marked.
pub(super) fn stone_size(si: f64, units: UnitSystem) -> String {
    let eighth = INCH / 8.0;
    if units == UnitSystem::Us && agree((si / eighth).round() * eighth, si) {
        feet_inches(si)
    } else {
        natural(si, Kind::Length, units)
    }
}

/// A unit of a kind by its symbol, else the natural one.
pub(super) fn unit(kind: Kind, symbol: &str) -> &'static Unit {
    Unit::find(kind, symbol).unwrap_or_else(|| natural_unit(1.0, kind, UnitSystem::Us))
}
