//! A section whose levels can be moved: the drawing, and where each value of the plan stands on it.

use super::SectionDrawing;
use crate::{
    read::Place,
    report::drawing::scene::{Point, Scene},
};

/// A section, and what turns a point of it into a level and back.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveSection {
    /// The drawing.
    pub scene: Scene,
    /// Where the benchmark's level lies, pt down the sheet.
    pub datum: f64,
    /// Points for a metre of height.
    pub points_per_metre: f64,
    /// Where values of the plan stand.
    pub anchors: Vec<(Place, Point)>,
    /// The basins, left to right.
    pub basins: Vec<LiveBasin>,
}

/// The inside of a basin on a section.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveBasin {
    /// The basin.
    pub place: Place,
    /// Its rim, m.
    pub rim: f64,
    /// Its still water, m.
    pub still: f64,
    /// Its wall from the floor up to well over the rim: level, m, and the left and right wall there, pt.
    pub walls: Vec<(f64, [f64; 2])>,
    /// The top of each layer that the plan gives a thickness, m, from the floor up.
    pub layers: Vec<(Place, f64)>,
}

/// How far over the rim the walls of a basin are drawn on, m: water over the rim is seen so.
const OVER: f64 = 0.3;

impl LiveSection {
    /// The height of a level on the sheet, pt.
    pub fn y(&self, level: f64) -> f64 {
        self.datum - level * self.points_per_metre
    }
}

impl LiveBasin {
    /// The water up to a level, as the corners of an area, levels in m: left wall upward, right wall downward.
    pub fn water(&self, level: f64) -> Vec<(f64, f64)> {
        let mut sides: Vec<(f64, [f64; 2])> = Vec::new();
        for pair in self.walls.windows(2) {
            let [(low, at_low), (high, at_high)] = [pair[0], pair[1]];
            if low > level {
                break;
            }
            if sides.is_empty() {
                sides.push((low, at_low));
            }
            let share = if high > low {
                ((level - low) / (high - low)).min(1.0)
            } else {
                1.0
            };
            let between = |side: usize| at_low[side] + (at_high[side] - at_low[side]) * share;
            sides.push((low + (high - low) * share, [between(0), between(1)]));
        }
        let left = sides.iter().map(|(level, walls)| (walls[0], *level));
        let right = sides.iter().rev().map(|(level, walls)| (walls[1], *level));
        left.chain(right).collect()
    }
}

impl SectionDrawing<'_> {
    /// The section once it is drawn.
    pub(super) fn into_live(self) -> LiveSection {
        let datum = self.y(0.0);
        let basins = (0..self.basins.len())
            .map(|index| self.live_basin(index))
            .collect();
        LiveSection {
            datum,
            points_per_metre: self.scale.points_per_metre,
            basins,
            anchors: self.anchors.into_iter().chain(self.mouths).collect(),
            scene: self.scene,
        }
    }

    fn live_basin(&self, index: usize) -> LiveBasin {
        let shown = &self.basins[index];
        let levels = &shown.levels;
        let (left, right) = shown.inside;
        let side = shown
            .profile
            .side(levels.floor.level, levels.rim.level.max(levels.floor.level));
        let at = |inset: f64| [left + inset * (right - left), right - inset * (right - left)];
        let mut walls: Vec<(f64, [f64; 2])> = side.iter().map(|&(level, inset)| (level, at(inset))).collect();
        walls.extend(walls.last().map(|&(level, walls)| (level + OVER, walls)));
        let mut layers = Vec::new();
        let mut top = levels.floor.level;
        for layer in shown.basin.layers.values() {
            let Some(thickness) = crate::report::drawing::levels::thickness(layer) else {
                break;
            };
            top += thickness;
            layers.push((layer.place.child("thickness"), top));
        }
        LiveBasin {
            place: shown.basin.place.clone(),
            rim: levels.rim.level,
            still: levels.still.level,
            walls,
            layers,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::LiveBasin;
    use crate::read::Place;

    #[test]
    fn water_ends_at_its_level_between_the_walls() {
        let basin = LiveBasin {
            place: Place::root(),
            rim: 1.0,
            still: 0.5,
            walls: vec![(0.0, [10.0, 20.0]), (1.0, [5.0, 25.0]), (1.3, [5.0, 25.0])],
            layers: Vec::new(),
        };
        assert_eq!(
            basin.water(0.5),
            [(10.0, 0.0), (7.5, 0.5), (22.5, 0.5), (20.0, 0.0)]
        );
        assert_eq!(basin.water(9.0).len(), 6);
        assert!(basin.water(-1.0).is_empty());
    }
}
