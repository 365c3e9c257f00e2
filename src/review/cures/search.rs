//! Search: the least change of a value that meets a rule.

use super::lever::AdjustableValue;

/// How far a value is moved at first, and at most, as a share of where it stands.
const ONWARD: (f64, f64) = (0.1, 6.0);
/// Tries, at most.
const TRIES: usize = 14;
/// Marks beyond the first that are offered too: the first may fall short yet, or break something by rounding.
const FURTHER: u8 = 2;
/// Of settings of which only some exist, so many are offered.
const MORE_OF_FEW: usize = 5;

/// The least settings that meet, in the order to offer them. `margin` is positive where a setting meets, and none
/// where it cannot be computed; `now` is the margin of the plan's own value.
pub(super) fn least(
    adjustable: &AdjustableValue,
    now: f64,
    mut margin: impl FnMut(&str) -> Option<f64>,
) -> Vec<String> {
    if let Some(few) = adjustable.few() {
        return from_first(few, |text| margin(text).is_some_and(|margin| margin >= 0.0));
    }
    let share = least_share(adjustable, now, |share| {
        margin(&adjustable.text(adjustable.onward(share)))
    });
    share.map_or_else(Vec::new, |share| {
        let setting = adjustable.onward(share);
        (0..=FURTHER)
            .map(|further| adjustable.mark(setting, further))
            .collect()
    })
}

/// The first of several texts that meets, and the next few.
fn from_first(texts: &[String], mut meets: impl FnMut(&str) -> bool) -> Vec<String> {
    let first = texts.iter().position(|text| meets(text));
    let met = first.map_or(&[][..], |first| &texts[first..]);
    met.iter().take(MORE_OF_FEW).cloned().collect()
}

/// Changes that are tried of a value on which a rule says yes or no, as shares; of a level, in steps of 8 in (200 mm).
const SHARES: [f64; 9] = [0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 6.4];

/// The least settings that close a rule which says yes or no, the least of a few shares.
pub(super) fn first(adjustable: &AdjustableValue, closes: impl FnMut(&str) -> bool) -> Vec<String> {
    if let Some(few) = adjustable.few() {
        return from_first(few, closes);
    }
    let marks = SHARES
        .iter()
        .map(|share| adjustable.mark(adjustable.onward(*share), 0));
    let mut marks: Vec<String> = marks.collect();
    marks.dedup();
    from_first(&marks, closes)
}

/// The largest change that still falls short, to within half a mark of what meets.
///
/// From one try to the next the line through the last two is followed to where the margin would be nought, a little
/// beyond it, until a setting meets; between a setting that falls short and one that meets, regula falsi with the
/// Illinois rule closes in.
fn least_share(
    adjustable: &AdjustableValue,
    now: f64,
    mut margin: impl FnMut(f64) -> Option<f64>,
) -> Option<f64> {
    let (mut short, mut met): ((f64, f64), Option<(f64, f64)>) = ((0.0, now), None);
    let mut next = ONWARD.0;
    // The margins that the line is drawn through; one that has stood twice counts half.
    let mut weights = (now, 0.0);
    for _ in 0..TRIES {
        let value = margin(next)?;
        if value >= 0.0 {
            weights = (if met.is_some() { weights.0 / 2.0 } else { short.1 }, value);
            met = Some((next, value));
        } else {
            let slope = (value - short.1) / (next - short.0);
            weights = (value, weights.1 / 2.0);
            short = (next, value);
            if met.is_none() {
                if next >= ONWARD.1 {
                    return None;
                }
                let nought = next - 1.02 * value / slope;
                let sound = slope > 0.0 && nought > next;
                let further = if sound { nought } else { next * 3.0 };
                next = further.clamp(next * 1.05, next * 8.0).min(ONWARD.1);
                continue;
            }
        }
        let end = met?;
        let apart = (adjustable.onward(end.0) - adjustable.onward(short.0)).abs();
        if apart <= 0.5 * adjustable.step(adjustable.onward(end.0)) {
            return Some(short.0);
        }
        let share = weights.0 / (weights.0 - weights.1);
        // Just beyond the nought of a straight line, so that a straight margin is met at once.
        let share = if share.is_finite() {
            (share + 0.01).clamp(0.02, 0.98)
        } else {
            0.5
        };
        next = short.0 + share * (end.0 - short.0);
    }
    met.map(|_| short.0)
}
