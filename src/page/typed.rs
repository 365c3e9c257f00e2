//! What a user types, as a plan writes it; and what a plan writes, as it is understood.

use serde_json::Value as Json;

use crate::{
    check::{Field, Shape},
    quantity::{INCH, Kind, Quantity, UnitSystem, feet_inches, show},
};

/// What was typed into a field, as a plan writes it. What the field does not take is kept as it was typed.
pub fn typed(field: Option<&Field>, text: &str) -> Json {
    let text = text.trim();
    let shape = field.map_or(Shape::Text, |field| field.shape);
    match (shape, text) {
        (Shape::YesNo, "yes") => Json::Bool(true),
        (Shape::YesNo, "no") => Json::Bool(false),
        (Shape::Number | Shape::Whole, _) => text
            .parse::<serde_json::Number>()
            .map_or_else(|_| Json::from(text), Json::Number),
        (Shape::OneOrSeveral, _) if text.contains(',') => text
            .split(',')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(Json::from)
            .collect(),
        _ => Json::from(text),
    }
}

/// A text about how the file is written, for people who don't see the file: lists without brackets and quotes, words and
/// values in the quotes of print.
pub fn plain(text: &str) -> String {
    let text = [",", ""].iter().fold(text.to_owned(), |text, comma| {
        let ends = [".", ",", ":", ";"].iter();
        ends.fold(text, |text, end| {
            text.replace(&format!("{comma} by id{end}"), end)
        })
    });
    let text = text.replace("; false ", "; no ");
    if text.contains("[[") {
        let text = text.replace("], [", "; ");
        return text.replace("\", \"", " at ").replace(['[', ']', '"'], "");
    }
    if text.contains("{\"") {
        return text.replace(['{', '}', '"'], "");
    }
    let mut opened = false;
    let quoted = |c: char| {
        if !matches!(c, '"' | '`') {
            return c;
        }
        opened = !opened;
        if opened { '“' } else { '”' }
    };
    text.chars().map(quoted).collect()
}

/// How a quantity is understood, where that is not what was typed.
pub fn understood(text: &str, kind: Kind, units: UnitSystem) -> Option<String> {
    let quantity = Quantity::parse(text, kind).ok()?;
    if matches!(kind, Kind::Length | Kind::Level) && is_plain(text, units) {
        return None;
    }
    let told = match (kind, units) {
        (Kind::Length | Kind::Level, UnitSystem::Us) if quantity.si.abs() >= 12.0 * INCH - 1e-9 => {
            let told = feet_inches(quantity.si);
            if kind == Kind::Level && quantity.si > 0.0 {
                format!("+{told}")
            } else {
                told
            }
        }
        (Kind::Level, _) => crate::quantity::show_level(quantity.si, units),
        _ => show(quantity.si, kind, units),
    };
    let plain = |text: &str| {
        text.replace(['\u{2212}', '–'], "-")
            .replace([' ', '\u{a0}', ',', '+'], "")
    };
    (plain(&told) != plain(text)).then_some(told)
}

/// Whether a length is one number with a unit of the reader's own system.
fn is_plain(text: &str, units: UnitSystem) -> bool {
    let own: &[&str] = match units {
        UnitSystem::Us => &["in", "ft"],
        UnitSystem::Si => &["mm", "cm", "m"],
    };
    let number = |text: &str| text.chars().all(|c| c.is_ascii_digit() || "+-.,".contains(c));
    let parted = text.trim().split_once(' ');
    parted.is_some_and(|(value, unit)| number(value) && own.contains(&unit.trim()))
}

/// The step that dragged values snap to, m: 1/4 in or 5 mm.
pub const fn snap(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => INCH / 4.0,
        UnitSystem::Si => 0.005,
    }
}

/// A height on the snap, as a plan writes it: a level with its sign.
pub fn snapped(si: f64, kind: Kind, units: UnitSystem) -> String {
    let step = snap(units);
    let steps = (si / step).round();
    let steps = if kind == Kind::Level {
        steps
    } else {
        steps.max(1.0)
    };
    height(steps * step, kind, units)
}

/// A height as a plan writes it, to 1/8 in or 1 mm.
pub fn height(si: f64, kind: Kind, units: UnitSystem) -> String {
    let text = match units {
        UnitSystem::Us => feet_inches(si),
        UnitSystem::Si => {
            let millimetres = (si * 1000.0).round() + 0.0;
            if millimetres.abs() < 1000.0 {
                format!("{millimetres} mm")
            } else {
                format!("{} m", millimetres / 1000.0)
            }
        }
    };
    let text = text.replace('\u{2212}', "-").replace('\u{a0}', " ");
    if kind == Kind::Level && si > 1e-9 {
        format!("+{text}")
    } else {
        text
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_dragged_level_snaps_and_reads_back_the_same() {
        for (si, us, metric) in [
            (-14.3 * INCH, "-1 ft 2-1/4 in", "-365 mm"),
            (10.0 * INCH, "+10 in", "+255 mm"),
            (-66.1 * INCH, "-5 ft 6 in", "-1.68 m"),
            (0.0, "0 in", "0 mm"),
        ] {
            for (units, written) in [(UnitSystem::Us, us), (UnitSystem::Si, metric)] {
                let text = snapped(si, Kind::Level, units);
                assert_eq!(text, written);
                let read = Quantity::parse(&text, Kind::Level).unwrap().si;
                assert!((read - si).abs() <= snap(units) / 2.0 + 1e-9, "{text}: {read}");
            }
        }
        assert_eq!(snapped(-1.0, Kind::Length, UnitSystem::Us), "1/4 in");
    }

    #[test]
    fn notes_on_the_file_read_as_notes_on_the_form() {
        assert_eq!(
            plain("by name: {\"90 elbow\": 3, \"ball valve\": 1}"),
            "by name: 90 elbow: 3, ball valve: 1"
        );
        assert_eq!(plain("\"none\" where it is dry"), "“none” where it is dry");
        assert_eq!(
            plain("Ledges, by id. Circuits by id: all"),
            "Ledges. Circuits: all"
        );
        assert_eq!(
            plain("rain falls on it; false under a roof"),
            "rain falls on it; no under a roof"
        );
        assert_eq!(
            plain("`4` has no unit; perhaps `4 in`?"),
            "“4” has no unit; perhaps “4 in”?"
        );
        assert_eq!(
            plain("pairs: [[\"0 gph\", \"18 ft\"], [\"2000 gph\", \"14 ft\"]]"),
            "pairs: 0 gph at 18 ft; 2000 gph at 14 ft"
        );
    }

    #[test]
    fn what_is_typed_is_echoed_where_it_reads_otherwise() {
        let echo = |text, kind| understood(text, kind, UnitSystem::Us);
        assert_eq!(echo("3' 6\"", Kind::Length).as_deref(), Some("3 ft 6 in"));
        assert_eq!(echo("3 ft 6 in", Kind::Length), None);
        assert_eq!(echo("-14 in", Kind::Level), None);
        assert_eq!(echo("1 m", Kind::Level).as_deref(), Some("+3 ft 3-3/8 in"));
        assert_eq!(echo("+8 in", Kind::Level), None);
        assert_eq!(echo("8 furlongs", Kind::Length), None);
    }

    #[test]
    fn numbers_and_answers_are_written_as_such() {
        let field = |shape| Field {
            title: String::new(),
            description: None,
            kind: None,
            values: Vec::new(),
            may_be_none: false,
            plausible: None,
            shape,
            may_be_true: false,
            required: Vec::new(),
            least_items: 0,
            refers_to: Vec::new(),
            example: None,
        };
        let written = |shape, text| typed(Some(&field(shape)), text).to_string();
        assert_eq!(written(Shape::Number, " 7.20 "), "7.2");
        assert_eq!(written(Shape::Whole, "three"), "\"three\"");
        assert_eq!(written(Shape::YesNo, "no"), "false");
        assert_eq!(written(Shape::OneOrSeveral, "a, b"), "[\"a\",\"b\"]");
        assert_eq!(written(Shape::OneOrSeveral, "a"), "\"a\"");
        assert_eq!(written(Shape::Text, "no"), "\"no\"");
    }
}
