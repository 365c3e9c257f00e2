//! The water of a case at a moment: its level in every basin of a section.

use maud::{Markup, html};

use super::svg::{corners, number};
use crate::{
    page::assess::CaseLevels,
    quantity::{Kind, UnitSystem, show_computed, show_level},
    read::Place,
    report::drawing::{LiveBasin, LiveSection},
};

/// Moments a case is shown at, at most.
const MOST: usize = 60;

/// The levels of a case at a moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Moment {
    /// Which of how many.
    pub step: usize,
    /// How many moments there are.
    pub steps: usize,
    /// Time since the case began, s.
    pub time: f64,
    /// Levels, m.
    pub levels: Vec<(Place, f64)>,
}

/// A case at a step. Steps are spread so that what goes quickly is seen: even in the root of time.
pub fn moment(case: &CaseLevels, step: usize) -> Option<Moment> {
    let ends = case.basins.iter().filter_map(|(_, series)| series.last());
    let end = ends.map(|(time, _)| *time).reduce(f64::max)?;
    let steps = if end > 0.0 { MOST } else { 1 };
    let step = step.min(steps - 1);
    let share = step as f64 / (steps - 1).max(1) as f64;
    let time = end * share * share;
    let level = |(place, series): &(Place, Vec<(f64, f64)>)| Some((place.clone(), level_at(series, time)?));
    Some(Moment {
        step,
        steps,
        time,
        levels: case.basins.iter().filter_map(level).collect(),
    })
}

/// The level of a series at a time: between two instants on the line that joins them, past its end as at its end.
fn level_at(series: &[(f64, f64)], time: f64) -> Option<f64> {
    let after = series.iter().position(|(at, _)| *at >= time);
    let Some(after) = after else {
        return series.last().map(|(_, level)| *level);
    };
    let (late, high) = series[after];
    let (early, low) = series[after.saturating_sub(1)];
    let along = if late > early {
        ((time - early) / (late - early)).clamp(0.0, 1.0)
    } else {
        1.0
    };
    Some(low + (high - low) * along)
}

impl Moment {
    /// The time in words.
    pub fn told(&self, units: UnitSystem) -> String {
        if self.time < 1.0 {
            "at the beginning".to_owned()
        } else {
            format!("after {}", show_computed(self.time, Kind::Time, units))
        }
    }

    /// The basins of a section, each with its level and the corners of its water.
    fn basins<'s>(
        &self,
        section: &'s LiveSection,
    ) -> impl Iterator<Item = (&'s LiveBasin, f64, Vec<[f64; 2]>)> {
        section.basins.iter().filter_map(|basin| {
            let (_, level) = self.levels.iter().find(|(place, _)| *place == basin.place)?;
            let corners = basin.water(*level).into_iter();
            Some((
                basin,
                *level,
                corners.map(|(x, level)| [x, section.y(level)]).collect(),
            ))
        })
    }

    /// The water in the basins of a section.
    pub fn water(&self, section: &LiveSection) -> Markup {
        html! {
            @for (_, _, area) in self.basins(section) {
                polygon points=(corners(area)) class="bare on-water moved" {}
            }
        }
    }

    /// The levels of the water in a section, in words.
    pub fn levels(&self, section: &LiveSection, units: UnitSystem) -> Markup {
        html! {
            @for (basin, level, area) in self.basins(section) {
                @let over = level > basin.rim + 1e-4;
                @if let (Some(top), Some(left)) = (area.get(area.len() / 2), area.get((area.len() / 2).saturating_sub(1))) {
                    path d={ "M" (number(left[0])) " " (number(left[1])) "H" (number(top[0])) } class="moved-level" {}
                    text.moved-words.over-rim[over] x=(number(f64::midpoint(left[0], top[0]))) y=(number(top[1] - 2.0)) font-size="7" text-anchor="middle" {
                        (show_level(level, units)) @if over { " over the rim" }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_lies_between_the_times_of_the_simulation() {
        let case = CaseLevels {
            basins: vec![(Place::root(), vec![(0.0, 1.0), (100.0, 2.0), (3600.0, 3.0)])],
            ..CaseLevels::default()
        };
        let level = |step| moment(&case, step).unwrap().levels[0].1;
        assert_eq!(level(0), 1.0);
        assert_eq!(level(MOST - 1), 3.0);
        assert_eq!(level(usize::MAX), 3.0);
        let early = moment(&case, 5).unwrap();
        assert!((early.levels[0].1 - (1.0 + early.time / 100.0)).abs() < 1e-9);
        assert_eq!(moment(&CaseLevels::default(), 0), None);
    }
}
