//! An arithmetic of printed lines: `12 in − (6 in + 7 in) = −1 in`, each number with the half unit of its last digit.

use bywash::quantity::UNITS;

/// A value in SI, and how far the digits printed leave it open.
#[derive(Clone, Copy, Debug)]
pub struct Printed {
    /// In SI.
    pub si: f64,
    /// Half a unit of the last digit, carried through the arithmetic.
    pub open: f64,
}

/// What a worked line comes to and what it says it comes to; none where a symbol is left in it.
pub fn sides(line: &str) -> Option<(Printed, Printed)> {
    let parts: Vec<&str> = line.split(" = ").collect();
    let [_, formula, result] = parts.as_slice() else {
        return None;
    };
    let mut said = value(result)?;
    // A result is rounded even where it has no unit.
    let bare = result.replace(',', "");
    if said.open == 0.0 && bare.chars().all(|c| c.is_ascii_digit()) {
        said.open = 0.5 * 10f64.powi(i32::try_from(bare.len()).ok()?.saturating_sub(3).max(0));
    }
    Some((value(formula)?, said))
}

fn value(text: &str) -> Option<Printed> {
    let mut reader = Reader { rest: text.trim() };
    let value = reader.sum()?;
    reader.rest.trim().is_empty().then_some(value)
}

struct Reader<'a> {
    rest: &'a str,
}

impl Reader<'_> {
    fn takes(&mut self, sign: &str) -> bool {
        let rest = self.rest.trim_start();
        let found = rest.strip_prefix(sign);
        if let Some(rest) = found {
            self.rest = rest;
        }
        found.is_some()
    }

    fn sum(&mut self) -> Option<Printed> {
        let mut sum = self.product()?;
        loop {
            let sign = if self.takes("+") {
                1.0
            } else if self.takes("−") {
                -1.0
            } else {
                return Some(sum);
            };
            let next = self.product()?;
            sum = Printed {
                si: sum.si + sign * next.si,
                open: sum.open + next.open,
            };
        }
    }

    fn product(&mut self) -> Option<Printed> {
        let mut product = self.factor()?;
        loop {
            if self.takes("·") {
                let next = self.factor()?;
                product = Printed {
                    si: product.si * next.si,
                    open: product.open * next.si.abs() + next.open * product.si.abs(),
                };
            } else if self.takes("/") {
                let next = self.factor()?;
                product = Printed {
                    si: product.si / next.si,
                    open: product.open / next.si.abs() + next.open * product.si.abs() / (next.si * next.si),
                };
            } else {
                return Some(product);
            }
        }
    }

    fn factor(&mut self) -> Option<Printed> {
        let base = self.atom()?;
        let power = if self.takes("²") {
            2.0
        } else if self.takes("³") {
            3.0
        } else if self.takes("^") {
            self.atom()?.si
        } else {
            return Some(base);
        };
        Some(Printed {
            si: base.si.powf(power),
            open: (power * base.si.powf(power - 1.0)).abs() * base.open,
        })
    }

    fn atom(&mut self) -> Option<Printed> {
        for (name, pick) in [("max(", f64::max as fn(f64, f64) -> f64), ("min(", f64::min)] {
            if self.takes(name) {
                return self.least_or_most(pick);
            }
        }
        if self.takes("√") {
            let under = self.atom()?;
            let root = under.si.sqrt();
            return Some(Printed {
                si: root,
                open: under.open / (2.0 * root),
            });
        }
        if self.takes("π") {
            return Some(exact(std::f64::consts::PI));
        }
        if self.takes("(") {
            let inner = self.sum()?;
            return self.takes(")").then_some(inner);
        }
        self.number()
    }

    fn least_or_most(&mut self, pick: fn(f64, f64) -> f64) -> Option<Printed> {
        let mut found = self.sum()?;
        while self.takes(",") {
            let next = self.sum()?;
            if pick(found.si, next.si) == next.si {
                found = next;
            }
        }
        self.takes(")").then_some(found)
    }

    /// `−1,234.5 gal`, `3 ft 6 in` or a bare number.
    fn number(&mut self) -> Option<Printed> {
        let sign = if self.takes("−") {
            -1.0
        } else {
            self.takes("+");
            1.0
        };
        let mut value = self.one_number()?;
        while self.rest.starts_with(' ') && self.rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
            let next = self.one_number()?;
            value = Printed {
                si: value.si + next.si,
                open: next.open,
            };
        }
        Some(Printed {
            si: sign * value.si,
            open: value.open,
        })
    }

    fn one_number(&mut self) -> Option<Printed> {
        let rest = self.rest.trim_start();
        let end = rest
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .unwrap_or(rest.len());
        let digits = rest[..end].trim_end_matches(',');
        let number: f64 = digits.replace(',', "").parse().ok()?;
        let places = digits.split_once('.').map_or(0, |(_, places)| places.len());
        // Three digits are printed, so that a zero at the end of a larger number stands for any digit.
        let whole = digits
            .split('.')
            .next()
            .unwrap_or_default()
            .replace(',', "")
            .len();
        let last = i32::try_from(whole).ok()?.saturating_sub(3).max(0) - i32::try_from(places).ok()?;
        let half = 0.5 * 10f64.powi(last);
        self.rest = &rest[digits.len()..];
        // The longest symbol that a unit is printed with.
        let unit = UNITS
            .iter()
            .filter(|unit| {
                let after = self.rest.trim_start().strip_prefix(unit.symbol);
                !unit.symbol.is_empty()
                    && after
                        .is_some_and(|after| !after.starts_with(|c: char| c.is_alphanumeric() || c == '/'))
            })
            .max_by_key(|unit| unit.symbol.len());
        let Some(unit) = unit else {
            let letters = self
                .rest
                .trim_start()
                .starts_with(|c: char| c.is_alphabetic() || c == '°');
            // A bare whole number of a formula is exact.
            return (!letters).then_some(Printed {
                si: number,
                open: if places == 0 { 0.0 } else { half },
            });
        };
        if unit.zero != 0.0 {
            return None;
        }
        self.takes(unit.symbol);
        Some(Printed {
            si: unit.to_si(number),
            open: unit.to_si(half),
        })
    }
}

fn exact(si: f64) -> Printed {
    Printed { si, open: 0.0 }
}

#[test]
fn a_printed_line_is_worked_out_in_its_units_and_to_its_digits() {
    let (got, said) = sides("F = +12 in − (+10.85 in) = 1.15 in").unwrap();
    assert!((got.si - said.si).abs() < 1e-12, "{got:?} {said:?}");
    let (got, said) = sides("r = 3 ft 6 in / 2 ft = 1.75").unwrap();
    assert!((got.si - said.si).abs() < 1e-12);
    let (got, said) = sides("F = max(0, +12.5 in − (+10.85 in)) = 2.65 in").unwrap();
    assert!((got.si - said.si).abs() > got.open + said.open);
    assert!(sides("P = ρ·9.81 = 3 W").is_none());
}
