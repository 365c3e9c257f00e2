//! Numbers as text: honest digits, thousands set off, never an exponent.

/// Significant digits of a computed value in print.
pub(super) const USUAL: usize = 3;

/// A value that is this short a decimal was written by hand, and prints as it was written.
const AS_WRITTEN: usize = 6;

/// Relative error that conversions to SI and back may leave in a value as written.
const CONVERSION: f64 = 1e-9;

/// Below this, at the usual digits, a number of any natural unit is nothing.
const NOTHING: f64 = 5e-7;

/// The value as printed to `digits` significant digits; in full where it is a short decimal as written.
pub(super) fn rounded(value: f64, digits: usize) -> f64 {
    if !value.is_finite() || (digits <= USUAL && value.abs() < NOTHING) {
        return if value.is_finite() { 0.0 } else { value };
    }
    (digits..=AS_WRITTEN)
        .map(|most| significant(value, most))
        .find(|short| (short - value).abs() <= CONVERSION * value.abs())
        .unwrap_or_else(|| significant(value, digits))
}

/// The number to `digits` significant digits, as [`rounded`], without trailing zeros: `3,200`, `−0.75`, `6`.
pub(super) fn decimal(value: f64, digits: usize) -> String {
    let value = rounded(value, digits);
    if !value.is_finite() {
        return "undefined".to_owned();
    }
    let sign = if value < 0.0 { "\u{2212}" } else { "" };
    format!("{sign}{}", grouped(&value.abs().to_string()))
}

/// The value rounded to `digits` significant digits.
pub(super) fn significant(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits.saturating_sub(1))
        .parse()
        .unwrap_or(value)
}

/// Plain digits with the thousands set off by commas.
pub(crate) fn grouped(number: &str) -> String {
    let (whole, decimals) = number
        .find('.')
        .map_or((number, ""), |point| number.split_at(point));
    let mut out = String::with_capacity(number.len() + number.len() / 3);
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out + decimals
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_print_with_honest_digits() {
        for (value, want) in [
            (3200.0, "3,200"),
            (3247.0, "3,247"),
            (3247.4182937, "3,250"),
            (14523.771923, "14,500"),
            (1234567.891234, "1,230,000"),
            (5.999999999999999, "6"),
            (6.125, "6.125"),
            (0.6123456789, "0.612"),
            (0.00001234567, "0.0000123"),
            (-0.75, "\u{2212}0.75"),
            (-1e-12, "0"),
            (0.0, "0"),
            (-0.0, "0"),
            (999.96123, "1,000"),
            (f64::NAN, "undefined"),
            (f64::INFINITY, "undefined"),
        ] {
            assert_eq!(decimal(value, USUAL), want, "{value}");
        }
    }

    #[test]
    fn more_digits_on_request() {
        assert_eq!(decimal(std::f64::consts::PI, 8), "3.1415927");
        assert_eq!(decimal(1e-9 / 3.0, 4), "0.0000000003333");
    }
}
