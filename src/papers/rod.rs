//! The rod and the set-ups of the instrument: heights of the line of sight, and which of them reads a level.

use crate::{
    formulas::levelling,
    papers::words::long_unit,
    quantity::{FOOT, INCH, Unit, UnitSystem, feet_inches},
};

/// How a rod is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rod {
    /// Feet and inches, read to 1/8 in.
    FeetInches,
    /// Feet and tenths, read to 0.01 ft.
    Tenths,
    /// Metres, read to 1 mm.
    Metric,
}

impl Rod {
    /// The rod usual where these units are.
    pub const fn usual(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Us => Self::FeetInches,
            UnitSystem::Si => Self::Metric,
        }
    }

    /// A reading as it stands on the rod; `si` in m.
    pub fn show(self, si: f64) -> String {
        match self {
            Self::FeetInches => feet_inches(si),
            Self::Tenths => signed(format!("{:.2} ft", si.abs() / FOOT), si),
            Self::Metric => signed(format!("{:.3} m", si.abs()), si),
        }
    }

    /// The unit that its readings count in, in a file of cells.
    pub fn unit(self) -> &'static Unit {
        match self {
            Self::FeetInches | Self::Tenths => long_unit(UnitSystem::Us),
            Self::Metric => long_unit(UnitSystem::Si),
        }
    }

    /// The finest that is read, m.
    pub const fn step(self) -> f64 {
        match self {
            Self::FeetInches => INCH / 8.0,
            Self::Tenths => FOOT / 100.0,
            Self::Metric => 0.001,
        }
    }

    /// The length of a usual rod, m: 16 ft or 5 m (common practice).
    pub const fn usual_length(self) -> f64 {
        match self {
            Self::FeetInches | Self::Tenths => 16.0 * FOOT,
            Self::Metric => 5.0,
        }
    }
}

/// A reading below nothing, with a true minus.
fn signed(text: String, si: f64) -> String {
    if si < 0.0 && text.contains(|c: char| matches!(c, '1'..='9')) {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

/// Why a reading below nothing can't be.
pub const BELOW_FOOT: &str = "a rod reads upward from what it stands on, and never less than nothing";
/// How the two sights on a turning point are written.
pub const TWO_SIGHTS: &str =
    "write the foresight and the backsight on the turning point as `1 ft 3 in / 6 ft 2 in`";

/// The two sights on a turning point, foresight and backsight, as they were written: parted by a stroke with spaces around it,
/// since a stroke without them is a fraction's, or by a comma.
pub fn two_sights(text: &str) -> Option<(&str, &str)> {
    text.split_once(" / ").or_else(|| text.split_once(','))
}

/// One set-up of the instrument.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetUp {
    /// Height of its line of sight, m from the benchmark.
    pub height: f64,
    /// The turning point it was reached by: foresight from the set-up before and backsight from this one, m; none for
    /// the first.
    pub turn: Option<(f64, f64)>,
}

/// The set-ups of a job, with the rod.
#[derive(Clone, Debug, PartialEq)]
pub struct SetUps {
    /// How the rod is marked.
    pub rod: Rod,
    /// Its length, m.
    pub length: f64,
    /// The set-ups, at least one.
    pub all: Vec<SetUp>,
}

/// How a level is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sight {
    /// From this set-up, counted from 0, with this reading, m.
    Read(usize, f64),
    /// It lies above every line of sight, by this much over the highest, m.
    Above(f64),
    /// It lies deeper than the rod reaches from every set-up; by this much below the lowest, m.
    Below(f64),
}

impl SetUps {
    /// A first set-up with the instrument at a height, then one more for each turning point: foresight and backsight, m.
    pub fn new(rod: Rod, length: f64, height: f64, turns: &[(f64, f64)]) -> Self {
        let mut all = vec![SetUp { height, turn: None }];
        let mut height = height;
        for &(foresight, backsight) in turns {
            height = levelling::turned(height, foresight, backsight);
            all.push(SetUp {
                height,
                turn: Some((foresight, backsight)),
            });
        }
        Self { rod, length, all }
    }

    /// How a level is read: from the first set-up that reads it.
    pub fn sight(&self, level: f64) -> Sight {
        // What rounds to the foot or the top of the rod is read there.
        let hair = self.rod.step() / 2.0;
        let readings = self
            .all
            .iter()
            .map(|set_up| levelling::reading(set_up.height, level));
        let mut least = f64::INFINITY;
        let mut most = f64::NEG_INFINITY;
        for (index, reading) in readings.enumerate() {
            if reading >= -hair && reading <= self.length + hair {
                return Sight::Read(index, reading.max(0.0));
            }
            least = least.min(reading);
            most = most.max(reading);
        }
        if most < 0.0 {
            Sight::Above(-most)
        } else {
            Sight::Below(least - self.length)
        }
    }

    /// A level as its reading, for a drawing; none where no set-up reads it.
    pub fn label(&self, level: f64) -> Option<String> {
        match self.sight(level) {
            Sight::Read(0, reading) => Some(self.rod.show(reading)),
            Sight::Read(index, reading) => Some(format!("{} ({})", self.rod.show(reading), index + 1)),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_printed_as_it_stands_on_the_rod() {
        let reading = 4.0 * FOOT + 7.125 * INCH;
        assert_eq!(Rod::FeetInches.show(reading), "4 ft 7-1/8 in");
        assert_eq!(Rod::Tenths.show(reading), "4.59 ft");
        assert_eq!(Rod::Metric.show(reading), "1.400 m");
        assert_eq!(Rod::Metric.show(-0.25), "\u{2212}0.250 m");
        assert_eq!(Rod::Tenths.show(-0.0001), "0.00 ft");
    }

    /// A fraction's stroke parts nothing.
    #[test]
    fn two_sights_are_parted_by_a_stroke_between_spaces_or_a_comma() {
        let sights = Some(("1 ft 3-1/4 in", "6 ft 2-1/8 in"));
        assert_eq!(two_sights("1 ft 3-1/4 in / 6 ft 2-1/8 in"), sights);
        assert_eq!(two_sights("1 ft 3-1/4 in,6 ft 2-1/8 in"), sights);
        assert_eq!(two_sights("1 ft 3-1/4 in"), None);
    }

    #[test]
    fn a_level_is_read_from_the_first_set_up_that_can() {
        let set_ups = SetUps::new(Rod::Metric, 5.0, 1.5, &[(0.3, 2.0)]);
        assert_eq!(set_ups.all.len(), 2);
        assert!((set_ups.all[1].height - 3.2).abs() < 1e-12);
        assert!(matches!(set_ups.sight(-1.0), Sight::Read(0, reading) if (reading - 2.5).abs() < 1e-12));
        assert!(matches!(set_ups.sight(2.0), Sight::Read(1, reading) if (reading - 1.2).abs() < 1e-12));
        assert!(matches!(set_ups.sight(4.0), Sight::Above(over) if (over - 0.8).abs() < 1e-12));
        assert!(matches!(set_ups.sight(-4.0), Sight::Below(under) if (under - 0.5).abs() < 1e-12));
    }
}
