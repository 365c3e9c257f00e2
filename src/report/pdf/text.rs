//! Text of a plan made printable with the embedded faces.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use serde_json::Value;
use typst::text::Font;

use super::world::FONTS;

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
        static ANY: LazyLock<BTreeSet<char>> = LazyLock::new(|| covered(Script::Any));
        static TEXT: LazyLock<BTreeSet<char>> = LazyLock::new(|| covered(Script::TextFaces));
        c.is_ascii_graphic()
            || match self {
                Self::Any => ANY.contains(&c),
                Self::TextFaces => TEXT.contains(&c),
            }
    }
}

fn covered(script: Script) -> BTreeSet<char> {
    match script {
        Script::Any => in_faces(|_| true),
        Script::TextFaces => {
            let [first, second] = TEXT_FAMILIES.map(|family| in_faces(|name| name == family));
            first.intersection(&second).copied().collect()
        }
    }
}

fn in_faces(family: impl Fn(&str) -> bool) -> BTreeSet<char> {
    FONTS
        .faces
        .iter()
        .map(Font::info)
        .filter(|info| family(&info.family))
        .flat_map(|info| info.coverage.iter())
        .filter_map(char::from_u32)
        .filter(|c| is_text(*c))
        .collect()
}

/// Whether a character has a shape of its own: no control, no format character, not for private use.
fn is_text(c: char) -> bool {
    !c.is_control()
        && !matches!(c, '\u{AD}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}')
        && !matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{FFF0}'..='\u{FFFF}')
}

/// Replaces what can't be set by its code point in brackets, in every text within `value`, and notes it; keys stay.
pub(super) fn make_printable(value: &mut Value, script: Script, missing: &mut BTreeSet<char>) {
    match value {
        Value::String(text) => *text = printable(text, script, missing),
        Value::Array(items) => items
            .iter_mut()
            .for_each(|item| make_printable(item, script, missing)),
        Value::Object(members) => members
            .values_mut()
            .for_each(|member| make_printable(member, script, missing)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// A character by its code point.
pub(super) fn code_point(c: char) -> String {
    format!("U+{:04X}", c as u32)
}

fn printable(text: &str, script: Script, missing: &mut BTreeSet<char>) -> String {
    text.chars()
        .map(|c| match c {
            '\u{A0}' | '\u{202F}' => '\u{A0}'.to_string(),
            c if c.is_whitespace() => ' '.to_string(),
            // Shapes nothing and keeps numbers after a name that runs leftward where they belong.
            '\u{200E}' => c.to_string(),
            c if script.has(c) => c.to_string(),
            c => {
                missing.insert(c);
                format!("[{}]", code_point(c))
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::{Script, printable};

    #[test]
    fn what_no_face_has_is_named_by_its_code_point() {
        let mut missing = BTreeSet::new();
        let mut set = |text| printable(text, Script::Any, &mut missing);
        assert_eq!(set("a 🐟 b\u{7}"), "a [U+1F41F] b[U+0007]");
        assert_eq!(set("\u{202E}abc"), "[U+202E]abc");
        assert_eq!(missing.into_iter().collect::<String>(), "\u{7}\u{202E}🐟");
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
