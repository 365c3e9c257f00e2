//! Water on its way when a pump starts or stops: drawdown, surge, and draining back through the line.

use super::{roots, storage::Storage, validity::at_least};

/// Driving head at which draining back counts as come to rest, m. The last millimetre takes for ever and moves next to
/// nothing.
pub const REST_HEAD: f64 = 1e-3;

/// A line that drains back from an upper basin into a lower one once its pump has stopped and its check valve leaks.
#[derive(Clone, Copy, Debug)]
pub struct DrainBack<'a> {
    /// The upper basin.
    pub upper: &'a Storage,
    /// Its level when the pump stops, m.
    pub upper_level: f64,
    /// The lower basin. Water above its top is counted as standing there; what then runs over is the caller's to say.
    pub lower: &'a Storage,
    /// Its level when the pump stops, m.
    pub lower_level: f64,
    /// Level of the line's open end in the upper basin, m: below it nothing drains.
    pub mouth: f64,
    /// Level of an air inlet that works, m; none where there is none or it is blocked.
    pub air_inlet: Option<f64>,
    /// Level of the line's lower end where it hangs free above the lower water, m; none where it is under water.
    pub outlet: Option<f64>,
}

/// What ended the draining.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The upper level fell to the air inlet, which broke the siphon.
    AirInlet,
    /// The upper level fell to the mouth of the line, or to the floor.
    Mouth,
    /// The levels met, within [`REST_HEAD`].
    LevelsMet,
}

/// Where draining back ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// Water moved, m³.
    pub volume: f64,
    /// Upper level at the end, m.
    pub upper_level: f64,
    /// Lower level at the end, m.
    pub lower_level: f64,
    /// What ended it.
    pub stop: Stop,
}

/// Where draining back ends, by the balance of water alone.
///
/// ```
/// use bywash::formulas::{siphon, storage::{Profile, Storage}};
/// let box_of = |area: f64| Storage::open(&Profile::contours(&[(-5.0, area), (5.0, area)]).unwrap());
/// // By hand: a bed of 4.8 m² at +0.50 m over a pond at −0.20 m, its air inlet at +0.42 m: 0.384 m³ run.
/// let (bed, pond) = (box_of(4.8), box_of(9.0));
/// let end = siphon::rest(&siphon::DrainBack {
///     upper: &bed, upper_level: 0.5, lower: &pond, lower_level: -0.2, mouth: -0.3, air_inlet: Some(0.42), outlet: None,
/// });
/// assert!((end.volume - 0.384).abs() < 1e-9);
/// ```
pub fn rest(case: &DrainBack<'_>) -> Rest {
    let levels = [case.upper_level, case.lower_level, case.mouth];
    let further = [case.air_inlet, case.outlet].into_iter().flatten();
    if levels.into_iter().chain(further).any(f64::is_nan) {
        return Rest {
            volume: f64::NAN,
            upper_level: f64::NAN,
            lower_level: f64::NAN,
            stop: Stop::Mouth,
        };
    }
    let (stop, upper_level) = case.stop();
    Rest {
        volume: case.moved(upper_level),
        upper_level,
        lower_level: case.lower_at(upper_level),
        stop,
    }
}

impl DrainBack<'_> {
    /// What stops the draining, and the upper level then: the highest of the levels that would.
    fn stop(&self) -> (Stop, f64) {
        let mouth = (Stop::Mouth, self.mouth.max(self.upper.floor()));
        let air = (Stop::AirInlet, self.air_inlet.unwrap_or(f64::NEG_INFINITY));
        let first = if air.1 > mouth.1 { air } else { mouth };
        if first.1 >= self.upper_level {
            return (first.0, self.upper_level);
        }
        if self.driving_head(first.1) >= REST_HEAD {
            return first;
        }
        (Stop::LevelsMet, self.rest_level(first.1))
    }

    /// The upper level at which the driving head is [`REST_HEAD`]; the head grows with the level.
    fn rest_level(&self, below: f64) -> f64 {
        if self.driving_head(self.upper_level) <= REST_HEAD {
            return self.upper_level;
        }
        roots::bracketed(below, self.upper_level, 0.0, |level| {
            self.driving_head(level) - REST_HEAD
        })
    }

    /// Water that has left once the upper level has fallen to `level`, m³.
    fn moved(&self, level: f64) -> f64 {
        self.upper.volume(self.upper_level) - self.upper.volume(level)
    }

    /// The lower level once the upper has fallen to `level`, m.
    fn lower_at(&self, level: f64) -> f64 {
        let moved = self.moved(level);
        if moved > 0.0 {
            self.lower.level_of(self.lower.volume(self.lower_level) + moved)
        } else {
            self.lower_level
        }
    }

    /// Head across the line with the upper level at `level`, m.
    fn driving_head(&self, level: f64) -> f64 {
        let lower = self.lower_at(level);
        level - self.outlet.map_or(lower, |outlet| outlet.max(lower))
    }
}

/// Water that is on its way while the pump runs and lies in the pump's basin while it does not, m³ each.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct InTransit {
    /// Films over the crests: head over the crest times area of the basin behind it.
    pub films: f64,
    /// Running depth of the streams, less what they hold at rest.
    pub streams: f64,
    /// Lines that run empty at rest.
    pub lines: f64,
}

impl InTransit {
    /// All of it, m³.
    ///
    /// ```
    /// use bywash::formulas::siphon::InTransit;
    /// assert_eq!(InTransit { films: 0.5, streams: 0.25, lines: 0.25 }.total(), 1.0);
    /// ```
    pub fn total(&self) -> f64 {
        self.films + self.streams + self.lines
    }

    /// Time the pump takes to set it on its way, s, at a flow in m³/s.
    ///
    /// ```
    /// use bywash::formulas::siphon::InTransit;
    /// // 1 m³ at 2 L/s: 500 s.
    /// assert_eq!(InTransit { films: 1.0, ..InTransit::default() }.time_to_fill(2e-3), 500.0);
    /// ```
    pub fn time_to_fill(&self, flow: f64) -> f64 {
        self.total() / flow
    }
}

/// A basin after water was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnDown {
    /// The level left, m.
    pub level: f64,
    /// Water it could not give, m³; more than zero once it is empty.
    pub lacking: f64,
}

/// The basin after start-up has taken a volume (m³) from it at a level (m).
///
/// ```
/// use bywash::formulas::{siphon, storage::{Profile, Storage}};
/// let box_of = |area: f64| Storage::open(&Profile::contours(&[(-5.0, area), (5.0, area)]).unwrap());
/// // 0.5 m³ out of 2 m²: 0.25 m down.
/// assert!((siphon::drawn_down(&box_of(2.0), 0.0, 0.5).level + 0.25).abs() < 1e-12);
/// ```
pub fn drawn_down(basin: &Storage, level: f64, volume: f64) -> DrawnDown {
    let left = basin.volume(level) - volume;
    DrawnDown {
        level: basin.level_of(left),
        lacking: at_least(-left, 0.0),
    }
}

/// The level, m, after shut-down has brought a volume (m³) back to a basin at a level (m). Above the top the walls are
/// taken as vertical.
///
/// ```
/// use bywash::formulas::{siphon, storage::{Profile, Storage}};
/// let box_of = |area: f64| Storage::open(&Profile::contours(&[(-5.0, area), (5.0, area)]).unwrap());
/// assert!((siphon::level_after_return(&box_of(2.0), 0.0, 0.5) - 0.25).abs() < 1e-12);
/// ```
pub fn level_after_return(basin: &Storage, level: f64, volume: f64) -> f64 {
    basin.level_of(basin.volume(level) + volume)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::{super::storage::Profile, *};

    fn upright(area: f64) -> Storage {
        Storage::open(&Profile::contours(&[(-1.0, area), (3.0, area)]).unwrap())
    }

    fn case<'a>(upper: &'a Storage, lower: &'a Storage) -> DrainBack<'a> {
        DrainBack {
            upper,
            upper_level: 1.0,
            lower,
            lower_level: 0.0,
            mouth: -1.0,
            air_inlet: None,
            outlet: None,
        }
    }

    #[test]
    fn the_highest_stop_counts() {
        let (upper, lower) = (upright(2.0), upright(4.0));
        let open = case(&upper, &lower);
        assert_eq!(rest(&open).stop, Stop::LevelsMet);
        let mouth = DrainBack { mouth: 0.5, ..open };
        assert_eq!(rest(&mouth).stop, Stop::Mouth);
        let air = DrainBack {
            air_inlet: Some(0.9),
            ..mouth
        };
        let end = rest(&air);
        assert_eq!(end.stop, Stop::AirInlet);
        assert!((end.volume - 0.2).abs() < 1e-12);
        let dry = DrainBack {
            air_inlet: Some(1.2),
            ..air
        };
        let end = rest(&dry);
        assert_eq!((end.volume, end.upper_level, end.lower_level), (0.0, 1.0, 0.0));
    }

    #[test]
    fn nothing_moves_between_equal_levels() {
        let (upper, lower) = (upright(2.0), upright(4.0));
        let level = DrainBack {
            lower_level: 1.0,
            ..case(&upper, &lower)
        };
        let end = rest(&level);
        assert_eq!((end.stop, end.volume), (Stop::LevelsMet, 0.0));
    }

    #[test]
    fn an_emptied_basin_lacks_water() {
        let basin = upright(2.0);
        let drawn = drawn_down(&basin, 0.0, 3.0);
        assert_eq!((drawn.level, drawn.lacking), (-1.0, 1.0));
    }
}
