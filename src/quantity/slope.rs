//! Slopes: `2:1` horizontal to vertical, or a grade in per cent or degrees.

use super::{Fault, Kind, Unit, error::excerpt, number, units::Measured};

/// Reads a slope as horizontal per vertical: `2:1`, `2H:1V`, `1V:2H`, `50 %`, `26.6°`.
///
/// `text` has gone through [`super::spelling::plain`] and is trimmed.
pub(super) fn read(text: &str) -> Result<Measured, Fault> {
    let malformed = || Fault::NotANumber { text: excerpt(text) };
    let unit = Unit::of(Kind::Slope).next().ok_or_else(malformed)?;
    let value = match text.split_once(':') {
        Some((first, second)) => ratio(first, second).ok_or_else(malformed)?,
        None => 1.0 / grade(text)?,
    };
    if value.is_finite() {
        Ok((value, unit))
    } else {
        Err(Fault::Impossible {
            text: excerpt(text),
            why: "nothing rises in it",
        })
    }
}

/// The slope of a ratio, horizontal first unless its sides are marked otherwise.
fn ratio(first: &str, second: &str) -> Option<f64> {
    let (a, a_side) = side(first)?;
    let (b, b_side) = side(second)?;
    match (a_side, b_side) {
        (None, None) | (Some('H'), Some('V')) => Some(a / b),
        (Some('V'), Some('H')) => Some(b / a),
        _ => None,
    }
    .filter(|slope| !slope.is_nan())
}

/// One side of a ratio, and the letter that marks it.
fn side(text: &str) -> Option<(f64, Option<char>)> {
    let (number, mark) = number::leading(text.trim())?;
    match mark.trim() {
        "" => Some((number, None)),
        "H" | "h" => Some((number, Some('H'))),
        "V" | "v" => Some((number, Some('V'))),
        _ => None,
    }
}

/// The rise per run of a grade in per cent or degrees.
fn grade(text: &str) -> Result<f64, Fault> {
    let (number, unit) = number::leading(text).ok_or_else(|| Fault::NotANumber { text: excerpt(text) })?;
    let unit = unit.trim();
    if unit.is_empty() {
        return Err(Fault::BareNumber { text: excerpt(text) });
    }
    if let Some(percent) = Unit::find(Kind::Share, unit) {
        return Ok(percent.to_si(number));
    }
    match Unit::find(Kind::Angle, unit) {
        Some(angle) if angle.to_si(number) < std::f64::consts::FRAC_PI_2 => Ok(angle.to_si(number).tan()),
        Some(_) => Err(Fault::Impossible {
            text: excerpt(text),
            why: "it leans past upright",
        }),
        None => Err(Fault::unit(Kind::Slope, text, unit)),
    }
}
