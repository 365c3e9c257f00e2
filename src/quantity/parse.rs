//! Text to a quantity: `3,200 gph`, `3' 6-1/2"`, `0.8 gpm/ft2`, `18 °C`, `2:1`.

use super::{
    Fault, Kind, Quantity, QuantityError, Unit,
    error::{LARGEST, LONGEST, excerpt},
    number, slope,
    spelling::plain,
    units::Measured,
};

impl Quantity {
    /// Reads a quantity of `kind` as people write it.
    ///
    /// A length may be a nominal diameter, `DN 63`. Lengths, masses and times may come in parts, larger first (`3 ft 6 in`, `1 h 30 min`), and a sign then
    /// holds for all of them. A number without a unit is refused, but for ratios, shares, and a zero, which is the same in
    /// every unit but those of temperature; so is a unit of another kind. The value is finite, and below 1e12 in SI.
    pub fn parse(text: &str, kind: Kind) -> Result<Self, QuantityError> {
        read(text, kind)
            .map(|(si, unit)| Self {
                si,
                kind,
                unit: Some(unit),
            })
            .map_err(|fault| QuantityError { wanted: kind, fault })
    }
}

fn read(text: &str, kind: Kind) -> Result<Measured, Fault> {
    let characters = text.chars().count();
    if characters > LONGEST {
        return Err(Fault::TooLong { characters });
    }
    let text = plain(text);
    let text = text.trim();
    let (si, unit) = match kind {
        Kind::Slope => slope::read(text)?,
        Kind::Length if text.starts_with("DN") => signed(&format!("{} mm", after_dn(text)), kind)?,
        _ => signed(text, kind)?,
    };
    if si.is_nan() || si.abs() > LARGEST {
        return Err(Fault::TooLarge { text: excerpt(text) });
    }
    if kind == Kind::Temperature && si < 0.0 {
        return Err(Fault::Impossible {
            text: excerpt(text),
            why: "it lies below absolute zero",
        });
    }
    Ok((si, unit))
}

/// The number of a nominal diameter in millimeters, written `DN 63`, `DN63` or `DN/OD 63`.
fn after_dn(text: &str) -> &str {
    let number = text.trim_start_matches("DN").trim_start_matches("/OD");
    number.trim_end_matches("mm").trim()
}

/// A measured value with or without its sign, which holds for all its parts.
pub(super) fn signed(text: &str, kind: Kind) -> Result<Measured, Fault> {
    match text.strip_prefix('-') {
        Some(rest) => parts(text, -1.0, rest.trim_start(), kind, f64::INFINITY),
        None => parts(
            text,
            1.0,
            text.strip_prefix('+').unwrap_or(text).trim_start(),
            kind,
            f64::INFINITY,
        ),
    }
}

/// The parts in `text`, each of a unit smaller than `below`, added up; `whole` is what to name in a message.
fn parts(whole: &str, sign: f64, text: &str, kind: Kind, below: f64) -> Result<Measured, Fault> {
    let malformed = || Fault::NotANumber { text: excerpt(whole) };
    let (number, rest) = number::leading(text).ok_or_else(malformed)?;
    let rest = rest.trim();
    if rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-')) {
        return Err(malformed());
    }
    if let Some(unit) = Unit::find(kind, rest) {
        return if unit.factor < below {
            Ok((unit.to_si(sign * number), unit))
        } else {
            Err(malformed())
        };
    }
    if rest.is_empty() {
        let zero = Unit::of(kind)
            .next()
            .filter(|unit| number == 0.0 && unit.zero == 0.0);
        if let Some(unit) = zero.filter(|_| below.is_infinite()) {
            return Ok((0.0, unit));
        }
        let bare = if below.is_finite() { text } else { whole };
        return Err(Fault::BareNumber { text: excerpt(bare) });
    }
    if let Some((unit, tail)) = first_part(kind, rest).filter(|(unit, _)| unit.factor < below) {
        let (smaller, _) = parts(whole, sign, tail, kind, unit.factor)?;
        return Ok((unit.to_si(sign * number) + smaller, unit));
    }
    Err(Fault::unit(kind, whole, rest))
}

/// The unit of the first of several parts, and the text of the next ones: `ft` and `6 in` of `ft-6 in`.
fn first_part(kind: Kind, rest: &str) -> Option<(&'static Unit, &str)> {
    let in_parts = matches!(kind.written_as(), Kind::Length | Kind::Mass | Kind::Time);
    if !in_parts || Unit::find_any(rest).is_some() {
        return None;
    }
    let next = rest.find(|c: char| c.is_ascii_digit() || number::is_vulgar(c))?;
    let (mut unit, mut tail) = rest.split_at(next);
    if let Some(before) = unit.strip_suffix('.') {
        // `ft .5 in` is half an inch, but `ft.5 in` may be either: leave it to be refused.
        if !before.ends_with(' ') {
            return None;
        }
        (unit, tail) = rest.split_at(before.len());
    }
    let unit = unit.trim_end();
    let unit = unit.strip_suffix(['-', ',']).unwrap_or(unit).trim_end();
    Some((Unit::find(kind, unit)?, tail))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn inches(text: &str) -> f64 {
        Quantity::parse(text, Kind::Length).unwrap().si / 0.0254
    }

    #[test]
    fn a_nominal_diameter_is_a_length_in_millimeters() {
        for text in ["DN 63", "DN63", "DN/OD 63", "DN 63 mm"] {
            assert!(
                (Quantity::parse(text, Kind::Length).unwrap().si - 0.063).abs() < 1e-12,
                "{text}"
            );
        }
        assert!(
            Quantity::parse("DN", Kind::Length).is_err()
                && Quantity::parse("DN 63 in", Kind::Length).is_err()
        );
        assert!(Quantity::parse("DN 63", Kind::Flow).is_err());
    }

    #[test]
    fn lengths_as_builders_write_them() {
        for (text, want) in [
            ("6 in", 6.0),
            ("3 ft 6 in", 42.0),
            ("3' 6\"", 42.0),
            ("3'6\"", 42.0),
            ("3'-6 1/2\"", 42.5),
            ("3' - 6-1/2\"", 42.5),
            ("3\u{2032} 6\u{bd}\u{2033}", 42.5),
            ("1 ft-6 in", 18.0),
            ("1 ft, 6 in", 18.0),
            ("1 ft. 6 in.", 18.0),
            ("1 ft .5 in", 12.5),
            ("1-1/2 in", 1.5),
            ("1 1/2 in", 1.5),
            ("3/4 in", 0.75),
            ("\u{bd} in", 0.5),
            ("-2 ft 3 in", -27.0),
            ("\u{2212}2 ft 3 in", -27.0),
            ("- 14 in", -14.0),
            ("+4 in", 4.0),
            ("+0 in", 0.0),
            ("6\u{a0}in", 6.0),
            ("  6 INCHES ", 6.0),
            ("1 yd 1 ft 1 in", 49.0),
            ("45 mil", 0.045),
            ("25.4 mm", 1.0),
            ("2.54e-2 m", 1.0),
        ] {
            assert!((inches(text) - want).abs() < 1e-12, "{text}: {}", inches(text));
        }
    }

    #[test]
    fn nothing_is_the_same_in_every_unit() {
        for text in ["0", "+0", "-0", "0.0", " 0 "] {
            for kind in [Kind::Level, Kind::Length, Kind::Flow] {
                let quantity = Quantity::parse(text, kind).unwrap();
                assert!(quantity.si == 0.0 && quantity.si.is_sign_positive(), "{text}");
            }
        }
        // But 0 °C is not 0 °F.
        assert!(Quantity::parse("0", Kind::Temperature).is_err());
        assert!(Quantity::parse("0.1", Kind::Level).is_err());
    }

    #[test]
    fn other_kinds_as_people_write_them() {
        const GAL: f64 = 0.003785411784;
        for (text, kind, want) in [
            ("3,200 gph", Kind::Flow, 3200.0 * GAL / 3600.0),
            ("0.8 gpm/ft2", Kind::UpflowRate, 0.8 * GAL / 60.0 / 0.09290304),
            (
                "0.8 gpm per sq. ft.",
                Kind::UpflowRate,
                0.8 * GAL / 60.0 / 0.09290304,
            ),
            ("2 L/s per m", Kind::FlowPerWidth, 0.002),
            (
                "12 oz/yd\u{b2}",
                Kind::MassPerArea,
                12.0 * 0.028349523125 / 0.83612736,
            ),
            ("18 °C", Kind::Temperature, 291.15),
            ("-40 F", Kind::Temperature, 233.15),
            ("10 °F", Kind::TemperatureStep, 50.0 / 9.0),
            ("95 %", Kind::Share, 0.95),
            ("0.95", Kind::Share, 0.95),
            ("1.5", Kind::Ratio, 1.5),
            ("2:1", Kind::Slope, 2.0),
            ("2H : 1V", Kind::Slope, 2.0),
            ("1V:2H", Kind::Slope, 2.0),
            ("50 %", Kind::Slope, 2.0),
            ("45°", Kind::Slope, 1.0),
            ("0:1", Kind::Slope, 0.0),
            ("1 h 30 min", Kind::Time, 5400.0),
            ("5 lb 8 oz", Kind::Mass, 5.5 * 0.45359237),
            ("1 per ft2", Kind::PerArea, 1.0 / 0.09290304),
            ("9/m2", Kind::PerArea, 9.0),
            ("300 lb/ft2", Kind::Pressure, 300.0 * 4.4482216152605 / 0.09290304),
            ("1 year", Kind::Time, 31557600.0),
            ("12 months", Kind::Time, 31557600.0),
        ] {
            let si = Quantity::parse(text, kind).unwrap().si;
            assert!(
                (si - want).abs() <= 1e-12 * want.abs().max(1.0),
                "{text}: {si}, not {want}"
            );
        }
    }

    #[test]
    fn the_unit_as_written_is_kept() {
        for (text, want) in [("3 ft 6 in", "3.5 ft"), ("6 INCHES", "6 in"), ("4 yards", "4 yd")] {
            assert_eq!(Quantity::parse(text, Kind::Length).unwrap().to_string(), want);
        }
    }

    #[test]
    fn what_is_refused_says_why() {
        for (text, kind, message) in [
            ("3200", Kind::Flow, "`3200` has no unit; expected a flow"),
            ("0", Kind::Temperature, "`0` has no unit; expected a temperature"),
            ("3' 0", Kind::Length, "`0` has no unit; expected a length"),
            ("-14", Kind::Length, "`-14` has no unit; expected a length"),
            ("3' 6", Kind::Length, "`6` has no unit; expected a length"),
            ("2", Kind::Slope, "`2` has no unit; expected a slope"),
            ("3 gph", Kind::Length, "`3 gph` is a flow; expected a length"),
            ("3 ft2", Kind::Length, "`3 ft2` is an area; expected a length"),
            (
                "2 ft/s",
                Kind::UpflowRate,
                "`2 ft/s` is a velocity; expected an upflow rate",
            ),
            (
                "1 gpm/ft2",
                Kind::Velocity,
                "`1 gpm/ft2` is an upflow rate; expected a velocity",
            ),
            ("5 gpx", Kind::Flow, "`gpx` is not a unit of a flow"),
            ("5 T", Kind::Mass, "`T` is not a unit of a mass"),
            ("3,5 m", Kind::Length, "`3,5 m` is not one number with its unit"),
            ("5-6 in", Kind::Length, "`5-6 in` is not one number with its unit"),
            (
                "6 in 3 ft",
                Kind::Length,
                "`6 in 3 ft` is not one number with its unit",
            ),
            ("inf m", Kind::Length, "`inf m` is not one number with its unit"),
            ("nan", Kind::Ratio, "`nan` is not one number with its unit"),
            ("", Kind::Ratio, "`` is not one number with its unit"),
            ("1e400 m", Kind::Length, "`1e400 m` is too large to be a length"),
            ("1:0", Kind::Slope, "`1:0` cannot be a slope: nothing rises in it"),
            ("0 %", Kind::Slope, "`0 %` cannot be a slope: nothing rises in it"),
            (
                "-500 °F",
                Kind::Temperature,
                "`-500 °F` cannot be a temperature: it lies below absolute zero",
            ),
            (
                "1 \u{1b}[31m",
                Kind::Length,
                "`\u{fffd}[31m` is not a unit of a length",
            ),
        ] {
            let error = Quantity::parse(text, kind).unwrap_err();
            assert_eq!(error.to_string(), message, "{text}");
            assert!(error.help().contains(kind.name()), "{text}: {}", error.help());
        }
        let long = Quantity::parse(&"9".repeat(201), Kind::Length).unwrap_err();
        assert_eq!(
            long.to_string(),
            "201 characters are too many for a length (at most 200)"
        );
    }

    #[test]
    fn help_names_the_nearest_unit_and_the_accepted_ones() {
        let help = |text, kind| Quantity::parse(text, kind).unwrap_err().help();
        assert!(help("5 gpx", Kind::Flow).starts_with("did you mean `gp"));
        assert!(
            help("5 galons", Kind::Volume).starts_with("did you mean `gal`? a volume is given in gal, ft³")
        );
        assert!(help("1 gpm/f2", Kind::UpflowRate).starts_with("did you mean `gpm/ft²`?"));
        assert!(help("3200", Kind::Flow).starts_with("perhaps `3200 gph`? a flow is given in gph, gpm"));
        assert!(help("3,5 m", Kind::Length).starts_with("a comma only sets off thousands"));
        assert!(help("5 T", Kind::Mass).starts_with("a mass is given in"));
        assert!(help("5 zorkmids", Kind::Flow).starts_with("a flow is given in"));
    }
}
