//! A value of the plan that a cure may change: what it is now, and the round values it can take.

use crate::{
    formulas::{
        conductor::{Conductor, Metal},
        pipe_table,
    },
    quantity::{Kind, Quantity, UnitSystem, natural_unit, show_level},
    read::{Node, Place, Value},
    review::ReviewContext,
    rules::Direction,
};

/// A value that may be increased, or one that may be decreased.
pub(super) struct AdjustableValue {
    direction: Direction,
    marks: Marks,
    now: String,
}

/// Flows of another pump as shares of those of the plan's own.
const MORE_PUMP: [&str; 8] = [
    "105 %", "110 %", "120 %", "135 %", "150 %", "175 %", "200 %", "250 %",
];
const LESS_PUMP: [&str; 8] = ["95 %", "90 %", "80 %", "70 %", "60 %", "50 %", "40 %", "30 %"];
/// Heads of another pump as shares of those of the plan's own: more flow alone lifts no higher.
const MORE_HEAD: [&str; 5] = [
    "120 % head",
    "150 % head",
    "200 % head",
    "300 % head",
    "400 % head",
];
/// Sizes of pipe that are tried.
const SIZES: usize = 5;
/// Outside diameters of metric plastic pipe, mm (ISO 161-1, from memory).
const OUTSIDES: [u16; 16] = [
    16, 20, 25, 32, 40, 50, 63, 75, 90, 110, 125, 140, 160, 180, 200, 225,
];
/// Common sizes of conductor.
const GAUGES: [u8; 8] = [14, 12, 10, 8, 6, 4, 2, 1];
const SQUARES: [&str; 8] = ["1.5", "2.5", "4", "6", "10", "16", "25", "35"];
/// A length that is short or nought grows from here, m.
const SHORT: f64 = 0.05;

/// What it can be set to.
enum Marks {
    /// Any multiple of a step, in the unit people write: a quantity of this kind.
    Quantity { now: f64, kind: Kind, units: UnitSystem },
    /// Whole numbers.
    Count { now: f64 },
    /// These texts, in the order they are come to.
    Sizes(Vec<String>),
}

impl AdjustableValue {
    /// The adjustable value at a place of the plan; none where the plan does not show a number or size there.
    pub fn of(context: &ReviewContext<'_>, place: &Place, direction: Direction) -> Option<Self> {
        let node = context.tree.root.at(place)?;
        let units = context.units;
        let (marks, now) = match &node.value {
            Value::Number(raw) => (
                Marks::Count {
                    now: raw.parse().ok()?,
                },
                raw.clone(),
            ),
            Value::Text(text) if text == "none" => return None,
            Value::Text(text) => {
                let sizes = sizes(context, place, text, direction);
                let marks = if let Some(sizes) = sizes.or_else(|| conductors(place, text, direction)) {
                    Marks::Sizes(sizes)
                } else {
                    let kind = context.book.field_at(place)?.kind?;
                    let now = Quantity::parse(text, kind).ok()?.si;
                    Marks::Quantity { now, kind, units }
                };
                (marks, text.clone())
            }
            // A pump curve as a whole: another pump, with so much more or less flow at each head.
            Value::List(_) if place.parts().last().as_deref() == Some("curve") => {
                let shares: Vec<&str> = match direction {
                    Direction::More => MORE_PUMP.into_iter().chain(MORE_HEAD).collect(),
                    Direction::Less => LESS_PUMP.to_vec(),
                };
                (
                    Marks::Sizes(shares.into_iter().map(str::to_owned).collect()),
                    "100 %".to_owned(),
                )
            }
            _ => return None,
        };
        Some(Self {
            direction,
            marks,
            now,
        })
    }

    /// The next settings to try, in order, where only some exist.
    pub fn few(&self) -> Option<&[String]> {
        match &self.marks {
            Marks::Sizes(sizes) => Some(sizes),
            _ => None,
        }
    }

    /// A setting this far on from where it stands: a share of it, or for a level so many times 8 in (200 mm).
    pub fn onward(&self, share: f64) -> f64 {
        let toward = match self.direction {
            Direction::More => share,
            Direction::Less => -share,
        };
        match &self.marks {
            Marks::Quantity {
                now,
                kind: Kind::Level,
                ..
            } => now + 0.2 * toward,
            Marks::Quantity {
                now,
                kind: Kind::Length,
                ..
            } if self.direction == Direction::More => now + share * now.max(SHORT),
            Marks::Quantity { now, .. } | Marks::Count { now } => match self.direction {
                Direction::More => now * (1.0 + share),
                Direction::Less => now / (1.0 + share),
            },
            Marks::Sizes(_) => 0.0,
        }
    }

    /// The distance between marks near a setting, in SI.
    pub fn step(&self, near: f64) -> f64 {
        match &self.marks {
            Marks::Quantity { kind, units, .. } => step(near, *kind, *units),
            Marks::Count { .. } | Marks::Sizes(_) => 1.0,
        }
    }

    /// The first mark at or beyond a setting, so many marks further on, as it is printed and as a plan may write it.
    pub fn mark(&self, setting: f64, further: u8) -> String {
        let step = self.step(setting);
        // A setting that stands on a mark but for rounding stays there.
        let steps = match self.direction {
            Direction::More => (setting / step - 1e-6).ceil() + f64::from(further),
            Direction::Less => (setting / step + 1e-6).floor() - f64::from(further),
        };
        self.shown(&self.text(steps * step))
    }

    /// A setting as a plan may write it, to the last digit.
    pub fn text(&self, setting: f64) -> String {
        match &self.marks {
            Marks::Quantity {
                kind: Kind::Level, ..
            } => format!("{setting} m"),
            Marks::Quantity { kind, units, .. } => {
                let unit = natural_unit(setting, *kind, *units);
                format!("{} {}", unit.from_si(setting), unit.symbol)
            }
            Marks::Count { .. } => format!("{setting:.0}"),
            Marks::Sizes(_) => String::new(),
        }
    }

    /// A setting as it is printed.
    pub fn shown(&self, text: &str) -> String {
        match &self.marks {
            Marks::Quantity { kind, units, .. } => match Quantity::parse(text, *kind) {
                Ok(quantity) if *kind == Kind::Level => show_level(quantity.si, *units),
                Ok(quantity) => quantity.show(*units),
                Err(_) => text.to_owned(),
            },
            Marks::Count { .. } | Marks::Sizes(_) => text.to_owned(),
        }
    }

    /// Where it stands, as it is printed.
    pub fn shown_now(&self) -> String {
        self.shown(&self.now)
    }
}

/// The distance between the round values of a kind near a value, in SI.
fn step(near: f64, kind: Kind, units: UnitSystem) -> f64 {
    let length = if kind == Kind::Level { Kind::Length } else { kind };
    let unit = natural_unit(near, length, units);
    let value = unit.from_si(near).abs();
    let step = match unit.symbol {
        "in" if value < 12.0 => 0.25,
        "in" if value < 24.0 => 0.5,
        "in" => 1.0,
        "mm" if value < 200.0 => 5.0,
        "mm" => 10.0,
        _ => 10f64.powf(value.max(1e-9).log10().floor() - 1.0),
    };
    unit.to_si(step) - unit.to_si(0.0)
}

/// The round value of a kind nearest to a value, as a plan may write it.
pub(in crate::review) fn rounded(si: f64, kind: Kind, units: UnitSystem) -> String {
    let step = step(si, kind, units);
    let round = (si / step).round() * step;
    match kind {
        Kind::Level => show_level(round, units),
        _ => Quantity::si(round, kind).show(units),
    }
}

/// The metric sizes on from that of a pipe whose bore the plan gives.
fn bored_sizes(
    context: &ReviewContext<'_>,
    pipe: &Place,
    text: &str,
    direction: Direction,
) -> Option<Vec<String>> {
    context.tree.root.at(&pipe.child("inside"))?.text()?;
    let now: f64 = text.strip_suffix(" mm")?.parse().ok()?;
    let mut sizes = OUTSIDES.to_vec();
    sizes.retain(|size| match direction {
        Direction::More => f64::from(*size) > now,
        Direction::Less => f64::from(*size) < now,
    });
    if direction == Direction::Less {
        sizes.reverse();
    }
    sizes.truncate(SIZES);
    Some(sizes.into_iter().map(|size| format!("{size} mm")).collect())
}

/// The sizes of conductor on from a plain one; none for a cable with a designation of its own, and for none at all.
fn conductors(place: &Place, text: &str, direction: Direction) -> Option<Vec<String>> {
    if place.parts().last().as_deref() != Some("conductor") || direction == Direction::Less {
        return None;
    }
    let now = Conductor::parse(text)?;
    let lower = text.to_lowercase();
    let (gauge, metric) = (
        lower.contains("awg"),
        lower.contains("mm2") || lower.contains("mm²"),
    );
    let metal = match now.metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
    };
    let sizes: Vec<String> = if gauge {
        GAUGES.map(|size| format!("{size} AWG {metal}")).to_vec()
    } else if metric {
        SQUARES.map(|size| format!("{size} mm² {metal}")).to_vec()
    } else {
        return None;
    };
    let larger = |size: &String| Conductor::parse(size).is_some_and(|other| other.area > 1.001 * now.area);
    Some(sizes.into_iter().filter(larger).take(SIZES).collect())
}

/// The published sizes of a pipe on from its own; none for what is no pipe of a published class.
fn sizes(
    context: &ReviewContext<'_>,
    place: &Place,
    text: &str,
    direction: Direction,
) -> Option<Vec<String>> {
    if place.parts().last().as_deref() != Some("size") {
        return None;
    }
    let pipe = place.parent()?;
    let class = context.tree.root.at(&pipe.child("class")).and_then(Node::text);
    let Some((class, now)) = class.zip(pipe_table::nominal_size(text)) else {
        return bored_sizes(context, &pipe, text, direction);
    };
    let Ok(mut sizes) = pipe_table::sizes(class) else {
        return bored_sizes(context, &pipe, text, direction);
    };
    sizes.retain(|size| match direction {
        Direction::More => *size > now + 1e-6,
        Direction::Less => *size < now - 1e-6,
    });
    if direction == Direction::Less {
        sizes.reverse();
    }
    sizes.truncate(SIZES);
    Some(sizes.into_iter().map(pipe_table::size_text).collect())
}
