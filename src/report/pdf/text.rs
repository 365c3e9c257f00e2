//! Text of a plan made printable with the embedded faces.

use std::collections::BTreeSet;

use serde_json::Value;
use typst::text::Font;
use unicode_segmentation::UnicodeSegmentation;

use super::world::FONTS;
use crate::{
    quantity::Unit,
    text::{is_hidden, visible},
};

/// Letters from which a word may be longer than a column.
const LONG_WORD: usize = 25;

/// Families of running text and of pointers; what both have needs no other face.
const TEXT_FAMILIES: [&str; 2] = ["Libertinus Serif", "DejaVu Sans Mono"];

/// Which characters are set as they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Script {
    /// Those of any embedded face.
    Any,
    /// Those that both text faces have.
    TextFaces,
}

impl Script {
    fn has(self, c: char) -> bool {
        c.is_ascii_graphic() || is_text(c) && self.covers(c)
    }

    fn covers(self, c: char) -> bool {
        let has = |face: &Font| face.info().coverage.contains(c.into());
        match self {
            Self::Any => FONTS.faces.iter().any(has),
            Self::TextFaces => TEXT_FAMILIES.iter().all(|family| {
                let mut faces = FONTS.faces.iter();
                faces.any(|face| face.info().family == *family && has(face))
            }),
        }
    }
}

/// Whether a character has a shape of its own: nothing hidden, not for private use.
fn is_text(c: char) -> bool {
    !is_hidden(c) && !matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{FFF0}'..='\u{FFFF}')
}

/// Makes every text within `value` ready to be set; keys stay. What can't be set is replaced by its code point in brackets
/// and noted, numbers keep their units on one line, and words longer than a column may break between any two letters.
pub(super) fn make_ready(value: &mut Value, script: Script, missing: &mut BTreeSet<char>) {
    match value {
        Value::String(text) => *text = breakable(&with_units_held(&printable(text, script, missing))),
        Value::Array(items) => items
            .iter_mut()
            .for_each(|item| make_ready(item, script, missing)),
        Value::Object(members) => members
            .values_mut()
            .for_each(|member| make_ready(member, script, missing)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn with_units_held(text: &str) -> String {
    let mut words = text.split(' ');
    let mut out = words.next().unwrap_or_default().to_owned();
    for word in words {
        let unit = word.trim_end_matches([',', ';', ':', '.', ')']);
        let held = out.ends_with(|c: char| c.is_ascii_digit()) && Unit::find_any(unit).is_some();
        out.push(if held { '\u{A0}' } else { ' ' });
        out.push_str(word);
    }
    out
}

fn breakable(text: &str) -> String {
    if text.len() < LONG_WORD {
        return text.to_owned();
    }
    let ends_word = |c: char| c.is_whitespace() || matches!(c, '/' | '-');
    text.split_inclusive(ends_word)
        .map(|word| {
            let letters = word.trim_end_matches(ends_word);
            let (letters, end) = word.split_at(letters.len());
            let letters: Vec<&str> = letters.graphemes(true).collect();
            if letters.len() < LONG_WORD {
                return word.to_owned();
            }
            letters.join("\u{200B}") + end
        })
        .collect()
}

/// A character by its code point.
pub(super) fn code_point(c: char) -> String {
    format!("U+{:04X}", c as u32)
}

/// Keeps numbers after a name that runs leftward where they belong; drawings set it. It has no shape.
const LEFT_TO_RIGHT: char = '\u{200E}';

fn printable(text: &str, script: Script, missing: &mut BTreeSet<char>) -> String {
    let mut out = String::with_capacity(text.len());
    for part in text.split_inclusive(LEFT_TO_RIGHT) {
        let (part, mark) = match part.strip_suffix(LEFT_TO_RIGHT) {
            Some(part) => (part, Some(LEFT_TO_RIGHT)),
            None => (part, None),
        };
        for c in visible(part).chars() {
            match c {
                '\u{A0}' | '\u{202F}' => out.push('\u{A0}'),
                c if c.is_whitespace() => out.push(' '),
                c if script.has(c) => out.push(c),
                c => {
                    missing.insert(c);
                    out.push_str(&format!("[{}]", code_point(c)));
                }
            }
        }
        out.extend(mark);
    }
    out
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::{Script, breakable, printable, with_units_held};

    #[test]
    fn a_number_keeps_its_unit_and_other_words_part() {
        let held = with_units_held("at least 2 in (50 mm), 4 basins, 0.6 m/d; a 12 b");
        assert_eq!(
            held,
            "at least 2\u{A0}in (50\u{A0}mm), 4 basins, 0.6\u{A0}m/d; a 12 b"
        );
    }

    #[test]
    fn long_words_may_break_between_letters_and_short_ones_stay() {
        let short = "basins/upflow-bed-of-round-stone: freeboard while running";
        assert_eq!(breakable(short), short);
        let accented = "e\u{301}".repeat(30);
        let broken = breakable(&format!("a {accented} b"));
        assert_eq!(broken.matches('\u{200B}').count(), 29);
        assert!(!broken.contains("\u{200B}\u{301}"));
        assert_eq!(broken.replace('\u{200B}', ""), format!("a {accented} b"));
    }

    #[test]
    fn what_no_face_has_is_named_by_its_code_point() {
        let mut missing = BTreeSet::new();
        let mut set = |text| printable(text, Script::Any, &mut missing);
        assert_eq!(set("a 🐟 b\u{7}"), "a [U+1F41F] b\\u{7}");
        assert_eq!(set("\u{202E}a\nb\u{E0041}"), "\\u{202e}a\\nb\\u{e0041}");
        assert_eq!(missing.into_iter().collect::<String>(), "🐟");
    }

    #[test]
    fn what_the_faces_have_stays() {
        for text in ["Ø 2½ in — 6 µm, ∫ n(z)·A(z) dz", "#[]$*_\\`@<>", "Möß Šř"] {
            let mut missing = BTreeSet::new();
            assert_eq!(printable(text, Script::Any, &mut missing), text);
            assert!(missing.is_empty());
        }
    }
}
