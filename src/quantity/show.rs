//! Quantities as text, in units people of either system use for their kind and size.

use super::{
    Kind, Unit,
    digits::{USUAL, decimal, rounded, significant},
};

/// The units values are shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum UnitSystem {
    /// Inches, gallons, pounds, °F.
    #[default]
    Us,
    /// Metres, litres, kilograms, °C.
    Si,
}

/// The digits of an estimate.
const ESTIMATE: usize = 2;
/// Relative and absolute (SI) tolerance within which two values are the same.
const TOLERANCE: (f64, f64) = (1e-9, 1e-12);

/// Whether two SI values are the same but for the rounding of arithmetic: neither is then over the other.
pub fn agree(a: f64, b: f64) -> bool {
    (a - b).abs() <= TOLERANCE.0 * a.abs().max(b.abs()) + TOLERANCE.1
}

/// The unit that a value of this kind and size is shown in.
pub fn natural_unit(si: f64, kind: Kind, system: UnitSystem) -> &'static Unit {
    let (small, large) = ladder(kind, system);
    let symbol = small
        .iter()
        .find(|(below, _)| si.abs() < *below)
        .map_or(large, |(_, symbol)| symbol);
    Unit::named(kind, symbol)
}

/// The value in its natural unit with the usual three digits, more where it was written with more: `3,200 gph`.
pub fn show(si: f64, kind: Kind, system: UnitSystem) -> String {
    if kind == Kind::Level {
        return show_level(si, system);
    }
    let unit = natural_unit(si, kind, system);
    show_in(si, unit, digits_of(si, unit))
}

/// The digits a computed value deserves: three, but no length finer than a hundredth of an inch or a tenth of a
/// millimetre, which nobody builds to, and no share finer than a tenth of a per cent.
fn digits_of(si: f64, unit: &Unit) -> usize {
    let (value, decimals) = match unit.symbol {
        "in" => (unit.from_si(si).abs(), 2),
        "mm" | "%" => (unit.from_si(si).abs(), 1),
        _ => return USUAL,
    };
    let finest = 0.5 * 10f64.powi(-decimals);
    if value < finest {
        return USUAL;
    }
    let before_point = (value.log10().floor() as i32).saturating_add(1);
    usize::try_from(before_point.saturating_add(decimals))
        .unwrap_or(1)
        .clamp(1, USUAL)
}

/// The value in a unit with a number of significant digits.
pub fn show_in(si: f64, unit: &Unit, digits: usize) -> String {
    let value = unit.from_si(si);
    // No share is written finer than a tenth of a per cent.
    let value = if unit.symbol == "%" && digits <= USUAL {
        (value * 10.0).round() / 10.0
    } else {
        value
    };
    with_unit(&decimal(value, digits), unit)
}

/// A computed value in its natural unit, to three digits and no more, whatever it comes to.
pub fn show_computed(si: f64, kind: Kind, system: UnitSystem) -> String {
    if kind == Kind::Level {
        return show_level(si, system);
    }
    show_computed_in(si, natural_unit(si, kind, system))
}

/// A computed value in a unit, to three digits and no more.
pub fn show_computed_in(si: f64, unit: &Unit) -> String {
    let value = significant(unit.from_si(si), digits_of(si, unit));
    show_in(unit.to_si(value), unit, USUAL)
}

/// An estimate in its natural unit, to two digits.
pub fn show_estimate(si: f64, kind: Kind, system: UnitSystem) -> String {
    let unit = natural_unit(si, kind, system);
    show_in(unit.to_si(significant(unit.from_si(si), ESTIMATE)), unit, USUAL)
}

/// A limit in its natural unit: as it was written; one that was written in the other system to the digits that a
/// computed value deserves, `1.52 m/s` for 5 ft/s.
pub fn show_limit(si: f64, kind: Kind, system: UnitSystem) -> String {
    if kind == Kind::Level {
        return show_level(si, system);
    }
    let unit = natural_unit(si, kind, system);
    let digits = digits_of(si, unit);
    show_in(unit.to_si(limit_to(si, kind, system, digits)), unit, digits)
}

/// A limit in its natural unit as it prints to so many digits.
fn limit_to(si: f64, kind: Kind, system: UnitSystem, digits: usize) -> f64 {
    let in_unit = |system| natural_unit(si, kind, system).from_si(si);
    let is_short = |value: f64| agree(significant(value, USUAL), value);
    let (own, other) = match system {
        UnitSystem::Us => (in_unit(UnitSystem::Us), in_unit(UnitSystem::Si)),
        UnitSystem::Si => (in_unit(UnitSystem::Si), in_unit(UnitSystem::Us)),
    };
    let is_converted = !is_short(own) && is_short(other);
    if is_converted {
        significant(own, digits)
    } else {
        rounded(own, digits)
    }
}

/// What was found and the limit it is held against, both in the limit's unit and with digits enough to tell
/// them apart in the right order, unless they [`agree`]; then both read alike.
pub fn show_pair(found: f64, limit: f64, kind: Kind, system: UnitSystem) -> (String, String) {
    let unit = natural_unit(if limit == 0.0 { found } else { limit }, kind, system);
    let (a, b) = (unit.from_si(found), unit.from_si(limit));
    let (least_a, least_b) = (digits_of(found, unit), digits_of(limit, unit));
    let limit_at = |digits: usize| limit_to(limit, kind, system, digits.max(least_b));
    if agree(found, limit) {
        let text = show_in(unit.to_si(limit_at(USUAL)), unit, USUAL);
        return (text.clone(), text);
    }
    let apart =
        |digits: usize| rounded(a, digits.max(least_a)).partial_cmp(&limit_at(digits)) == a.partial_cmp(&b);
    let digits = (1..=16).find(|&digits| apart(digits)).unwrap_or(17);
    let digits_a = digits.max(least_a);
    // Four digits are as many as anybody writes; a figure that comes out even deserves no more of them than others.
    let short = significant(a, digits_a);
    let as_written = agree(significant(a, USUAL + 1), a);
    let in_order = short.partial_cmp(&limit_at(digits)) == a.partial_cmp(&b);
    let found = if as_written || !in_order {
        found
    } else {
        unit.to_si(short)
    };
    (
        show_in(found, unit, digits_a),
        show_in(unit.to_si(limit_at(digits)), unit, digits.max(least_b)),
    )
}

/// A signed difference of two values of a kind, in the unit of the value it is measured from: `+1.5 in`, `−4 °F`.
pub fn show_margin(difference: f64, from: f64, kind: Kind, system: UnitSystem) -> String {
    let kind = match kind {
        Kind::Temperature => Kind::TemperatureStep,
        Kind::Level => Kind::Length,
        other => other,
    };
    let unit = natural_unit(
        if from == 0.0 || kind == Kind::TemperatureStep {
            difference
        } else {
            from
        },
        kind,
        system,
    );
    // A small difference of two values has no more digits than they have.
    let small = difference.abs() < 0.1 * from.abs();
    let digits = digits_of(difference, unit);
    let digits = if small { digits.min(2) } else { digits };
    let difference = unit.to_si(significant(unit.from_si(difference), digits));
    plus(show_in(difference, unit, digits))
}

/// A level above (+) or below (−) the benchmark: `−14.25 in` within 10 ft, feet beyond; mm within 1 m.
pub fn show_level(si: f64, system: UnitSystem) -> String {
    show_level_in(si, level_unit(si, system))
}

/// The unit a level is shown in.
pub fn level_unit(si: f64, system: UnitSystem) -> &'static Unit {
    let symbol = match system {
        UnitSystem::Us if si.abs() < 3.048 => "in",
        UnitSystem::Us => "ft",
        UnitSystem::Si if si.abs() < 1.0 => "mm",
        UnitSystem::Si => "m",
    };
    Unit::named(Kind::Length, symbol)
}

/// A level above (+) or below (−) the benchmark in a unit: to a hundredth of an inch or foot, a tenth of a millimetre.
pub fn show_level_in(si: f64, unit: &Unit) -> String {
    let per_unit = match unit.symbol {
        "mm" => 10.0,
        "m" => 1000.0,
        _ => 100.0,
    };
    let steps = (unit.from_si(si) * per_unit).round();
    plus(with_unit(&decimal(steps / per_unit, 16), unit))
}

/// A length in feet and inches to the nearest eighth: `3 ft 6-1/2 in`, `−7-1/8 in`.
pub fn feet_inches(si: f64) -> String {
    if !si.is_finite() {
        return "undefined".to_owned();
    }
    let eighths = (si.abs() / 0.0254 * 8.0).round() as u64;
    let (feet, inches, part) = (eighths / 96, eighths / 8 % 12, eighths % 8);
    let sign = if si < 0.0 && eighths > 0 { "\u{2212}" } else { "" };
    let inches = match (inches, eighth(part)) {
        (whole, None) => format!("{whole} in"),
        (0, Some(part)) => format!("{part} in"),
        (whole, Some(part)) => format!("{whole}-{part} in"),
    };
    if feet == 0 {
        format!("{sign}{inches}")
    } else {
        format!("{sign}{feet} ft {inches}")
    }
}

/// Eighths in lowest terms.
const fn eighth(part: u64) -> Option<&'static str> {
    Some(match part {
        1 => "1/8",
        2 => "1/4",
        3 => "3/8",
        4 => "1/2",
        5 => "5/8",
        6 => "3/4",
        7 => "7/8",
        _ => return None,
    })
}

/// The text with a plus sign unless it has a minus sign or is nothing.
fn plus(text: String) -> String {
    let positive = text.starts_with(|c: char| matches!(c, '1'..='9')) || text.starts_with("0.");
    if positive { format!("+{text}") } else { text }
}

/// A number with its unit, spaced and in the plural as English has it.
fn with_unit(number: &str, unit: &Unit) -> String {
    match unit.symbol {
        symbol @ ("" | "°" | ":1") => format!("{number}{symbol}"),
        symbol if symbol.starts_with('/') => format!("{number}{symbol}"),
        symbol @ ("day" | "week" | "month" | "year" | "ton" | "acre") if number != "1" => {
            format!("{number} {symbol}s")
        }
        symbol => format!("{number} {symbol}"),
    }
}

/// Units for values below a bound (SI), smallest first, and the unit beyond the last bound.
type Ladder = (&'static [(f64, &'static str)], &'static str);

/// The units a kind is shown in.
const fn ladder(kind: Kind, system: UnitSystem) -> Ladder {
    match system {
        UnitSystem::Us => us(kind),
        UnitSystem::Si => si(kind),
    }
}

const fn us(kind: Kind) -> Ladder {
    match kind {
        // Six feet.
        Kind::Length | Kind::Level => (&[(1.8288, "in")], "ft"),
        // A square foot, an acre.
        Kind::Area => (&[(0.09290304, "in²"), (4046.8564224, "ft²")], "acre"),
        Kind::Volume => (&[], "gal"),
        // A cubic yard.
        Kind::BulkVolume => (&[(0.764554857984, "ft³")], "yd³"),
        // 20,000 gph.
        Kind::Flow => (&[(0.021030066, "gph")], "gpm"),
        // A tenth of a foot per second.
        Kind::Velocity => (&[(0.03048, "in/s")], "ft/s"),
        Kind::UpflowRate => (&[], "gpm/ft²"),
        Kind::FlowPerWidth => (&[], "gpm/ft"),
        // A quarter pound, two tons.
        Kind::Mass => (&[(0.11339809, "oz"), (1814.36948, "lb")], "ton"),
        Kind::MassRate => (&[(1.3e-6, "oz/d")], "lb/d"),
        Kind::MassPerArea => (&[], "oz/yd²"),
        Kind::Density => (&[], "lb/ft³"),
        Kind::Stocking => (&[], "lb per 1,000 gal"),
        Kind::GroundPressure => (&[], "psf"),
        // A tenth of a psi.
        Kind::Pressure => (&[(689.4757, "psf")], "psi"),
        Kind::ForcePerLength => (&[], "lb/ft"),
        Kind::Temperature | Kind::TemperatureStep => (&[], "°F"),
        Kind::PerArea => (&[], "/ft²"),
        Kind::RainRate => (&[], "in/h"),
        _ => either(kind),
    }
}

const fn si(kind: Kind) -> Ladder {
    match kind {
        Kind::Length | Kind::Level => (&[(1.0, "mm")], "m"),
        Kind::Area => (&[(0.01, "cm²"), (10000.0, "m²")], "ha"),
        Kind::Volume => (&[(1.0, "L")], "m³"),
        Kind::BulkVolume => (&[], "m³"),
        // A tenth of a cubic metre per hour.
        Kind::Flow => (&[(2.777e-5, "L/h")], "m³/h"),
        Kind::Velocity => (&[(0.01, "mm/s")], "m/s"),
        Kind::UpflowRate => (&[], "m/h"),
        Kind::FlowPerWidth => (&[], "L/s per m"),
        Kind::Mass => (&[(1.0, "g"), (1000.0, "kg")], "t"),
        // A kilogram per day.
        Kind::MassRate => (&[(1.0 / 86400.0, "g/d")], "kg/d"),
        Kind::MassPerArea => (&[], "g/m²"),
        Kind::Density | Kind::Stocking => (&[], "kg/m³"),
        Kind::GroundPressure => (&[], "kPa"),
        Kind::Pressure => (&[(1000.0, "Pa")], "kPa"),
        Kind::ForcePerLength => (&[], "kN/m"),
        Kind::Temperature | Kind::TemperatureStep => (&[], "°C"),
        Kind::PerArea => (&[], "/m²"),
        Kind::RainRate => (&[], "mm/h"),
        _ => either(kind),
    }
}

/// The units of kinds that both systems write alike.
const fn either(kind: Kind) -> Ladder {
    match kind {
        Kind::Concentration => (&[], "mg/L"),
        // Two minutes, two hours, two days, two months, two years.
        Kind::Time => (
            &[
                (120.0, "s"),
                (7200.0, "min"),
                (172_800.0, "h"),
                (5_259_600.0, "day"),
                (63_115_200.0, "month"),
            ],
            "year",
        ),
        Kind::Power => (&[(1000.0, "W")], "kW"),
        Kind::Energy => (&[(3.6e5, "Wh")], "kWh"),
        Kind::Share => (&[], "%"),
        Kind::Slope => (&[], ":1"),
        Kind::Angle => (&[], "°"),
        Kind::Voltage => (&[], "V"),
        Kind::Current => (&[(0.1, "mA")], "A"),
        _ => (&[], ""),
    }
}

#[cfg(test)]
mod tests {
    use super::{Kind::*, UnitSystem::*, *};

    #[test]
    fn every_step_of_every_ladder_is_a_unit_of_its_kind() {
        for (kind, system) in Kind::ALL.into_iter().flat_map(|kind| [(kind, Us), (kind, Si)]) {
            let (small, large) = ladder(kind, system);
            assert!(small.windows(2).all(|pair| pair[0].0 < pair[1].0), "{kind}");
            for symbol in small.iter().map(|(_, symbol)| symbol).chain([&large]) {
                assert!(Unit::find(kind, symbol).is_some(), "{kind}: {symbol}");
            }
        }
    }

    #[test]
    fn values_show_in_their_natural_units() {
        for (si, kind, us, metric) in [
            (6.0 * 0.0254, Length, "6 in", "152.4 mm"),
            (7.5 * 0.0254, Length, "7.5 in", "190.5 mm"),
            (12.4 * 0.3048, Length, "12.4 ft", "3.77952 m"),
            (3.0 + 1.0 / 7.0, Length, "10.3 ft", "3.14 m"),
            (3200.0 * 0.003785411784 / 3600.0, Flow, "3,200 gph", "12.1 m³/h"),
            (0.05, Flow, "793 gpm", "180 m³/h"),
            (1450.0 * 0.003785411784, Volume, "1,450 gal", "5.49 m³"),
            (137895.14586, Pressure, "20 psi", "138 kPa"),
            (291.15, Temperature, "64.4 °F", "18 °C"),
            (5.0, TemperatureStep, "9 °F", "5 °C"),
            (0.95, Share, "95 %", "95 %"),
            (1.5, Ratio, "1.5", "1.5"),
            (2.0, Slope, "2:1", "2:1"),
            (std::f64::consts::FRAC_PI_6, Angle, "30°", "30°"),
            (86400.0 * 7.0, Time, "7 days", "7 days"),
            (3600.0, Time, "60 min", "60 min"),
            (9.0, PerArea, "0.836/ft²", "9/m²"),
            (0.0, Length, "0 in", "0 mm"),
        ] {
            assert_eq!(show(si, kind, Us), us);
            assert_eq!(show(si, kind, Si), metric);
        }
    }

    #[test]
    fn a_pair_differs_in_print_exactly_where_it_differs() {
        let inches = |found: f64| show_pair(found * 0.0254, 6.0 * 0.0254, Length, Us);
        assert_eq!(inches(5.98), ("5.98 in".to_owned(), "6 in".to_owned()));
        assert_eq!(inches(5.99961234567), ("5.9996 in".to_owned(), "6 in".to_owned()));
        assert_eq!(
            inches(6.00000123456789),
            ("6.000001 in".to_owned(), "6 in".to_owned())
        );
        assert_eq!(inches(6.0 + 1e-12), ("6 in".to_owned(), "6 in".to_owned()));
        assert_eq!(inches(148.8), ("148.8 in".to_owned(), "6 in".to_owned()));
        let zero = show_pair(-0.001, 0.0, Length, Us);
        assert_eq!(zero, ("\u{2212}0.04 in".to_owned(), "0 in".to_owned()));
    }

    #[test]
    fn a_limit_written_in_the_other_system_is_told_to_three_digits_unless_more_tell_it_apart() {
        let five_feet = 5.0 * 0.3048;
        assert_eq!(show_limit(five_feet, Velocity, Si), "1.52 m/s");
        assert_eq!(show_limit(five_feet, Velocity, Us), "5 ft/s");
        assert_eq!(show_limit(6.0 * 0.0254, Length, Si), "152 mm");
        assert_eq!(show_limit(1.525, Velocity, Si), "1.525 m/s");
        for (found, shown, limit) in [
            (1.55, "1.55 m/s", "1.52 m/s"),
            (1.51, "1.51 m/s", "1.52 m/s"),
            (1.522, "1.522 m/s", "1.524 m/s"),
            (1.5231, "1.523 m/s", "1.524 m/s"),
            (1.5249, "1.5249 m/s", "1.52 m/s"),
            (five_feet, "1.52 m/s", "1.52 m/s"),
        ] {
            let pair = show_pair(found, five_feet, Velocity, Si);
            assert_eq!(pair, (shown.to_owned(), limit.to_owned()), "{found}");
        }
    }

    #[test]
    fn margins_and_levels_carry_their_sign() {
        assert_eq!(show_margin(1.5 * 0.0254, 0.0, Length, Us), "+1.5 in");
        assert_eq!(show_margin(-20.0 / 9.0, 0.0, Temperature, Us), "\u{2212}4 °F");
        assert_eq!(show_margin(0.0, 0.0, Ratio, Us), "0");
        assert_eq!(show_margin(0.25, 0.0, Ratio, Us), "+0.25");
        assert_eq!(show_level(-14.0 * 0.0254, Us), "\u{2212}14 in");
        assert_eq!(show_level(15.5 * 0.0254, Us), "+15.5 in");
        assert_eq!(show_level(-14.0371 * 0.0254, Us), "\u{2212}14.04 in");
        assert_eq!(show_level(-12.345678 * 0.3048, Us), "\u{2212}12.35 ft");
        assert_eq!(show_level(0.1524, Si), "+152.4 mm");
        assert_eq!(show_level(-2.345678, Si), "\u{2212}2.346 m");
        assert_eq!(show_level(-1e-15, Us), "0 in");
    }

    #[test]
    fn feet_and_inches_round_to_eighths() {
        for (inches, want) in [
            (42.5, "3 ft 6-1/2 in"),
            (-7.13, "\u{2212}7-1/8 in"),
            (11.99, "1 ft 0 in"),
            (0.25, "1/4 in"),
            (-0.01, "0 in"),
            (24.625, "2 ft 5/8 in"),
        ] {
            assert_eq!(feet_inches(inches * 0.0254), want);
        }
        assert_eq!(feet_inches(f64::NAN), "undefined");
    }
}
