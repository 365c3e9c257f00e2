//! House rules: what a firm makes of the library, rule by rule.

use super::{
    bound::{Bound, Limit},
    card::{Card, Example, Severity},
};
use crate::read::Span;

/// A rule as a house has it.
#[derive(Clone, Debug)]
pub struct HouseRule {
    /// The rule as it now stands; as it stood, where it is switched off.
    pub card: Card,
    /// What the house does.
    pub effect: Effect,
    /// What the rule asked before, with its severity; empty for a rule of the house's own.
    pub was: String,
    /// What it asks now; empty where it is switched off.
    pub now: String,
    /// Whether it asks less than a published code.
    pub loosens_code: bool,
    /// Why, in the house's words.
    pub reason: String,
    /// Levers that no rule offers any more, in words.
    pub without: Vec<String>,
    /// Examples that come with the change, over the sound plan.
    pub examples: Vec<Example>,
    /// Where it stands.
    pub span: Span,
}

/// What a house does to a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Adds it.
    New,
    /// Asks more than the library.
    Tighter,
    /// Asks less than the library.
    Looser,
    /// Asks something else.
    Other,
    /// Switches it off.
    Off,
}

impl Effect {
    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "the house’s own",
            Self::Tighter => "tighter",
            Self::Looser => "looser",
            Self::Other => "changed",
            Self::Off => "switched off",
        }
    }

    /// What a changed limit and a changed severity come to together.
    pub(super) fn of(before: &Card, after: &Card) -> Self {
        match (
            of_bounds(&before.asks.bound, &after.asks.bound),
            of_severities(before.severity, after.severity),
        ) {
            (one, None) | (None, one) => one.unwrap_or(Self::Other),
            (Some(limit), Some(severity)) if limit == severity => limit,
            _ => Self::Other,
        }
    }
}

fn of_severities(before: Severity, after: Severity) -> Option<Effect> {
    match after.cmp(&before) {
        std::cmp::Ordering::Less => Some(Effect::Tighter),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(Effect::Looser),
    }
}

/// What a limit comes to in place of another of the same bound; nothing where they are one.
pub(super) fn of_bounds(before: &Bound, after: &Bound) -> Option<Effect> {
    let sides = match (before, after) {
        (Bound::AtLeast(before, _), Bound::AtLeast(after, _)) => vec![more(before, after)],
        (Bound::AtMost(before, _), Bound::AtMost(after, _)) => vec![more(after, before)],
        (Bound::Between(low, high, _), Bound::Between(new_low, new_high, _)) => {
            vec![more(low, new_low), more(new_high, high)]
        }
        (Bound::OneOf(before), Bound::OneOf(after)) => {
            let fewer = after.iter().all(|word| before.contains(word));
            let as_many = before.iter().all(|word| after.contains(word));
            return match (fewer, as_many) {
                (true, true) => None,
                (true, false) => Some(Effect::Tighter),
                (false, true) => Some(Effect::Looser),
                (false, false) => Some(Effect::Other),
            };
        }
        _ => return None,
    };
    let mut changed = sides.into_iter().flatten();
    let first = changed.next()?;
    Some(if changed.all(|side| side == first) {
        first
    } else {
        Effect::Other
    })
}

/// Tighter where the second asks for more than the first.
fn more(first: &Limit, second: &Limit) -> Option<Effect> {
    match (first, second) {
        (Limit::Fixed { si: first, .. }, Limit::Fixed { si: second, .. }) if first == second => None,
        (Limit::Fixed { si: first, .. }, Limit::Fixed { si: second, .. }) => Some(if second > first {
            Effect::Tighter
        } else {
            Effect::Looser
        }),
        _ => Some(Effect::Other),
    }
}

/// Severity and what is asked, in a few words.
pub(super) fn asked(card: &Card) -> String {
    format!("{}, {}", card.severity.word(), card.asks.bound)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Kind;

    fn fixed(si: f64) -> Limit {
        Limit::Fixed {
            si,
            metric: si,
            written: si.to_string(),
        }
    }

    #[test]
    fn a_limit_is_tighter_where_it_lets_less_pass() {
        let at_least = |si| Bound::AtLeast(fixed(si), Kind::Length);
        let at_most = |si| Bound::AtMost(fixed(si), Kind::Length);
        let between = |low, high| Bound::Between(fixed(low), fixed(high), Kind::Length);
        let words = |words: &[&str]| Bound::OneOf(words.iter().map(|&word| word.to_owned()).collect());
        for (before, after, effect) in [
            (at_least(1.0), at_least(2.0), Some(Effect::Tighter)),
            (at_least(1.0), at_least(0.5), Some(Effect::Looser)),
            (at_most(1.0), at_most(2.0), Some(Effect::Looser)),
            (at_most(1.0), at_most(1.0), None),
            (between(1.0, 2.0), between(1.2, 2.0), Some(Effect::Tighter)),
            (between(1.0, 2.0), between(1.2, 1.8), Some(Effect::Tighter)),
            (between(1.0, 2.0), between(0.5, 2.5), Some(Effect::Looser)),
            (between(1.0, 2.0), between(1.5, 2.5), Some(Effect::Other)),
            (words(&["a", "b"]), words(&["a"]), Some(Effect::Tighter)),
            (words(&["a"]), words(&["b", "a"]), Some(Effect::Looser)),
            (words(&["a"]), words(&["b"]), Some(Effect::Other)),
        ] {
            assert_eq!(of_bounds(&before, &after), effect, "{before} -> {after}");
        }
    }
}
