//! Calendar dates.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// A calendar date; ordered by time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// Reads a date written as `2026-04-30`; none where no such day is in the calendar.
    pub fn parse(text: &str) -> Option<Self> {
        let bytes = text.as_bytes();
        let shaped = bytes.len() == 10
            && bytes.iter().enumerate().all(|(i, b)| {
                if matches!(i, 4 | 7) {
                    *b == b'-'
                } else {
                    b.is_ascii_digit()
                }
            });
        if !shaped {
            return None;
        }
        let (year, month, day) = (
            text[..4].parse().ok()?,
            text[5..7].parse().ok()?,
            text[8..].parse().ok()?,
        );
        let leap = |y: u16| y.is_multiple_of(4) && (!y.is_multiple_of(100) || y.is_multiple_of(400));
        let longest = match month {
            2 if leap(year) => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return None,
        };
        (1..=longest).contains(&day).then_some(Self { year, month, day })
    }

    /// Year, month and day.
    pub fn parts(self) -> (u16, u8, u8) {
        (self.year, self.month, self.day)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).ok_or_else(|| de::Error::custom(format!("`{text}` is not a day of the calendar")))
    }
}

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn only_days_of_the_calendar_are_dates() {
        assert!(Date::parse("2024-02-29").is_some());
        for text in [
            "2026-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-4-30",
            "2026-04-31",
            "2026-04-3x",
            "",
        ] {
            assert!(Date::parse(text).is_none(), "{text}");
        }
        assert!(Date::parse("2026-12-31") < Date::parse("2027-01-01"));
    }
}
