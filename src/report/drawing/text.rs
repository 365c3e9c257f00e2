//! How wide a text gets, without its typeface at hand: never narrower than it is set.

/// Height of a line over its type size.
pub const LINE_HEIGHT: f64 = 1.2;

/// Widest a text gets in the serif face of the reports at a type size, pt. Each character counts for the widest of
/// its class in the regular or bold cut, in thousandths of the type size: narrow letters and points 400, digits 550,
/// small letters 640, capitals 810, the widest letters 1020, anything outside ASCII 1300.
pub fn width(text: &str, size: f64, strong: bool) -> f64 {
    let heavy = if strong { 1.05 } else { 1.0 };
    text.chars().map(share).sum::<f64>() * size * heavy
}

/// The text, cut short with an ellipsis where it would get wider than `room`.
pub fn fit(text: &str, size: f64, strong: bool, room: f64) -> String {
    if width(text, size, strong) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut used = width("…", size, strong);
    for character in text.chars() {
        used += width(character.encode_utf8(&mut [0; 4]), size, strong);
        if used > room {
            break;
        }
        kept.push(character);
    }
    format!("{}…", kept.trim_end())
}

fn share(character: char) -> f64 {
    match character {
        ' ' | '.' | ',' | ':' | ';' | '\'' | '!' | '|' | '(' | ')' | '[' | ']' | '/' | '\\' | '-' | '`'
        | 'i' | 'j' | 'l' | 'f' | 't' | 'r' | 'I' | '’' | '…' => match character {
            '…' => 1.0,
            _ => 0.4,
        },
        '0'..='9' | '?' | '"' | '*' | '_' | 's' | 'c' | 'e' | 'a' | 'z' => 0.55,
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '&' | 'Q' | 'O' => 1.02,
        'a'..='z' | '+' | '=' | '<' | '>' | '~' | '^' | '#' | '$' | '{' | '}' | '−' | '×' | '±' => 0.64,
        'A'..='Z' | '²' | '³' | '°' => 0.81,
        _ => 1.3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_cut_to_its_room() {
        assert_eq!(fit("koi pond", 8.0, false, 100.0), "koi pond");
        let cut = fit(&"x".repeat(300), 8.0, true, 60.0);
        assert!(cut.ends_with('…') && width(&cut, 8.0, true) <= 60.0, "{cut}");
        assert!(width(&fit("", 8.0, true, 0.0), 8.0, true) <= 0.0);
    }

    /// The estimate against the advances of the face itself.
    #[cfg(feature = "pdf")]
    #[test]
    fn no_character_is_set_wider_than_estimated() {
        let faces = typst_kit::fonts::embedded().filter(|(_, info)| info.family == "Libertinus Serif");
        let mut seen = 0;
        for (font, info) in faces {
            let strong = info.variant.weight.to_number() >= 600;
            for character in (' '..='~').chain("−×±²³°…’".chars()) {
                let Some(glyph) = font.ttf().glyph_index(character) else {
                    continue;
                };
                let advance = font.x_advance(glyph.0).map_or(0.0, |em| em.get());
                let estimate = width(&character.to_string(), 1.0, strong);
                assert!(
                    advance <= estimate,
                    "{character} {advance} over {estimate} in {info:?}"
                );
                seen += 1;
            }
        }
        assert!(seen > 200);
    }
}
