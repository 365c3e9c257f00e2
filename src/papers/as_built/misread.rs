//! Shots that are more likely misread than built so: they are named before they are believed.

use crate::quantity::{FOOT, INCH};

/// Why a shot is not believed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misread {
    /// It is off by about this many whole feet.
    Feet(i32),
    /// It is off by about this many whole metres.
    Metres(i32),
    /// It is off by about this many tenths of a metre.
    Tenths(i32),
    /// Two neighbouring figures of the reading in feet change places.
    SwappedFeet,
    /// Two neighbouring figures of the reading in metres change places.
    SwappedMetres,
    /// It is farther off than work is ever set.
    Far,
}

/// A level that was set with a rod is not farther off than this, m (common practice).
const FARTHEST: f64 = 2.5 * INCH;
/// How near a whole step an error must be to be one, m.
const NEAR: f64 = INCH / 2.0;

impl Misread {
    /// What may have happened, in words.
    pub fn words(self) -> String {
        let count = |number: i32, one: &str, many: &str| {
            let noun = if number == 1 { one } else { many };
            format!("off by about {number} {noun}: a figure is misread")
        };
        match self {
            Self::Feet(number) => count(number, "whole foot", "whole feet"),
            Self::Metres(number) => count(number, "whole metre", "whole metres"),
            Self::Tenths(number) => count(number, "tenth of a metre", "tenths of a metre"),
            Self::SwappedFeet | Self::SwappedMetres => {
                "two figures of the reading have changed places".to_owned()
            }
            Self::Far => "farther off than work is set by a rod".to_owned(),
        }
    }
}

/// Whether a shot is more likely misread than built so. `wanted`: what the rod would read on the mark as drawn, m, where it
/// was read and not exported; `off`: how far the shot stands above the mark, m.
pub(super) fn misread(wanted: Option<f64>, off: f64) -> Option<Misread> {
    if off.abs() <= FARTHEST {
        return None;
    }
    if let Some(wanted) = wanted {
        let read = wanted - off;
        if has_swapped(read / FOOT * 100.0, wanted / FOOT * 100.0, NEAR / FOOT * 100.0) {
            return Some(Misread::SwappedFeet);
        }
        if has_swapped(read * 1000.0, wanted * 1000.0, NEAR * 1000.0) {
            return Some(Misread::SwappedMetres);
        }
    }
    let steps = |step: f64| {
        let count = (off.abs() / step).round();
        ((off.abs() - count * step).abs() <= NEAR && count >= 1.0).then_some(count as i32)
    };
    let whole = steps(FOOT)
        .map(Misread::Feet)
        .or_else(|| steps(1.0).map(Misread::Metres))
        .or_else(|| steps(0.1).map(Misread::Tenths));
    Some(whole.unwrap_or(Misread::Far))
}

/// Whether a number, its last figure a unit, comes near another when two neighbouring figures change places.
fn has_swapped(read: f64, wanted: f64, near: f64) -> bool {
    let figures: Vec<u8> = format!("{:.0}", read.abs()).into_bytes();
    (1..figures.len()).any(|at| {
        let mut swapped = figures.clone();
        swapped.swap(at - 1, at);
        let number = String::from_utf8(swapped)
            .ok()
            .and_then(|text| text.parse::<f64>().ok());
        figures[at - 1] != figures[at] && number.is_some_and(|number| (number - wanted).abs() <= near)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_near_is_believed_and_a_whole_step_is_named() {
        assert_eq!(misread(Some(5.5 * FOOT), 2.0 * INCH), None);
        assert_eq!(misread(Some(5.5 * FOOT), FOOT), Some(Misread::Feet(1)));
        assert_eq!(
            misread(Some(5.5 * FOOT), -2.0 * FOOT - 0.2 * INCH),
            Some(Misread::Feet(2))
        );
        assert_eq!(misread(Some(2.2), 1.0), Some(Misread::Metres(1)));
        assert_eq!(misread(Some(2.222), 0.2), Some(Misread::Tenths(2)));
        assert_eq!(misread(None, 5.3 * INCH), Some(Misread::Far));
    }

    #[test]
    fn figures_that_changed_places_are_seen() {
        // 5.47 ft read as 5.74 ft, 1.362 m as 1.632 m.
        assert_eq!(
            misread(Some(5.47 * FOOT), -0.27 * FOOT),
            Some(Misread::SwappedFeet)
        );
        assert_eq!(misread(Some(1.362), -0.27), Some(Misread::SwappedMetres));
    }
}
