//! Numbers as builders write them: `3,200`, `0.75`, `3/4`, `1-1/2`, `6½`.

/// The unsigned number at the head of `text`, and what follows it; none where no number starts or it is
/// malformed (`3,5`, `1/0`, `1 3/2`).
///
/// `text` has gone through [`super::spelling::plain`]. The number may be infinite, as `1e400` is.
pub(super) fn leading(text: &str) -> Option<(f64, &str)> {
    if let Some((fraction, rest)) = vulgar(text) {
        return Some((fraction, rest));
    }
    let (digits, rest) = split_while(text, |c| c.is_ascii_digit() || c == ',');
    let whole = ungrouped(digits)?;
    let (decimals, after) = decimals(rest);
    if whole.is_empty() && decimals.is_empty() {
        return None;
    }
    let (exponent, after) = exponent(after);
    if decimals.is_empty() && exponent.is_empty() {
        return with_fraction(whole.parse().ok()?, after);
    }
    let number = format!("0{whole}.{decimals}0{exponent}").parse().ok()?;
    Some((number, after))
}

/// Whether `c` is a fraction in one character, such as `½`.
pub(super) fn is_vulgar(c: char) -> bool {
    part_of_one(c).is_some()
}

/// The whole number with the fraction that may follow: `3` `/4`, `1` `-1/2`, `6` `½`.
fn with_fraction(whole: f64, rest: &str) -> Option<(f64, &str)> {
    if let Some(denominator) = rest.strip_prefix('/').filter(|d| starts_with_digit(d)) {
        return divide(whole, denominator);
    }
    let joined = rest.trim_start();
    let joined = joined.strip_prefix('-').unwrap_or(joined).trim_start();
    if let Some((fraction, after)) = vulgar(joined) {
        return Some((whole + fraction, after));
    }
    let (numerator, tail) = split_while(joined, |c| c.is_ascii_digit());
    match tail.strip_prefix('/').filter(|d| starts_with_digit(d)) {
        Some(denominator) if !numerator.is_empty() => {
            let (fraction, after) = divide(numerator.parse().ok()?, denominator)?;
            (fraction < 1.0).then_some((whole + fraction, after))
        }
        _ => Some((whole, rest)),
    }
}

/// `numerator` over the whole number at the head of `text`.
fn divide(numerator: f64, text: &str) -> Option<(f64, &str)> {
    let (digits, rest) = split_while(text, |c| c.is_ascii_digit());
    let denominator: f64 = digits.parse().ok()?;
    (denominator > 0.0).then_some((numerator / denominator, rest))
}

/// The digits without their commas, which may only set off thousands.
fn ungrouped(digits: &str) -> Option<String> {
    let mut groups = digits.split(',');
    let first = groups.next()?;
    let grouped = digits.contains(',');
    if grouped && (first.is_empty() || first.len() > 3 || groups.any(|group| group.len() != 3)) {
        return None;
    }
    Some(digits.replace(',', ""))
}

/// The decimals after a point, without it, and what follows.
fn decimals(text: &str) -> (&str, &str) {
    match text.strip_prefix('.') {
        Some(rest) if starts_with_digit(rest) => split_while(rest, |c| c.is_ascii_digit()),
        _ => ("", text),
    }
}

/// `e-3` with its letter, and what follows; nothing where the letter begins a unit.
fn exponent(text: &str) -> (&str, &str) {
    let Some(rest) = text.strip_prefix(['e', 'E']) else {
        return ("", text);
    };
    let digits = rest.strip_prefix(['-', '+']).unwrap_or(rest);
    let (power, after) = split_while(digits, |c| c.is_ascii_digit());
    if power.is_empty() {
        return ("", text);
    }
    text.split_at(text.len() - after.len())
}

/// The one-character fraction at the head of `text`.
fn vulgar(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    Some((part_of_one(first)?, text.get(first.len_utf8()..)?))
}

/// The value of a fraction in one character.
fn part_of_one(c: char) -> Option<f64> {
    let (numerator, denominator) = match c {
        '¼' => (1.0, 4.0),
        '½' => (1.0, 2.0),
        '¾' => (3.0, 4.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    };
    Some(numerator / denominator)
}

fn starts_with_digit(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

fn split_while(text: &str, keep: impl Fn(char) -> bool) -> (&str, &str) {
    text.split_at(text.find(|c| !keep(c)).unwrap_or(text.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_what_follows() {
        for (text, number, rest) in [
            ("3200 gph", 3200.0, " gph"),
            ("3,200 gph", 3200.0, " gph"),
            ("1,234,567.5", 1234567.5, ""),
            ("0.8 gpm/ft2", 0.8, " gpm/ft2"),
            (".5in", 0.5, "in"),
            ("3/4 in", 0.75, " in"),
            ("1-1/2 in", 1.5, " in"),
            ("1 1/2 in", 1.5, " in"),
            ("1 - 1/2 in", 1.5, " in"),
            ("6½\"", 6.5, "\""),
            ("6 ½ in", 6.5, " in"),
            ("¾ in", 0.75, " in"),
            ("1e3 gph", 1000.0, " gph"),
            ("1.5E-2m", 0.015, "m"),
            ("2 each", 2.0, " each"),
            ("3 ft 6 in", 3.0, " ft 6 in"),
            ("1 ft-6 in", 1.0, " ft-6 in"),
            ("4/ft2", 4.0, "/ft2"),
            ("5-6 in", 5.0, "-6 in"),
            ("3. ft", 3.0, ". ft"),
        ] {
            assert_eq!(leading(text), Some((number, rest)), "{text}");
        }
        assert_eq!(leading("1e400").map(|(number, _)| number), Some(f64::INFINITY));
    }

    #[test]
    fn malformed_numbers_are_none() {
        for text in [
            "", "in", "3,5 m", ",5", "1,23,456", "1234,567", "1/0 in", "1 3/2 in", "inf", "nan", "-3", ".",
        ] {
            assert_eq!(leading(text), None, "{text}");
        }
    }
}
