//! Water held in a basin against its level.

mod error;
mod profile;

pub use error::StorageError;
pub use profile::{Bank, Outline, Profile, Shelf};

use profile::Piece;

use super::validity::not_negative;

/// Fill between two levels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Bottom, m.
    pub bottom: f64,
    /// Top, m.
    pub top: f64,
    /// Voids over whole volume.
    pub porosity: f64,
    /// Part of the layer with another porosity, such as void modules with stone round them.
    pub inner: Option<Inner>,
}

impl Layer {
    /// A layer between two levels, m, of one porosity throughout.
    pub fn new(bottom: f64, top: f64, porosity: f64) -> Self {
        Self {
            bottom,
            top,
            porosity,
            inner: None,
        }
    }

    /// The same layer with an upright block in it.
    #[must_use]
    pub fn with_inner(self, area: f64, porosity: f64) -> Self {
        Self {
            inner: Some(Inner { area, porosity }),
            ..self
        }
    }
}

/// An upright block within a layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inner {
    /// Plan area, m².
    pub area: f64,
    /// Voids over whole volume.
    pub porosity: f64,
}

/// Water held against level, exact for the basin's shape: plan area is a polynomial of level between breaks,
/// and volume its integral.
///
/// Above the top the walls are taken as vertical, so that water standing over the rim can still be counted.
#[derive(Clone, Debug, PartialEq)]
pub struct Storage {
    cells: Vec<Cell>,
    top: f64,
}

/// A slice between two breaks.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Cell {
    /// Plan area of the basin.
    plan: Piece,
    /// Area of water: plan area times porosity.
    wet: Piece,
    /// Whole volume below the slice, m³.
    plan_below: f64,
    /// Water below the slice, m³.
    wet_below: f64,
}

impl Storage {
    /// An empty basin of a shape.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert!((basin.volume(1.0) - 10.0).abs() < 1e-12);
    /// ```
    pub fn open(profile: &Profile) -> Self {
        Self::from_cells(
            profile.pieces().iter().map(|&piece| (piece, piece)),
            profile.top(),
        )
    }

    /// A basin with layers of fill, in any order; what no layer covers is open water.
    ///
    /// ```
    /// use bywash::formulas::storage::{Layer, Profile, Storage};
    /// // The lower half of a box of 10 m² full of stone with 40 % voids.
    /// let profile = Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap();
    /// let bed = Storage::filled(&profile, &[Layer::new(0.0, 0.5, 0.4)]).unwrap();
    /// assert!((bed.volume(1.0) - (2.0 + 5.0)).abs() < 1e-12);
    /// ```
    pub fn filled(profile: &Profile, layers: &[Layer]) -> Result<Self, StorageError> {
        let layers = in_order(layers)?;
        let breaks: Vec<f64> = layers
            .iter()
            .flat_map(|layer| [layer.bottom, layer.top])
            .collect();
        let mut slices = Vec::new();
        for piece in profile.cut_at(&breaks) {
            let layer = layers
                .iter()
                .find(|layer| layer.bottom <= piece.bottom && piece.bottom < layer.top);
            slices.push((piece, layer.map_or(Ok(piece), |layer| wet(&piece, layer))?));
        }
        Ok(Self::from_cells(slices.into_iter(), profile.top()))
    }

    fn from_cells(slices: impl Iterator<Item = (Piece, Piece)>, top: f64) -> Self {
        let (mut plan_below, mut wet_below) = (0.0, 0.0);
        let cells = slices
            .map(|(plan, wet)| {
                let cell = Cell {
                    plan,
                    wet,
                    plan_below,
                    wet_below,
                };
                plan_below += plan.volume();
                wet_below += wet.volume();
                cell
            })
            .collect();
        Self { cells, top }
    }

    /// Every number that it is made of, which tell it from another.
    pub(in crate::formulas) fn numbers(&self) -> impl Iterator<Item = f64> {
        let piece = |piece: Piece| {
            let Piece { bottom, height, area } = piece;
            [bottom, height, area[0], area[1], area[2]]
        };
        let cells = self.cells.iter().flat_map(move |cell| {
            let Cell {
                plan,
                wet,
                plan_below,
                wet_below,
            } = *cell;
            let below = [plan_below, wet_below];
            piece(plan).into_iter().chain(piece(wet)).chain(below)
        });
        cells.chain([self.top])
    }

    /// Level of the lowest point, m.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert_eq!(basin.floor(), 0.0);
    /// ```
    pub fn floor(&self) -> f64 {
        self.cells.first().map_or(self.top, |cell| cell.plan.bottom)
    }

    /// Level of the top contour, m.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert_eq!(basin.top(), 1.0);
    /// ```
    pub fn top(&self) -> f64 {
        self.top
    }

    /// Water held up to a level, m³; zero below the floor.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert!((basin.volume(0.25) - 2.5).abs() < 1e-12);
    /// assert!(basin.volume(f64::NAN).is_nan());
    /// ```
    pub fn volume(&self, level: f64) -> f64 {
        self.cell_at(level).map_or(below_floor(level), |cell| {
            cell.wet_below + cell.wet.volume_to(level)
        })
    }

    /// Whole volume up to a level, m³, fill and water together.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert!((basin.plan_volume(0.25) - 2.5).abs() < 1e-12);
    /// ```
    pub fn plan_volume(&self, level: f64) -> f64 {
        self.cell_at(level).map_or(below_floor(level), |cell| {
            cell.plan_below + cell.plan.volume_to(level)
        })
    }

    /// Area of water at a level, m²: plan area times porosity, the derivative of [`Self::volume`]. At a flat
    /// shelf or the edge of a layer, the area just above it.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert_eq!(basin.area(0.5), 10.0);
    /// ```
    pub fn area(&self, level: f64) -> f64 {
        self.cell_at(level)
            .map_or(below_floor(level), |cell| cell.wet.area(level))
    }

    /// Plan area of the basin at a level, m²; at a flat shelf, the area just above it.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert_eq!(basin.plan_area(0.5), 10.0);
    /// ```
    pub fn plan_area(&self, level: f64) -> f64 {
        self.cell_at(level)
            .map_or(below_floor(level), |cell| cell.plan.area(level))
    }

    /// Level at which the basin holds a volume of water (m³), m; the floor for none.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A box of 10 m², 1 m deep.
    /// let basin = Storage::open(&Profile::contours(&[(0.0, 10.0), (1.0, 10.0)]).unwrap());
    /// assert!((basin.level_of(2.5) - 0.25).abs() < 1e-12);
    /// ```
    pub fn level_of(&self, volume: f64) -> f64 {
        if volume <= 0.0 {
            return self.floor();
        }
        let above = self.cells.partition_point(|cell| cell.wet_below < volume);
        match self.cells.get(above.saturating_sub(1)) {
            Some(cell) => cell.wet.level_of(volume - cell.wet_below),
            None => self.floor(),
        }
    }

    /// The slice a level lies in; none below the floor.
    fn cell_at(&self, level: f64) -> Option<&Cell> {
        let above = self.cells.partition_point(|cell| cell.plan.bottom <= level);
        self.cells.get(above.checked_sub(1)?)
    }
}

/// What a basin holds, and its area, at a level in no slice of it: nothing, unless the level is no number.
fn below_floor(level: f64) -> f64 {
    if level.is_nan() { f64::NAN } else { 0.0 }
}

/// The layers from the lowest up, none of them overlapping and each with voids.
fn in_order(layers: &[Layer]) -> Result<Vec<Layer>, StorageError> {
    let mut layers = layers.to_vec();
    layers.sort_by(|a, b| a.bottom.total_cmp(&b.bottom));
    let mut below = f64::NEG_INFINITY;
    for layer in &layers {
        let thick = layer.bottom < layer.top && layer.top.is_finite();
        if !thick || layer.bottom < below {
            return Err(StorageError::LayersOverlap {
                bottom: layer.bottom,
                top: layer.top,
            });
        }
        below = layer.top;
        let inner = layer.inner.map(|inner| inner.porosity);
        for porosity in [Some(layer.porosity), inner].into_iter().flatten() {
            if !(porosity > 0.0 && porosity <= 1.0) {
                return Err(StorageError::Porosity(porosity));
            }
        }
    }
    Ok(layers)
}

/// The area of water in a slice that lies within a layer.
fn wet(plan: &Piece, layer: &Layer) -> Result<Piece, StorageError> {
    let mut wet = plan.scaled(layer.porosity);
    if let Some(inner) = layer.inner {
        let least = plan.least_area();
        // A share of the plan area, computed and handed back, may be off in the last digit.
        if not_negative(inner.area).is_nan() || inner.area > least * (1.0 + 1e-9) {
            return Err(StorageError::InnerTooLarge {
                inner: inner.area,
                plan: least,
            });
        }
        wet.area[0] += inner.area * (inner.porosity - layer.porosity);
    }
    Ok(wet)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn box_of(area: f64) -> Profile {
        Profile::contours(&[(0.0, area), (1.0, area)]).unwrap()
    }

    #[test]
    fn beyond_the_ends() {
        let storage = Storage::open(&Profile::contours(&[(1.0, 2.0), (2.0, 4.0)]).unwrap());
        assert_eq!((storage.floor(), storage.top()), (1.0, 2.0));
        assert_eq!((storage.volume(0.5), storage.area(0.5)), (0.0, 0.0));
        assert_eq!(storage.level_of(-1.0), 1.0);
        assert_eq!(storage.volume(2.0), 3.0);
        assert_eq!(storage.volume(2.5), 5.0);
        assert_eq!(storage.level_of(5.0), 2.5);
        assert_eq!(storage.area(9.0), 4.0);
    }

    #[test]
    fn layers_hold_their_voids() {
        let modules = Layer {
            bottom: 0.0,
            top: 0.4,
            porosity: 0.4,
            inner: Some(Inner {
                area: 7.0,
                porosity: 0.95,
            }),
        };
        let stone = Layer {
            bottom: 0.4,
            top: 0.9,
            porosity: 0.4,
            inner: None,
        };
        let storage = Storage::filled(&box_of(10.0), &[stone, modules]).unwrap();
        let in_modules = 0.4 * (7.0 * 0.95 + 3.0 * 0.4);
        assert!((storage.volume(0.4) - in_modules).abs() < 1e-12);
        assert!((storage.volume(1.0) - (in_modules + 0.5 * 4.0 + 0.1 * 10.0)).abs() < 1e-12);
        assert!((storage.plan_volume(1.0) - 10.0).abs() < 1e-12);
        assert_eq!((storage.area(0.5), storage.plan_area(0.5)), (4.0, 10.0));
    }

    #[test]
    fn wrong_layers_are_refused() {
        let layer = |bottom, top, porosity| Layer {
            bottom,
            top,
            porosity,
            inner: None,
        };
        let filled = |layers: &[Layer]| Storage::filled(&box_of(1.0), layers);
        assert!(filled(&[layer(0.0, 0.6, 0.4), layer(0.5, 0.8, 0.4)]).is_err());
        assert!(filled(&[layer(0.6, 0.6, 0.4)]).is_err());
        assert!(filled(&[layer(0.0, 0.6, 0.0)]).is_err());
        assert!(filled(&[layer(0.0, 0.6, f64::NAN)]).is_err());
        let mut crowded = layer(0.0, 0.6, 0.4);
        crowded.inner = Some(Inner {
            area: 2.0,
            porosity: 0.95,
        });
        assert!(filled(&[crowded]).is_err());
    }
}
