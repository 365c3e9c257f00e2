//! How wide a text gets, without its typeface at hand: never narrower than it is set.

/// Height of a line over its type size.
pub const LINE_HEIGHT: f64 = 1.2;

/// The widest advance of each printing ASCII character, from the space on, in the upright cuts of Libertinus Serif:
/// thousandths of the type size, rounded up. Kerning is left out; it draws characters together far oftener than apart.
const ADVANCES: [u16; 95] = [
    250, 288, 376, 514, 514, 637, 729, 215, 315, 315, 433, 550, 244, 358, 244, 323, 514, 514, 514, 514, 514,
    514, 514, 514, 514, 514, 256, 256, 550, 551, 550, 435, 988, 740, 654, 706, 734, 609, 545, 732, 817, 367,
    380, 736, 577, 899, 740, 730, 614, 730, 716, 504, 652, 732, 700, 1028, 718, 624, 624, 397, 307, 397, 518,
    486, 392, 506, 542, 456, 561, 489, 391, 521, 619, 322, 312, 613, 325, 905, 616, 551, 581, 573, 428, 427,
    358, 598, 529, 778, 561, 558, 452, 307, 220, 307, 473,
];
/// What any other character is taken to be wide, in thousandths: wider than a capital W.
const OTHER: u16 = 1300;

/// The width a text takes at most at a type size, pt.
pub fn width(text: &str, size: f64, strong: bool) -> f64 {
    // The bold cut is kerned wider in places; two per cent cover it.
    let heavy = if strong { 1.02 } else { 1.0 };
    let thousandths: f64 = text.chars().map(|character| f64::from(advance(character))).sum();
    thousandths / 1000.0 * size * heavy
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

/// A name before further words: where it ends in letters that run from right to left, a mark keeps numbers after it
/// from being drawn into it.
pub fn leading(name: &str) -> String {
    let leftward =
        |c: char| matches!(c, '\u{590}'..='\u{8FF}' | '\u{FB1D}'..='\u{FDFF}' | '\u{FE70}'..='\u{FEFC}');
    if name.chars().any(leftward) {
        format!("{name}{LEFT_TO_RIGHT}")
    } else {
        name.to_owned()
    }
}

/// The left-to-right mark: no shape, no width.
const LEFT_TO_RIGHT: char = '\u{200E}';

fn advance(character: char) -> u16 {
    match character {
        LEFT_TO_RIGHT => 0,
        '−' | '×' | '±' | '–' => 560,
        '²' | '³' | '°' | '·' | '’' => 345,
        '…' => 820,
        ' '..='~' => {
            let index = u32::from(character) - u32::from(' ');
            ADVANCES.get(index as usize).copied().unwrap_or(OTHER)
        }
        _ => OTHER,
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

    #[test]
    fn numbers_stay_behind_a_name_that_runs_leftward() {
        assert_eq!(leading("koi pond"), "koi pond");
        assert_eq!(leading("بركة"), "بركة\u{200E}");
        assert_eq!(width("\u{200E}", 8.0, true), 0.0);
    }

    /// The table against the advances of the face itself.
    #[cfg(feature = "pdf")]
    #[test]
    fn no_character_is_set_wider_than_estimated() {
        use typst::{layout::Abs, text::FontVariations};
        let mut seen = 0;
        for (face, info) in typst_kit::fonts::embedded() {
            let upright = format!("{:?}", info.variant.style) == "Normal";
            if info.family != "Libertinus Serif" || !upright {
                continue;
            }
            let cut = face.instantiate(info.variant, Abs::pt(10.0), &FontVariations::default());
            for character in (' '..='~').chain("−×±–²³°·’…".chars()) {
                let glyph = cut.ttf().glyph_index(character);
                let set = glyph.and_then(|glyph| cut.x_advance(glyph.0));
                let estimate = f64::from(advance(character)) / 1000.0;
                assert!(
                    set.is_some_and(|em| em.get() <= estimate),
                    "{character} in {info:?}"
                );
                seen += 1;
            }
        }
        assert!(seen >= 3 * 105);
    }
}
