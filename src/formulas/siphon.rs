//! Water on its way when a pump starts or stops: drawdown, surge, and draining back through the line.

use super::{
    pipe::{Run, head_loss_and_slope, velocity, velocity_head},
    storage::Storage,
};

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
    /// The line, with entrance, exit and the standing pump in its K.
    pub line: Run,
    /// Kinematic viscosity of the water, m²/s.
    pub nu: f64,
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

/// Where draining back ends, and how long it takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drained {
    /// Where it ends.
    pub end: Rest,
    /// How long it takes, s.
    pub duration: f64,
    /// Flow at the beginning, m³/s.
    pub first_flow: f64,
}

/// Drains a line back until something stops it.
///
/// The end follows from the balance of water alone. The time is that of quasi-steady flow in a full line, `t =
/// ∫ dV/Q(h)`, with Q from [`flow_under_head`] and without inertia; the water in the line itself is left out.
pub fn drain_back(case: &DrainBack<'_>) -> Drained {
    let end = rest(case);
    Drained {
        end,
        duration: case.duration(end.volume),
        first_flow: flow_under_head(case.driving_head(case.upper_level), &case.line, case.nu),
    }
}

/// Where draining back ends, by the balance of water alone.
pub fn rest(case: &DrainBack<'_>) -> Rest {
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

    /// The upper level at which the driving head is [`REST_HEAD`], by halving; the head grows with the level.
    fn rest_level(&self, below: f64) -> f64 {
        let (mut low, mut high) = (below, self.upper_level);
        if self.driving_head(high) <= REST_HEAD {
            return high;
        }
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if self.driving_head(middle) < REST_HEAD {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
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

    /// Time for a volume to drain, s.
    ///
    /// With `w = V·s²` left to go, the integrand `2·V·s/Q` stays bounded where the flow dies away as the root of what
    /// is left. Composite three-point Gauss–Legendre.
    fn duration(&self, volume: f64) -> f64 {
        const PANELS: u32 = 200;
        let node = 0.6_f64.sqrt();
        let start = self.upper.volume(self.upper_level);
        let rate = |s: f64| {
            let level = self.upper.level_of(start - volume * (1.0 - s * s));
            2.0 * volume * s / flow_under_head(self.driving_head(level), &self.line, self.nu)
        };
        if volume <= 0.0 {
            return 0.0;
        }
        let half = 0.5 / f64::from(PANELS);
        let panels = (0..PANELS).map(|panel| {
            let middle = (2.0 * f64::from(panel) + 1.0) * half;
            half * (5.0 * rate(middle - half * node) + 8.0 * rate(middle) + 5.0 * rate(middle + half * node))
                / 9.0
        });
        panels.sum()
    }
}

/// Flow through a full line under a driving head, m³/s: the inverse of [`super::pipe::head_loss`].
///
/// Arguments: head (m), the line (with a length or a K), kinematic viscosity (m²/s). No flow for a head of zero or
/// less. Newton's method, kept between bounds.
pub fn flow_under_head(head: f64, line: &Run, nu: f64) -> f64 {
    // A flow with a usual friction factor, and a usual Reynolds number for losses that hang on it.
    let resistance = 0.02 * line.length / line.diameter + line.minor_k + 1e-5 * line.laminar_k;
    let unit = velocity_head(velocity(1.0, line.diameter));
    let start = (head / (resistance * unit)).sqrt();
    if !(head > 0.0 && start.is_finite()) {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, f64::INFINITY);
    let mut flow = start;
    for _ in 0..100 {
        let (loss, slope) = head_loss_and_slope(flow, line, nu);
        if loss < head {
            low = flow;
        } else {
            high = flow;
        }
        let newton = flow - (loss - head) / slope;
        let next = if newton > low && newton < high {
            newton
        } else if high.is_finite() {
            f64::midpoint(low, high)
        } else {
            2.0 * low
        };
        if (next - flow).abs() <= 1e-14 * next {
            return next;
        }
        flow = next;
    }
    flow
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
    pub fn total(&self) -> f64 {
        self.films + self.streams + self.lines
    }

    /// Time the pump takes to set it on its way, s, at a flow in m³/s.
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
pub fn drawn_down(basin: &Storage, level: f64, volume: f64) -> DrawnDown {
    let left = basin.volume(level) - volume;
    DrawnDown {
        level: basin.level_of(left),
        lacking: (-left).max(0.0),
    }
}

/// The level, m, after shut-down has brought a volume (m³) back to a basin at a level (m). Above the top the walls are
/// taken as vertical.
pub fn level_after_return(basin: &Storage, level: f64, volume: f64) -> f64 {
    basin.level_of(basin.volume(level) + volume)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::{
        super::{pipe::head_loss, storage::Profile},
        *,
    };

    const LINE: Run = Run {
        diameter: 0.0525,
        length: 12.0,
        roughness: 1.5e-6,
        minor_k: 6.0,
        laminar_k: 0.0,
    };

    fn upright(area: f64) -> Storage {
        Storage::open(&Profile::contours(&[(-1.0, area), (3.0, area)]).unwrap())
    }

    fn case<'a>(upper: &'a Storage, lower: &'a Storage) -> DrainBack<'a> {
        DrainBack {
            upper,
            upper_level: 1.0,
            lower,
            lower_level: 0.0,
            line: LINE,
            nu: 1e-6,
            mouth: -1.0,
            air_inlet: None,
            outlet: None,
        }
    }

    #[test]
    fn flow_under_head_undoes_head_loss() {
        for flow in [1e-7, 1e-5, 1.2e-4, 1e-3, 5e-2] {
            let head = head_loss(flow, &LINE, 1e-6);
            assert!((flow_under_head(head, &LINE, 1e-6) - flow).abs() < 1e-10 * flow);
        }
        assert_eq!(flow_under_head(0.0, &LINE, 1e-6), 0.0);
        assert_eq!(flow_under_head(f64::NAN, &LINE, 1e-6), 0.0);
    }

    #[test]
    fn the_highest_stop_counts() {
        let (upper, lower) = (upright(2.0), upright(4.0));
        let open = case(&upper, &lower);
        assert_eq!(drain_back(&open).end.stop, Stop::LevelsMet);
        let mouth = DrainBack { mouth: 0.5, ..open };
        assert_eq!(drain_back(&mouth).end.stop, Stop::Mouth);
        let air = DrainBack {
            air_inlet: Some(0.9),
            ..mouth
        };
        let drained = drain_back(&air);
        assert_eq!(drained.end.stop, Stop::AirInlet);
        assert!((drained.end.volume - 0.2).abs() < 1e-12);
        let dry = DrainBack {
            air_inlet: Some(1.2),
            ..air
        };
        let drained = drain_back(&dry);
        assert_eq!((drained.end.volume, drained.duration), (0.0, 0.0));
        assert_eq!((drained.end.upper_level, drained.end.lower_level), (1.0, 0.0));
    }

    #[test]
    fn nothing_moves_between_equal_levels() {
        let (upper, lower) = (upright(2.0), upright(4.0));
        let level = DrainBack {
            lower_level: 1.0,
            ..case(&upper, &lower)
        };
        let drained = drain_back(&level);
        assert_eq!((drained.end.stop, drained.end.volume), (Stop::LevelsMet, 0.0));
        assert_eq!(drained.first_flow, 0.0);
    }

    #[test]
    fn an_emptied_basin_lacks_water() {
        let basin = upright(2.0);
        let drawn = drawn_down(&basin, 0.0, 3.0);
        assert_eq!((drawn.level, drawn.lacking), (-1.0, 1.0));
    }
}
