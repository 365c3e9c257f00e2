//! Texts as the embedded typefaces can print them, and as lines can break them. The attached machine form keeps
//! every text as it is.

use std::sync::LazyLock;

use serde_json::Value;
use typst::text::Coverage;

use super::world::FACES;

/// Stands for a character that no embedded typeface can print.
const STAND_IN: char = '□';
/// Longest run of characters without a break that no line is too narrow for.
const LONGEST: usize = 16;
const BREAK: char = '\u{200b}';

/// What the typeface of the text prints, and what any embedded one does.
static COVERED: LazyLock<(Vec<Coverage>, Vec<Coverage>)> = LazyLock::new(|| {
    let infos = (0..).map_while(|index| FACES.book().info(index));
    let (own, all): (Vec<_>, Vec<_>) = infos
        .map(|info| (info.family == "Libertinus Serif", info.coverage.clone()))
        .partition(|(own, _)| *own);
    let coverages = |list: Vec<(bool, Coverage)>| list.into_iter().map(|(_, coverage)| coverage).collect();
    (coverages(own), coverages(all))
});

/// Makes every text of a tree printable.
pub(super) fn make(value: &mut Value) {
    match value {
        Value::String(text) => *text = printable(text),
        Value::Array(list) => list.iter_mut().for_each(make),
        Value::Object(members) => members.values_mut().for_each(make),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn printable(text: &str) -> String {
    let mut printed = String::with_capacity(text.len());
    let mut unbroken = 0;
    for character in text.chars() {
        let Some(character) = shown(character) else { continue };
        if character.is_whitespace() || character == '-' {
            unbroken = 0;
        } else if unbroken == LONGEST {
            printed.push(BREAK);
            unbroken = 1;
        } else {
            unbroken += 1;
        }
        printed.push(character);
    }
    printed
}

/// A character as it can be printed; none for what is not seen, such as turns of direction.
fn shown(character: char) -> Option<char> {
    match character {
        '\n' | '\t' => return Some(' '),
        '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' => return None,
        '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{e0000}'..='\u{e0fff}' => return None,
        control if control.is_control() => return None,
        _ => {}
    }
    let (own, all) = &*COVERED;
    let code = u32::from(character);
    let in_own = || own.iter().all(|coverage| coverage.contains(code));
    // Single signs are taken from other faces; letters that join or stack are not, since no face holds them whole.
    let sign = matches!(character, '\u{2000}'..='\u{20cf}' | '\u{2100}'..='\u{2bff}');
    let in_any = || sign && all.iter().any(|coverage| coverage.contains(code));
    let private = matches!(character, '\u{e000}'..='\u{f8ff}') || code >= 0xf_0000;
    Some(if !private && (in_own() || in_any()) {
        character
    } else {
        STAND_IN
    })
}

#[cfg(test)]
mod tests {
    use super::printable;

    #[test]
    fn what_no_face_prints_is_stood_in_for() {
        assert_eq!(printable("1/2 in ≥ 12 °F, m³ · Δz"), "1/2 in ≥ 12 °F, m³ · Δz");
        assert_eq!(printable("koi 🐟 pond"), "koi □ pond");
        assert_eq!(printable("a\u{202e}b\u{7}c\nd"), "abc d");
    }

    #[test]
    fn long_words_can_break() {
        let printed = printable(&"x".repeat(300));
        assert!(printed.split('\u{200b}').all(|part| part.chars().count() <= 16));
        assert_eq!(printed.replace('\u{200b}', "").len(), 300);
        assert_eq!(printable("basin-freeboard-check-leaks"), "basin-freeboard-check-leaks");
    }
}
