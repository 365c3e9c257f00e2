//! Scales and graduations: the usual ones of either system of units.

use crate::quantity::{FOOT, INCH, Unit, UnitSystem, grouped, level_unit};

/// Points in a metre of paper.
const POINTS_PER_METRE: f64 = 72.0 / INCH;

/// A drawing scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// Metres of the work for one of paper.
    pub ratio: f64,
    /// As drawings state it, such as `3/8 in = 1 ft (1:32)`.
    pub words: String,
    /// Points of paper for a metre of the work.
    pub points_per_metre: f64,
}

/// The architect's and engineer's scales, largest first.
const US: [(f64, &str); 17] = [
    (4.0, "3 in = 1 ft"),
    (8.0, "1-1/2 in = 1 ft"),
    (12.0, "1 in = 1 ft"),
    (16.0, "3/4 in = 1 ft"),
    (24.0, "1/2 in = 1 ft"),
    (32.0, "3/8 in = 1 ft"),
    (48.0, "1/4 in = 1 ft"),
    (64.0, "3/16 in = 1 ft"),
    (96.0, "1/8 in = 1 ft"),
    (128.0, "3/32 in = 1 ft"),
    (192.0, "1/16 in = 1 ft"),
    (240.0, "1 in = 20 ft"),
    (360.0, "1 in = 30 ft"),
    (480.0, "1 in = 40 ft"),
    (600.0, "1 in = 50 ft"),
    (720.0, "1 in = 60 ft"),
    (1200.0, "1 in = 100 ft"),
];
const SI: [f64; 9] = [5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0];

/// The largest usual scale at which a height in metres fits into `room` points.
pub fn scale(height: f64, room: f64, units: UnitSystem) -> Scale {
    let least = height.max(1e-3) * POINTS_PER_METRE / room;
    let usual = match units {
        UnitSystem::Us => US
            .iter()
            .find(|(ratio, _)| *ratio >= least)
            .map(|(ratio, words)| (*ratio, format!("{words} (1:{ratio:.0})"))),
        UnitSystem::Si => SI
            .into_iter()
            .find(|ratio| *ratio >= least)
            .map(|ratio| (ratio, format!("1:{ratio:.0}"))),
    };
    let (ratio, words) = usual.unwrap_or_else(|| {
        let ratio = round_step(least);
        (ratio, format!("1:{ratio:.0}"))
    });
    Scale {
        ratio,
        words,
        points_per_metre: POINTS_PER_METRE / ratio,
    }
}

/// The unit lengths are graduated in on a drawing, in metres and by its symbol.
pub const fn length_unit(units: UnitSystem) -> (f64, &'static str) {
    match units {
        UnitSystem::Us => (FOOT, "ft"),
        UnitSystem::Si => (1.0, "m"),
    }
}

/// The unit that all levels of one drawing are given in: the one of the level farthest from the benchmark.
pub fn unit_of_levels(levels: impl Iterator<Item = f64>, units: UnitSystem) -> &'static Unit {
    let farthest = levels.map(f64::abs).filter(|level| level.is_finite());
    level_unit(farthest.fold(0.0, f64::max), units)
}

/// What a caption says of the unit of its levels.
pub fn levels_in(unit: &Unit) -> String {
    let unit = match unit.symbol {
        "in" => "inches",
        "ft" => "feet",
        "mm" => "millimetres",
        "m" => "metres",
        other => other,
    };
    format!("Levels in {unit} from the benchmark")
}

/// The least of 1, 2, 5 times a power of ten that is not below `least`.
pub fn round_step(least: f64) -> f64 {
    if !(least.is_finite() && least > 0.0) {
        return 1.0;
    }
    let power = 10f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|step| step * power >= least * (1.0 - 1e-12));
    step.unwrap_or(10.0) * power
}

/// A graduation as text, with the digits its step needs, written as values are.
pub fn graduation(value: f64, step: f64) -> String {
    let digits = (-step.log10().floor()).clamp(0.0, 9.0) as usize;
    let text = format!("{:.digits$}", value.abs());
    let zero = text.chars().all(|c| matches!(c, '0' | '.'));
    let sign = if value < 0.0 && !zero { "−" } else { "" };
    format!("{sign}{}", grouped(&text))
}

/// A graduation of levels, signed as levels are.
pub fn level_graduation(value: f64, step: f64) -> String {
    let text = graduation(value, step);
    if text.starts_with('−') || text.chars().all(|c| matches!(c, '0' | '.')) {
        text
    } else {
        format!("+{text}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_usual_scale_that_fits_is_taken() {
        // 77 in of work in 190 pt of paper.
        let us = scale(77.0 * 0.0254, 190.0, UnitSystem::Us);
        assert_eq!(us.words, "3/8 in = 1 ft (1:32)");
        assert!((us.points_per_metre * 77.0 * 0.0254 - 77.0 * 72.0 / 32.0).abs() < 1e-9);
        assert_eq!(scale(1.9, 190.0, UnitSystem::Si).words, "1:50");
        assert_eq!(scale(400.0, 190.0, UnitSystem::Si).words, "1:10000");
    }

    #[test]
    fn levels_of_one_drawing_share_a_unit() {
        let symbol = |levels: &[f64], units| unit_of_levels(levels.iter().copied(), units).symbol;
        assert_eq!(symbol(&[-0.3, 0.4], UnitSystem::Us), "in");
        assert_eq!(symbol(&[-0.9, -1.4], UnitSystem::Si), "m");
        assert_eq!(symbol(&[], UnitSystem::Si), "mm");
    }

    #[test]
    fn steps_and_graduations_are_round() {
        assert_eq!(level_graduation(2.0, 1.0), "+2");
        assert_eq!(level_graduation(-2.0, 0.5), "−2.0");
        assert_eq!(level_graduation(0.0, 0.5), "0.0");
        assert_eq!(round_step(0.3), 0.5);
        assert_eq!(round_step(0.5), 0.5);
        assert_eq!(round_step(7.0), 10.0);
        assert_eq!(round_step(f64::NAN), 1.0);
        assert_eq!(graduation(-1.5, 0.5), "−1.5");
        assert_eq!(graduation(-0.0, 0.5), "0.0");
        assert_eq!(graduation(3000.0, 1000.0), "3,000");
        assert_eq!(level_graduation(-1500.0, 500.0), "−1,500");
    }
}
