//! The inside of a basin from wall to wall: shelves, slopes and contours, sideways schematic.

use super::super::levels::{BasinLevels, level};
use crate::plan::{Basin, Form, Measure, Shape};

/// Most of the width that both sides may take up together, as a share on each side.
const MOST: f64 = 0.32;
/// What a shelf takes of the width on each side.
const SHELF: f64 = 0.09;
/// Pieces a bowl is drawn in.
const STEPS: u32 = 10;

/// How far the side stands in from the wall line at a level, as a share of the width; from the floor up, two
/// points at one level where a shelf lies.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BasinProfile(Vec<(f64, f64)>);

impl BasinProfile {
    /// The profile of a basin: by its contours, else its shape, else upright.
    pub fn of(basin: &Basin, levels: &BasinLevels) -> Self {
        let (floor, rim) = (levels.floor.level, levels.rim.level);
        if rim <= floor {
            return Self(vec![(floor, 0.0)]);
        }
        let points = by_contours(basin, floor, rim)
            .or_else(|| Some(by_shape(basin.shape.value()?, floor, rim)))
            .unwrap_or_else(|| vec![(floor, 0.0), (rim, 0.0)]);
        Self(points)
    }

    /// How far in the side stands just above a level.
    pub fn above(&self, level: f64) -> f64 {
        self.between(level, |point| point <= level)
    }

    /// How far in the side stands just below a level.
    pub fn below(&self, level: f64) -> f64 {
        self.between(level, |point| point < level)
    }

    fn between(&self, level: f64, lies_under: impl Fn(f64) -> bool) -> f64 {
        let next = self.0.partition_point(|(point, _)| lies_under(*point));
        let under = next.checked_sub(1).and_then(|index| self.0.get(index));
        match (under, self.0.get(next)) {
            (Some(under), Some(over)) if over.0 > under.0 => {
                under.1 + (over.1 - under.1) * (level - under.0) / (over.0 - under.0)
            }
            (Some(end), _) | (None, Some(end)) => end.1,
            (None, None) => 0.0,
        }
    }

    /// The side from one level up to another: level and share.
    pub fn side(&self, bottom: f64, top: f64) -> Vec<(f64, f64)> {
        let mut side = vec![(bottom, self.above(bottom))];
        let inner = self.0.iter().filter(|(level, _)| bottom < *level && *level < top);
        side.extend(inner.copied());
        side.push((top, self.below(top)));
        side
    }
}

/// By the width of a square of the area, where there are two contours or more in order.
fn by_contours(basin: &Basin, floor: f64, rim: f64) -> Option<Vec<(f64, f64)>> {
    let contours = basin.contours.value()?;
    let read = contours
        .iter()
        .filter_map(|contour| Some((level(&contour.level)?, contour.area.value()?.si().max(0.0))));
    let pairs: Vec<(f64, f64)> = read.filter(|(level, _)| (floor..=rim).contains(level)).collect();
    let widest = pairs.iter().map(|(_, area)| *area).fold(0.0, f64::max);
    let in_order = pairs.windows(2).all(|pair| pair[0].0 <= pair[1].0);
    if pairs.len() < 2 || widest <= 0.0 || !in_order {
        return None;
    }
    let inset = |area: f64| ((1.0 - (area / widest).sqrt()) / 2.0).clamp(0.0, MOST);
    Some(
        pairs
            .into_iter()
            .map(|(level, area)| (level, inset(area)))
            .collect(),
    )
}

fn by_shape(shape: &Shape, floor: f64, rim: f64) -> Vec<(f64, f64)> {
    if shape.form.value() == Some(&Form::Bowl) {
        return bowl(floor, rim);
    }
    let slope = shape
        .side_slope
        .value()
        .map_or(0.0, |slope| slope.si())
        .clamp(0.0, 2.0);
    let mut shelves: Vec<f64> = shape
        .shelves
        .values()
        .filter_map(|shelf| level(&shelf.level))
        .filter(|level| floor < *level && *level < rim)
        .collect();
    shelves.sort_by(f64::total_cmp);
    shelves.dedup();
    let banks = (slope * 0.25).min(0.2);
    let each = SHELF.min((MOST - banks) / shelves.len().max(1) as f64);
    let at = |level: f64, above: usize| banks * (rim - level) / (rim - floor) + each * above as f64;
    let mut points = vec![(floor, at(floor, shelves.len()))];
    for (index, &shelf) in shelves.iter().enumerate() {
        let above = shelves.len() - index;
        points.extend([(shelf, at(shelf, above)), (shelf, at(shelf, above - 1))]);
    }
    points.push((rim, 0.0));
    points
}

/// Half an ellipse, its floor cut flat enough for what stands on it.
fn bowl(floor: f64, rim: f64) -> Vec<(f64, f64)> {
    let at = |step: u32| {
        let height = f64::from(step) / f64::from(STEPS);
        let half = (1.0 - (1.0 - height).powi(2)).max(0.0).sqrt();
        (floor + (rim - floor) * height, ((1.0 - half) / 2.0).min(MOST))
    };
    (0..=STEPS).map(at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stepped() -> BasinProfile {
        BasinProfile(vec![(0.0, 0.2), (1.0, 0.15), (1.0, 0.06), (2.0, 0.0)])
    }

    #[test]
    fn a_shelf_is_wide_above_and_narrow_below() {
        let profile = stepped();
        assert!((profile.below(1.0) - 0.15).abs() < 1e-12);
        assert!((profile.above(1.0) - 0.06).abs() < 1e-12);
        assert!((profile.above(1.5) - 0.03).abs() < 1e-12);
        assert_eq!(profile.above(-1.0), 0.2);
        assert_eq!(profile.below(9.0), 0.0);
    }

    #[test]
    fn a_side_passes_every_break_between_its_ends() {
        let side = stepped().side(0.5, 2.0);
        assert_eq!(side.len(), 4);
        assert!(
            side.windows(2)
                .all(|pair| pair[0].0 <= pair[1].0 && pair[0].1 >= pair[1].1)
        );
    }

    #[test]
    fn a_bowl_narrows_to_its_floor() {
        let points = bowl(-1.0, 0.0);
        assert_eq!(points.first(), Some(&(-1.0, MOST)));
        assert_eq!(points.last(), Some(&(0.0, 0.0)));
    }
}
