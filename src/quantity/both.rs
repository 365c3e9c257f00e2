//! Words that give a value in both systems, `12 in (300 mm)`, turned so that the reader's own comes first.

use super::{INCH, Kind, Unit, UnitSystem, agree, show_computed, show_level};

/// The units of the table that are not metric.
const US: &[&str] = &[
    "in", "ft", "yd", "mil", "in²", "ft²", "acre", "gal", "ft³", "yd³", "gph", "gpm", "ft/s", "in/s", "mph",
    "gpm/ft²", "gpm/ft", "oz", "lb", "ton", "oz/yd²", "lb/ft²", "lb/ft³", "psi", "psf", "°F", "in/h",
];

/// The text, each value given in both systems with the one in `units` first: `300 mm (12 in)`. The rest stays as it is.
pub fn own_first(text: &str, units: UnitSystem) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(" (") {
        let pair = after
            .split_once(')')
            .and_then(|(inner, tail)| Some((turned(before, inner, units)?, tail)));
        if let Some((turned, tail)) = pair {
            out.push_str(&turned);
            rest = tail;
        } else {
            out.push_str(before);
            out.push_str(" (");
            rest = after;
        }
    }
    out + rest
}

/// An inch as metric crews round it, m.
const TRADE_INCH: f64 = 0.025;

/// A length in both systems, `18 in (450 mm)`: where it is even in one, the other is the size that the trade takes for
/// it, 25 mm for an inch; else both are exact.
pub fn both_trade_lengths(si: f64) -> String {
    let even = |step: f64| agree((si / step).round() * step, si);
    let (us, metric) = if even(INCH / 4.0) {
        (si, si / INCH * TRADE_INCH)
    } else if even(0.005) {
        (si / TRADE_INCH * INCH, si)
    } else {
        (si, si)
    };
    let us = show_computed(us, Kind::Length, UnitSystem::Us);
    format!("{us} ({})", show_computed(metric, Kind::Length, UnitSystem::Si))
}

/// A level in both systems, `−14.25 in (−362 mm)`.
pub fn both_levels(si: f64) -> String {
    let us = show_level(si, UnitSystem::Us);
    format!("{us} ({})", show_level(si, UnitSystem::Si))
}

/// `at least 12 in` and `300 mm` as `at least 300 mm (12 in)`; none unless that is one quantity in the two systems,
/// the other system first.
fn turned(before: &str, inner: &str, units: UnitSystem) -> Option<String> {
    let (lead, first) = measure_at_end(before)?;
    let (nothing, second) = measure_at_end(inner)?;
    let turn = nothing.is_empty()
        && system(second.unit) == units
        && system(first.unit) != units
        && same_kind(first.unit, second.unit);
    turn.then(|| format!("{lead}{} ({})", second.text, first.text))
}

/// A value or a range with its unit.
struct MeasureText<'t> {
    text: &'t str,
    unit: &'t str,
}

/// The value that a text ends with, and what stands before it: `at least ` and `3/4 to 2 in`.
fn measure_at_end(text: &str) -> Option<(&str, MeasureText<'_>)> {
    let (numbers, unit) = text.rsplit_once(' ')?;
    let (before, number) = last_word(numbers);
    if !is_number(number) {
        return None;
    }
    let low = before.strip_suffix(" to ").map(last_word);
    let lead = low
        .filter(|(_, low)| is_number(low))
        .map_or(before, |(lead, _)| lead);
    let text = text.strip_prefix(lead)?;
    Some((lead, MeasureText { text, unit }))
}

/// The last word, and what stands before it, blank and all.
fn last_word(text: &str) -> (&str, &str) {
    text.split_at(text.rfind(' ').map_or(0, |blank| blank + 1))
}

fn is_number(word: &str) -> bool {
    let digits = |c: char| c.is_ascii_digit();
    word.contains(digits) && word.chars().all(|c| digits(c) || ".,/-\u{2212}+".contains(c))
}

fn system(unit: &str) -> UnitSystem {
    if US.contains(&unit) {
        UnitSystem::Us
    } else {
        UnitSystem::Si
    }
}

fn same_kind(a: &str, b: &str) -> bool {
    let both = |kind| Unit::find(kind, a).is_some() && Unit::find(kind, b).is_some();
    Kind::ALL.into_iter().any(both)
}

#[cfg(test)]
mod tests {
    use super::{UnitSystem::*, *};

    #[test]
    fn the_readers_own_value_comes_first() {
        for (us, metric) in [
            (
                "at least 12 in (300 mm) all round",
                "at least 300 mm (12 in) all round",
            ),
            ("3/8 to 2 in (10 to 50 mm)", "10 to 50 mm (3/8 to 2 in)"),
            (
                "5 °F (2.8 °C) colder or 7 °F (3.9 °C) warmer",
                "2.8 °C (5 °F) colder or 3.9 °C (7 °F) warmer",
            ),
            (
                "stated (under 4 ft (1.2 m) deep)",
                "stated (under 1.2 m (4 ft) deep)",
            ),
            ("12 in (300 mm)", "300 mm (12 in)"),
            ("2.9 gpm/ft² (7.1 m/h)", "7.1 m/h (2.9 gpm/ft²)"),
        ] {
            assert_eq!(own_first(us, Si), metric);
            assert_eq!(own_first(metric, Us), us);
            assert_eq!(own_first(us, Us), us);
            assert_eq!(own_first(metric, Si), metric);
        }
    }

    #[test]
    fn a_length_is_told_in_the_sizes_of_the_trade() {
        for (si, told) in [
            (0.4572, "18 in (450 mm)"),
            (0.3, "12 in (300 mm)"),
            (0.1524, "6 in (150 mm)"),
            (0.1778, "7 in (175 mm)"),
            (0.1834, "7.22 in (183 mm)"),
        ] {
            assert_eq!(both_trade_lengths(si), told);
        }
    }

    #[test]
    fn a_level_in_both_systems_can_be_turned() {
        let told = both_levels(-0.762);
        assert_eq!(told, "\u{2212}30 in (\u{2212}762 mm)");
        assert_eq!(own_first(&told, Si), "\u{2212}762 mm (\u{2212}30 in)");
    }

    #[test]
    fn what_is_no_value_in_both_systems_stays() {
        for text in [
            "4 lb in 1,000 gal (0.5 kg/m³)",
            "koi (24 in, others 18 in)",
            "a cubic yard (0.76 m³)",
            "1-1/2 in pipe (common practice)",
            "12 in (300 mm",
            "2 in (50 mm or so)",
            " (",
            "",
        ] {
            assert_eq!(own_first(text, Si), text);
        }
    }

    #[test]
    fn every_unit_listed_is_one_of_the_table() {
        assert!(US.iter().all(|symbol| Unit::find_any(symbol).is_some()));
    }
}
