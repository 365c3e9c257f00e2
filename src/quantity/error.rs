//! What is wrong with a text that should be a quantity.

use std::fmt;

use super::{Kind, Unit, spelling::SPELLINGS};

/// The longest text that is read as a quantity, in characters.
pub(super) const LONGEST: usize = 200;

/// The largest SI value that is read as a quantity: beyond it no feature of any kind exists, and products of
/// values below it stay finite.
pub(super) const LARGEST: f64 = 1e12;

/// A text that is not a quantity of the kind wanted. Its message says what is wrong, [`help`](Self::help)
/// what is accepted.
#[derive(Clone, Debug, PartialEq)]
pub struct QuantityError {
    /// What was due.
    pub wanted: Kind,
    /// What is wrong.
    pub fault: Fault,
}

/// What is wrong with a text that should be a quantity.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// A number without a unit.
    BareNumber {
        /// The number as written.
        text: String,
    },
    /// A quantity of another kind.
    WrongKind {
        /// The text.
        text: String,
        /// What it is a quantity of.
        found: Kind,
    },
    /// A unit in no accepted spelling.
    UnknownUnit {
        /// The unit as written.
        text: String,
        /// The nearest unit of the kind wanted.
        nearest: Option<&'static str>,
    },
    /// No number, or a malformed one.
    NotANumber {
        /// The text.
        text: String,
    },
    /// A number beyond any use.
    TooLarge {
        /// The text.
        text: String,
    },
    /// A value the kind cannot have, such as one below absolute zero.
    Impossible {
        /// The text.
        text: String,
        /// Why not.
        why: &'static str,
    },
    /// A text too long to be a quantity.
    TooLong {
        /// Its length in characters.
        characters: usize,
    },
}

impl Fault {
    /// The fault of a unit that `wanted` does not have: another kind's, or nobody's.
    pub(super) fn unit(wanted: Kind, whole: &str, unit: &str) -> Self {
        match Unit::find_any(unit) {
            Some(other) => Self::WrongKind {
                text: excerpt(whole),
                found: other.kind,
            },
            None => Self::UnknownUnit {
                text: excerpt(unit),
                nearest: nearest(wanted, unit),
            },
        }
    }
}

impl QuantityError {
    /// What is accepted instead, with the nearest right unit where there is one.
    pub fn help(&self) -> String {
        let wanted = self.wanted;
        let accepted = accepted(wanted);
        match &self.fault {
            Fault::UnknownUnit {
                nearest: Some(unit), ..
            } => format!("did you mean `{unit}`? {accepted}"),
            Fault::BareNumber { text } => match Unit::of(wanted).next() {
                Some(unit) if wanted != Kind::Slope => {
                    format!("perhaps `{text} {}`? {accepted}", unit.symbol)
                }
                _ => accepted,
            },
            Fault::NotANumber { text } if text.contains(',') => {
                format!("a comma only sets off thousands, decimals follow a point; {accepted}")
            }
            _ => accepted,
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wanted = self.wanted.name();
        match &self.fault {
            Fault::BareNumber { text } => write!(f, "`{text}` has no unit; expected {wanted}"),
            Fault::WrongKind { text, found } => {
                write!(f, "`{text}` is {}; expected {wanted}", found.name())
            }
            Fault::UnknownUnit { text, .. } => write!(f, "`{text}` is not a unit of {wanted}"),
            Fault::NotANumber { text } => write!(f, "`{text}` is not one number with its unit"),
            Fault::TooLarge { text } => write!(f, "`{text}` is too large to be {wanted}"),
            Fault::Impossible { text, why } => write!(f, "`{text}` cannot be {wanted}: {why}"),
            Fault::TooLong { characters } => {
                write!(
                    f,
                    "{characters} characters are too many for {wanted} (at most {LONGEST})"
                )
            }
        }
    }
}

impl std::error::Error for QuantityError {}

/// How a kind is written: its units and examples.
fn accepted(kind: Kind) -> String {
    let examples = kind
        .unit_examples()
        .iter()
        .map(|example| format!("`{example}`"))
        .collect::<Vec<_>>()
        .join(", ");
    let units: Vec<&str> = Unit::of(kind)
        .map(|unit| unit.symbol)
        .filter(|symbol| !symbol.is_empty())
        .collect();
    match kind {
        Kind::Slope => format!("a slope is written horizontal to vertical or as a grade, such as {examples}"),
        Kind::Ratio | Kind::Share => format!("{} is a plain number or %, such as {examples}", kind.name()),
        Kind::Money => format!("{} is a plain number, such as {examples}", kind.name()),
        _ => format!(
            "{} is given in {}, such as {examples}",
            kind.name(),
            units.join(", ")
        ),
    }
}

/// The symbol of the unit of `kind` whose symbol or spelling is nearest to `text`, if any is near. One that
/// differs in case alone is no guide: it was refused because its case leaves a doubt.
fn nearest(kind: Kind, text: &str) -> Option<&'static str> {
    let typed = |text: &str| {
        text.to_lowercase()
            .replace('²', "2")
            .replace('³', "3")
            .replace('µ', "u")
    };
    let text: String = typed(text).chars().take(40).collect();
    let length = text.chars().count();
    let symbols = Unit::of(kind).map(|unit| (unit.symbol, unit.symbol));
    let spellings = SPELLINGS.iter().flat_map(|(canonical, spellings)| {
        Unit::find(kind, canonical)
            .into_iter()
            .flat_map(|unit| spellings.iter().map(move |spelling| (*spelling, unit.symbol)))
    });
    symbols
        .chain(spellings)
        .map(|(name, symbol)| (strsim::damerau_levenshtein(&text, &typed(name)), symbol))
        .filter(|(distance, symbol)| {
            (1..length.min(length.div_ceil(3) + 1)).contains(distance) && !symbol.is_empty()
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, symbol)| symbol)
}

/// A text short and harmless enough to be printed in a message.
pub(super) fn excerpt(text: &str) -> String {
    const MOST: usize = 40;
    let clean = text
        .trim()
        .chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c });
    let short: String = clean.clone().take(MOST).collect();
    if clean.count() > MOST {
        short + "…"
    } else {
        short
    }
}
