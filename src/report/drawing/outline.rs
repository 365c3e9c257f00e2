//! The true outline of a basin given by a simple shape: how far its side stands in from the rim at a depth.

use super::{
    levels::{BasinLevels, in_flow_order, level},
    name_of,
};
use crate::{
    ledger::Ledger,
    plan::{Basin, Form, Given, Measure, Plan},
};

/// Largest size that is drawn, m.
const LARGEST: f64 = 2000.0;

/// A basin's outline, m.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Outline {
    pub form: Form,
    /// Length at the rim.
    pub length: f64,
    /// Width at the rim; the length again for a circle.
    pub width: f64,
    /// From the rim to the floor, where both are shown.
    pub depth: Option<f64>,
    /// Horizontal over vertical, where it is shown.
    pub slope: Option<f64>,
    /// Depth below the rim and width of each shelf, from the rim down.
    pub shelves: Vec<(f64, f64)>,
}

/// The basins in the order water flows, each with its name and, where its shape is shown, its outline.
pub(super) fn outlined<'p>(
    plan: &'p Plan,
    ledger: &Ledger,
) -> impl Iterator<Item = (&'p Given<Basin>, &'p str, Option<Outline>)> {
    in_flow_order(plan).into_iter().filter_map(|id| {
        let basin = plan.basins.get(id)?;
        let outline = Outline::of(basin, &BasinLevels::of(basin, ledger, &[]));
        Some((basin, name_of(id, &basin.name), outline))
    })
}

impl Outline {
    /// The outline of a basin whose shape and size the plan shows.
    pub fn of(basin: &Basin, levels: &BasinLevels) -> Option<Self> {
        let shape = basin.shape.value()?;
        let form = *shape.form.value()?;
        let drawable = |size: f64| (size > 0.0 && size <= LARGEST).then_some(size);
        let length = drawable(shape.length.value()?.si())?;
        let width = match form {
            Form::Circle => length,
            _ => drawable(shape.width.value()?.si())?,
        };
        let depth = levels.rim.level - levels.floor.level;
        let depth = (levels.rim.shown && levels.floor.shown && depth > 0.0).then_some(depth);
        let rim = levels.rim.shown.then_some(levels.rim.level);
        let mut shelves: Vec<(f64, f64)> = shape
            .shelves
            .values()
            .filter_map(|shelf| Some((rim? - level(&shelf.level)?, shelf.width.value()?.si())))
            .filter(|(below, wide)| *below > 0.0 && *wide > 0.0)
            .collect();
        shelves.sort_by(|a, b| a.0.total_cmp(&b.0));
        Some(Self {
            form,
            length,
            width,
            depth,
            slope: shape
                .side_slope
                .value()
                .map(|slope| slope.si())
                .filter(|slope| (0.0..100.0).contains(slope)),
            shelves,
        })
    }

    /// How far the side stands in from the rim just above a depth, m; `across` is the length or width at the rim.
    pub fn inset(&self, below: f64, across: f64) -> f64 {
        let inset = if self.form == Form::Bowl {
            let share = (below / self.depth.unwrap_or(f64::INFINITY)).clamp(0.0, 1.0);
            across / 2.0 * (1.0 - (1.0 - share * share).max(0.0).sqrt())
        } else {
            let shelves = self.shelves.iter().filter(|(depth, _)| *depth < below);
            self.slope.unwrap_or(0.0) * below + shelves.map(|(_, wide)| wide).sum::<f64>()
        };
        inset.min(across / 2.0)
    }

    /// Depths at which the side bends, from the rim to `deepest`: twice at a shelf, its outer edge first.
    pub fn bends(&self, deepest: f64) -> Vec<f64> {
        const HAIR: f64 = 1e-6;
        let mut bends = vec![0.0];
        if self.form == Form::Bowl {
            bends.extend((1..12).map(|step| deepest * f64::from(step) / 12.0));
        }
        for &(below, _) in self.shelves.iter().filter(|(below, _)| *below < deepest) {
            bends.extend([below, below + HAIR]);
        }
        bends.push(deepest);
        bends
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shelves_and_slopes_take_from_the_width() {
        let outline = Outline {
            form: Form::Rectangle,
            length: 6.0,
            width: 4.0,
            depth: Some(1.5),
            slope: Some(0.5),
            shelves: vec![(0.5, 0.3)],
        };
        assert!((outline.inset(0.5, 4.0) - 0.25).abs() < 1e-12, "above the shelf");
        assert!((outline.inset(1.0, 4.0) - 0.8).abs() < 1e-12, "below it");
        assert_eq!(outline.inset(9.0, 4.0), 2.0, "never past the middle");
        assert_eq!(outline.bends(1.5).len(), 4);
    }

    #[test]
    fn a_bowl_is_half_an_ellipsoid() {
        let bowl = Outline {
            form: Form::Bowl,
            length: 6.0,
            width: 4.0,
            depth: Some(1.0),
            slope: None,
            shelves: Vec::new(),
        };
        assert_eq!(bowl.inset(0.0, 4.0), 0.0);
        assert!((bowl.inset(0.6, 4.0) - 0.4).abs() < 1e-12);
        assert_eq!(bowl.inset(1.0, 4.0), 2.0);
    }
}
