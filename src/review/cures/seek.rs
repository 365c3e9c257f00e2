//! The least turn of a dial that meets a rule.

use super::dial::Dial;

/// How far on a dial is tried, step by step, before it is given up.
const ONWARD: [f64; 5] = [0.1, 0.3, 0.8, 2.0, 5.0];
/// Rounds of closing in between a setting that falls short and one that meets.
const ROUNDS: usize = 12;
/// Marks beyond the least one that are offered too, where the least breaks something else by rounding.
const FURTHER: u8 = 2;

/// The least settings that meet, in the order to offer them; `margin` is positive where a setting meets, and none
/// where it can't be told.
pub(super) fn least(dial: &Dial, mut margin: impl FnMut(&str) -> Option<f64>) -> Vec<String> {
    if let Some(few) = dial.few() {
        let met = few
            .iter()
            .find(|text| margin(text).is_some_and(|margin| margin >= 0.0));
        return met.into_iter().cloned().collect();
    }
    let mut at = |setting: f64| margin(&dial.text(setting));
    let Some((short, met)) = bracket(dial, &mut at) else {
        return Vec::new();
    };
    let setting = close_in(dial, short, met, &mut at);
    (0..=FURTHER).map(|further| dial.mark(setting, further)).collect()
}

/// A setting and its margin.
type Tried = (f64, f64);

/// A setting that falls short and the first one on from it that meets.
fn bracket(dial: &Dial, at: &mut impl FnMut(f64) -> Option<f64>) -> Option<(Tried, Tried)> {
    let start = dial.start();
    let mut short = (start, at(start)?);
    for share in ONWARD {
        let setting = dial.onward(share);
        let margin = at(setting)?;
        if margin >= 0.0 {
            return Some((short, (setting, margin)));
        }
        short = (setting, margin);
    }
    None
}

/// Closes in on the setting where the margin is nought, by regula falsi with the Illinois rule, until the two ends
/// are within half a mark of each other; the end that meets.
fn close_in(dial: &Dial, mut short: Tried, mut met: Tried, at: &mut impl FnMut(f64) -> Option<f64>) -> f64 {
    let mut weight = (short.1, met.1);
    for _ in 0..ROUNDS {
        if (met.0 - short.0).abs() <= 0.5 * dial.step(met.0) {
            break;
        }
        let share = weight.0 / (weight.0 - weight.1);
        let share = if share.is_finite() {
            share.clamp(0.02, 0.98)
        } else {
            0.5
        };
        let setting = short.0 + share * (met.0 - short.0);
        let Some(margin) = at(setting) else { break };
        if margin >= 0.0 {
            met = (setting, margin);
            weight = (weight.0 / 2.0, margin);
        } else {
            short = (setting, margin);
            weight = (margin, weight.1 / 2.0);
        }
    }
    met.0
}
