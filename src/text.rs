//! Foreign text made safe to show: what a plan, a page, a path or an argument says never acts on what shows it.

use std::{borrow::Cow, path::Path};

/// Whether a character is not seen but acts: a control character, or one that turns the direction of the text around
/// it, so that a line reads otherwise than it is.
pub fn acts(c: char) -> bool {
    c.is_control() || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// Whether a character acts or hides: one that breaks the line or has no width, such as a tag, is hidden too.
pub fn is_hidden(c: char) -> bool {
    acts(c)
        || matches!(c,
            '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{115F}'..='\u{1160}' | '\u{17B4}'..='\u{17B5}'
            | '\u{180B}'..='\u{180F}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{2029}'
            | '\u{2060}'..='\u{206F}' | '\u{3164}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{FFA0}'
            | '\u{FFF0}'..='\u{FFFB}' | '\u{1BCA0}'..='\u{1BCA3}' | '\u{1D173}'..='\u{1D17A}'
            | '\u{E0000}'..='\u{E0FFF}')
}

/// A text with everything hidden in it shown as an escape, such as `\n` or `\u{202e}`: one line that reads as it is.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.contains(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if is_hidden(c) {
            out.extend(c.escape_default());
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

/// A text of our own as it is printed: an apostrophe between letters is a typographic one.
pub fn typographic(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    let mut after_letter = false;
    while let Some(c) = chars.next() {
        let before_letter = chars.peek().is_some_and(|next| next.is_alphabetic());
        out.push(if c == '\'' && after_letter && before_letter {
            '\u{2019}'
        } else {
            c
        });
        after_letter = c.is_alphanumeric();
    }
    out
}

/// A path as it is printed, visible.
pub fn shown_path(path: &Path) -> String {
    visible(&path.to_string_lossy()).into_owned()
}

/// A text as a POSIX shell takes it for one word: as it is where nothing in it means anything to the shell, else in single
/// quotes.
pub fn pasted(text: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "/._+-,:@%=".contains(c);
    // A word that starts so would be taken for an option, a name of a directory stack or an assignment.
    let starts_plain = text.starts_with(|c: char| c.is_ascii_alphanumeric() || "/._".contains(c));
    if starts_plain && text.chars().all(plain) {
        return text.to_owned();
    }
    format!("'{}'", text.replace('\'', "'\\''"))
}

/// Letters of a text that is repeated in a message.
const MOST: usize = 60;

/// A key or a value from a file as it is repeated in a message: visible, on one line, shortened.
pub fn shown(text: &str) -> String {
    let mut chars = text.char_indices().skip(MOST);
    match chars.next() {
        None => visible(text).into_owned(),
        Some((end, _)) => visible(&text[..end]).into_owned() + "…",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_acts_or_hides_is_shown_as_an_escape() {
        for (text, seen) in [
            ("a\r\nb\tc", "a\\r\\nb\\tc"),
            ("\u{1b}[31m\u{7}\u{7f}", "\\u{1b}[31m\\u{7}\\u{7f}"),
            ("\u{1b}]8;;http://x\u{1b}\\y", "\\u{1b}]8;;http://x\\u{1b}\\y"),
            ("\u{9b}31m\u{85}", "\\u{9b}31m\\u{85}"),
            ("\u{202e}abc\u{2066}\u{2069}", "\\u{202e}abc\\u{2066}\\u{2069}"),
            ("a\u{200b}b\u{feff}\u{200d}", "a\\u{200b}b\\u{feff}\\u{200d}"),
            ("a\u{2028}b\u{2029}", "a\\u{2028}b\\u{2029}"),
            ("\u{e0041}\u{e007f}", "\\u{e0041}\\u{e007f}"),
        ] {
            assert_eq!(visible(text), seen);
            assert_eq!(visible(seen), seen);
        }
    }

    #[test]
    fn what_is_seen_stays() {
        for text in ["", "池 🐟 Möß Ø 2½ in", "c:\\plans\\n", "שלום مرحبا", "\u{a0}"] {
            assert!(matches!(visible(text), Cow::Borrowed(same) if same == text));
        }
    }

    #[test]
    fn a_shell_takes_what_is_pasted_for_one_word() {
        for (text, word) in [
            ("/basins/bed/rim=+12in", "/basins/bed/rim=+12in"),
            ("/basins/bed/rim=+12 in", "'/basins/bed/rim=+12 in'"),
            ("it's", "'it'\\''s'"),
            ("$(rm) `x` !! \\ \"", "'$(rm) `x` !! \\ \"'"),
            ("", "''"),
            ("~", "'~'"),
            ("池", "'池'"),
        ] {
            assert_eq!(pasted(text), word);
        }
    }

    #[test]
    fn what_is_repeated_is_short() {
        assert_eq!(shown("a\nb\u{1b}[31m"), "a\\nb\\u{1b}[31m");
        assert_eq!(shown(&"é".repeat(MOST)), "é".repeat(MOST));
        assert_eq!(shown(&"é".repeat(100)).chars().count(), MOST + 1);
    }
}
