//! Wording, made in one place for every output.

use crate::{
    quantity::{Kind, UnitSystem, own_first, show_margin, show_pair},
    review::Value,
    rules::{Bound, Card, Side, Standing, Subject},
};

/// What a reader must bear in mind; printed with every review.
pub const CAUTIONS: &[&str] = &[
    "This review recommends; a responsible person decides and signs. It evaluates only what the plan shows.",
    "The local edition of a published code governs. Rules of thumb are labeled as common practice.",
    "Water and electricity kill. Energize nothing while anybody is in the water. The local code and a licensed \
    electrician decide.",
    "Walls collapse. A licensed engineer designs walls over the local permit height, walls with a load on or \
    behind them, and anything that carries a load.",
    "Trenches cave in without warning. Slope, shore or shield them before anybody enters. Call before digging and \
    wait for the marks.",
    "Small children drown silently in open water. Keep the barrier up from the first day of filling.",
];

/// A value and a limit as they are printed side by side.
pub(super) struct Pair {
    /// What was found.
    pub found: String,
    /// The limit alone, or what is required.
    limit: String,
    /// `at least` or `at most`; empty where something is said rather than measured.
    bound: &'static str,
    /// How far off.
    pub margin: Option<String>,
}

impl Pair {
    /// What is required: `at least 2 in`.
    pub fn required(&self) -> String {
        if self.bound.is_empty() {
            self.limit.clone()
        } else {
            format!("{} {}", self.bound, self.limit)
        }
    }
}

/// The two values of a standing as printed, and how far apart they are.
pub(super) fn pair(standing: &Standing, units: UnitSystem) -> Pair {
    match standing {
        Standing::Measured {
            found,
            stated,
            side,
            kind,
            ..
        } => {
            let limit = &stated_in(*stated, units);
            let (shown, limit_shown) = show_pair(*found, *limit, *kind, units);
            let bound = match side {
                Side::AtLeast => "at least",
                Side::AtMost => "at most",
            };
            Pair {
                found: shown,
                limit: limit_shown,
                bound,
                margin: Some(margin(*found, *limit, *side, *kind, units)),
            }
        }
        Standing::Said { found, required } => Pair {
            found: own_first(found, units),
            limit: own_first(required, units),
            bound: "",
            margin: None,
        },
    }
}

/// The limit as it is stated for readers of a system.
fn stated_in((us, si): (f64, f64), units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => us,
        UnitSystem::Si => si,
    }
}

/// How far a value is from its limit, and in per cent of the limit where that makes sense: a margin of a share is in
/// points of per cent already, a level has no natural zero, and from ten times the limit on per cent say nothing.
fn margin(found: f64, limit: f64, side: Side, kind: Kind, units: UnitSystem) -> String {
    let margin = side.margin(found, limit);
    let text = show_margin(margin, limit, kind, units);
    let share = (margin / limit).abs();
    if limit == 0.0 || share >= 10.0 || matches!(kind, Kind::Share | Kind::Level | Kind::Temperature) {
        return text;
    }
    let sign = if margin < 0.0 { "\u{2212}" } else { "+" };
    format!("{text} ({sign}{:.0} %)", share * 100.0)
}

/// The finding in one line: lower case, no full stop, value and limit both.
///
/// `place` is the place looked at in words; `compared` are the values a reader knows, where the figure compares two.
pub(super) fn headline(
    card: &Card,
    standing: &Standing,
    pair: &Pair,
    place: &str,
    compared: Option<&str>,
) -> String {
    let subject = card.asks.subject.title();
    let Pair { found, limit, .. } = pair;
    match (standing, &card.asks.subject) {
        (Standing::Measured { side, .. }, _) => {
            let against = match side {
                Side::AtLeast => "under",
                Side::AtMost => "over",
            };
            match compared {
                Some(values) => format!("{values}: {found}, {against} the {limit} limit"),
                None => format!("{subject} {found}, {against} the {limit} limit"),
            }
        }
        (Standing::Said { .. }, Subject::Figure(_)) => found.clone(),
        (Standing::Said { .. }, Subject::Field { .. })
            if matches!(card.asks.bound, Bound::Is(_) | Bound::Shown) =>
        {
            format!("{}: {found}", place.rsplit(" / ").next().unwrap_or(subject))
        }
        (Standing::Said { .. }, Subject::Field { .. }) => format!("{subject}: {found}; required: {limit}"),
    }
}

/// What was found and what is required, an arrow between them; lower case, no full stop.
///
/// `compared` are the values a reader knows, where the figure compares two.
pub(super) fn brief(card: &Card, standing: &Standing, pair: &Pair, compared: Option<&str>) -> String {
    let (found, required) = (&pair.found, pair.required());
    match (standing, compared) {
        (Standing::Measured { .. }, Some(values)) => format!("{values}: {found} → {required}"),
        (Standing::Measured { .. }, None) => {
            format!("{} {found} → {required}", card.asks.subject.title())
        }
        (Standing::Said { .. }, _) => format!("{found} → {required}"),
    }
}

/// What was found and what is required: as printed, and in SI where it is measured.
pub(super) fn values(standing: &Standing, units: UnitSystem) -> (Value, Value) {
    let pair = pair(standing, units);
    let (found, limit) = match standing {
        Standing::Measured { found, limit, .. } => (Some(*found), Some(*limit)),
        Standing::Said { .. } => (None, None),
    };
    let required = pair.required();
    let value = |text, si| Value { text, si };
    (value(pair.found, found), value(required, limit))
}

/// How a met rule stands, in short.
pub(super) fn standing(standing: &Standing, units: UnitSystem) -> String {
    let pair = pair(standing, units);
    match standing {
        Standing::Measured { .. } => format!("{}; {}", pair.found, pair.required()),
        Standing::Said { .. } => pair.found,
    }
}

/// A title as it stands in a sentence: its first letter lower, unless it is an abbreviation.
pub(super) fn in_sentence(title: &str) -> String {
    let mut chars = title.chars();
    match (chars.next(), chars.next()) {
        (Some(first), Some(second)) if first.is_uppercase() && !second.is_uppercase() => {
            first.to_lowercase().chain(title.chars().skip(1)).collect()
        }
        _ => title.to_owned(),
    }
}

/// The names of the first of a list, and how many more there are.
pub(super) fn first_named<T>(all: &[T], most: usize, name: impl Fn(&T) -> Option<String>) -> Vec<String> {
    let mut names: Vec<String> = all.iter().take(most).filter_map(name).collect();
    if all.len() > most {
        names.push(format!("{} more", all.len() - most));
    }
    names
}
