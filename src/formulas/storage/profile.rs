//! The shape of a basin: plan area against level, as polynomials between breaks.

use std::f64::consts::PI;

use super::error::StorageError;
use crate::formulas::roots;

/// Outline of a basin in plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outline {
    /// Length by width.
    Rectangle,
    /// Full axes; a circle has two equal ones. Offset sides lengthen both axes equally.
    Ellipse,
}

impl Outline {
    fn area_factor(self) -> f64 {
        match self {
            Self::Rectangle => 1.0,
            Self::Ellipse => PI / 4.0,
        }
    }
}

/// A flat shelf all round, seen from the top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shelf {
    /// Below the top, m.
    pub depth: f64,
    /// Across, m.
    pub width: f64,
}

/// A sloping side, from below upward, with a shelf at its top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bank {
    /// Height, m.
    pub height: f64,
    /// Horizontal over vertical.
    pub slope: f64,
    /// Width of the flat shelf at its top, m.
    pub shelf: f64,
}

/// Plan area against level.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// From the floor up; the last one has the constant area above the top and no end.
    pieces: Vec<Piece>,
}

/// Plan area between two levels: `a₀ + a₁·t + a₂·t²`, t above the bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) bottom: f64,
    /// May be infinite.
    pub(super) height: f64,
    pub(super) area: [f64; 3],
}

impl Profile {
    /// From contours (level, area), in m and m², from the floor up. Area is linear between contours; two
    /// contours at one level make a flat shelf.
    ///
    /// Between contours this is the average-end-area rule of earthwork, `V = h·(A₁ + A₂)/2`: exact for banks that spread
    /// along one side, too much where they slope all round.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A cone of 9 m² and 3 m taken in one slice: 13.5 m³, half as much again as the true 9 m³.
    /// let cone = Storage::open(&Profile::contours(&[(0.0, 0.0), (3.0, 9.0)]).unwrap());
    /// assert!((cone.volume(3.0) - 13.5).abs() < 1e-12);
    /// ```
    pub fn contours(contours: &[(f64, f64)]) -> Result<Self, StorageError> {
        Self::between_contours(contours, |low, high, height| [low, (high - low) / height, 0.0])
    }

    /// From contours (level, area), in m and m², from the floor up, with banks that slope evenly all round between them:
    /// the root of the area is linear, so that each slice is a frustum, `V = h/3·(A₁ + A₂ + √(A₁·A₂))`. Two contours at one
    /// level make a flat shelf.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // A cone of 9 m² and 3 m holds 9 m³.
    /// let cone = Storage::open(&Profile::frustums(&[(0.0, 0.0), (3.0, 9.0)]).unwrap());
    /// assert!((cone.volume(3.0) - 9.0).abs() < 1e-12);
    /// ```
    pub fn frustums(contours: &[(f64, f64)]) -> Result<Self, StorageError> {
        Self::between_contours(contours, |low, high, height| {
            let (root, spread) = (low.sqrt(), (high.sqrt() - low.sqrt()) / height);
            [low, 2.0 * root * spread, spread * spread]
        })
    }

    /// From contours, with the area between two of them as a polynomial of the height over the lower one.
    fn between_contours(
        contours: &[(f64, f64)],
        between: impl Fn(f64, f64, f64) -> [f64; 3],
    ) -> Result<Self, StorageError> {
        for &(level, area) in contours {
            not_negative("contour area", area)?;
            if !level.is_finite() {
                return Err(StorageError::NotPositive {
                    what: "contour level",
                    value: level,
                });
            }
        }
        let mut pieces = Vec::new();
        for (&(below, low), &(above, high)) in contours.iter().zip(contours.iter().skip(1)) {
            if above < below {
                return Err(StorageError::LevelsFall { below, above });
            }
            if above > below {
                let height = above - below;
                pieces.push(Piece {
                    bottom: below,
                    height,
                    area: between(low, high, height),
                });
            }
        }
        match contours.last() {
            Some(&(top, area)) if !pieces.is_empty() => Self::closed(pieces, top, area),
            _ => Err(StorageError::TooFewContours),
        }
    }

    /// A basin whose outline changes evenly from a floor to a top; `floor` and `top` are (level, length,
    /// width), m.
    ///
    /// ```
    /// use bywash::formulas::storage::{Outline, Profile, Storage};
    /// // A pyramid of 3 m by 3 m and 2 m holds 6 m³.
    /// let profile = Profile::tapered(Outline::Rectangle, (0.0, 0.0, 0.0), (2.0, 3.0, 3.0)).unwrap();
    /// assert!((Storage::open(&profile).volume(2.0) - 6.0).abs() < 1e-12);
    /// ```
    pub fn tapered(
        outline: Outline,
        floor: (f64, f64, f64),
        top: (f64, f64, f64),
    ) -> Result<Self, StorageError> {
        let (bottom, length, width) = floor;
        let height = positive("depth", top.0 - bottom)?;
        not_negative("floor length", length)?;
        not_negative("floor width", width)?;
        positive("length", top.1)?;
        positive("width", top.2)?;
        let spread = [(top.1 - length) / height, (top.2 - width) / height];
        let piece = sloping(outline, bottom, height, [length, width], spread);
        Self::closed(vec![piece], top.0, outline.area_factor() * top.1 * top.2)
    }

    /// A basin given at its floor, built up in banks with a flat shelf at the top of each; m.
    ///
    /// ```
    /// use bywash::formulas::storage::{Bank, Outline, Profile, Storage};
    /// // Upright banks of 1 m round a floor of 2 m by 3 m.
    /// let bank = Bank { height: 1.0, slope: 0.0, shelf: 0.0 };
    /// let profile = Profile::from_floor(Outline::Rectangle, 0.0, 3.0, 2.0, &[bank]).unwrap();
    /// assert!((Storage::open(&profile).volume(1.0) - 6.0).abs() < 1e-12);
    /// ```
    pub fn from_floor(
        outline: Outline,
        floor: f64,
        length: f64,
        width: f64,
        banks: &[Bank],
    ) -> Result<Self, StorageError> {
        let mut size = [
            not_negative("floor length", length)?,
            not_negative("floor width", width)?,
        ];
        let mut level = floor;
        let mut pieces = Vec::new();
        for bank in banks {
            positive("bank height", bank.height)?;
            not_negative("side slope", bank.slope)?;
            not_negative("shelf width", bank.shelf)?;
            let spread = 2.0 * bank.slope;
            pieces.push(sloping(outline, level, bank.height, size, [spread; 2]));
            level += bank.height;
            size = size.map(|across| across + spread * bank.height + 2.0 * bank.shelf);
        }
        Self::closed(pieces, level, outline.area_factor() * size[0] * size[1])
    }

    /// A basin given at its top: size there, depth, one side slope (horizontal over vertical) and shelves; m.
    ///
    /// ```
    /// use bywash::formulas::storage::{Outline, Profile, Storage};
    /// // Sides of 1:1, 4 m by 4 m at the top, 1 m deep: prismoidal, (16 + 4·9 + 4)/6 = 9.333 m³.
    /// let profile = Profile::from_top(Outline::Rectangle, 0.0, 4.0, 4.0, 1.0, 1.0, &[]).unwrap();
    /// assert!((Storage::open(&profile).volume(0.0) - 56.0 / 6.0).abs() < 1e-12);
    /// ```
    pub fn from_top(
        outline: Outline,
        top: f64,
        length: f64,
        width: f64,
        depth: f64,
        slope: f64,
        shelves: &[Shelf],
    ) -> Result<Self, StorageError> {
        positive("depth", depth)?;
        let mut shelves = shelves.to_vec();
        shelves.sort_by(|a, b| b.depth.total_cmp(&a.depth));
        let mut banks = Vec::new();
        let mut below = depth;
        for shelf in &shelves {
            positive("shelf depth", shelf.depth)?;
            banks.push(Bank {
                height: positive("height of the side below a shelf", below - shelf.depth)?,
                slope,
                shelf: shelf.width,
            });
            below = shelf.depth;
        }
        banks.push(Bank {
            height: below,
            slope,
            shelf: 0.0,
        });
        let taken = 2.0 * (slope * depth + shelves.iter().map(|shelf| shelf.width).sum::<f64>());
        let narrow = length.min(width);
        if taken > narrow {
            return Err(StorageError::SidesMeet { given: narrow, taken });
        }
        Self::from_floor(outline, top - depth, length - taken, width - taken, &banks)
    }

    /// The lower half of an ellipsoid with full surface axes and a depth, m; volume `π/6·a·b·d`.
    ///
    /// ```
    /// use bywash::formulas::storage::{Profile, Storage};
    /// // Half a ball of radius 1 m: 2π/3 m³.
    /// let bowl = Storage::open(&Profile::bowl(0.0, 2.0, 2.0, 1.0).unwrap());
    /// assert!((bowl.volume(1.0) - 2.0 * std::f64::consts::PI / 3.0).abs() < 1e-12);
    /// ```
    pub fn bowl(floor: f64, axis_a: f64, axis_b: f64, depth: f64) -> Result<Self, StorageError> {
        positive("axis", axis_a)?;
        positive("axis", axis_b)?;
        positive("depth", depth)?;
        let surface = PI / 4.0 * axis_a * axis_b;
        let piece = Piece {
            bottom: floor,
            height: depth,
            area: [0.0, 2.0 * surface / depth, -surface / (depth * depth)],
        };
        Self::closed(vec![piece], floor + depth, surface)
    }

    /// Level of the top, m.
    ///
    /// ```
    /// use bywash::formulas::storage::Profile;
    /// assert_eq!(Profile::bowl(-1.0, 2.0, 2.0, 1.0).unwrap().top(), 0.0);
    /// ```
    pub fn top(&self) -> f64 {
        self.pieces.last().map_or(0.0, |piece| piece.bottom)
    }

    /// Adds the vertical walls above the top.
    fn closed(mut pieces: Vec<Piece>, top: f64, area: f64) -> Result<Self, StorageError> {
        pieces.push(Piece {
            bottom: top,
            height: f64::INFINITY,
            area: [positive("area at the top", area)?, 0.0, 0.0],
        });
        Ok(Self { pieces })
    }

    pub(super) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The pieces, cut further at the given levels.
    pub(super) fn cut_at(&self, levels: &[f64]) -> Vec<Piece> {
        let mut levels = levels.to_vec();
        levels.sort_by(f64::total_cmp);
        let mut out = Vec::new();
        for &piece in &self.pieces {
            let mut rest = piece;
            for &level in &levels {
                let above = level - rest.bottom;
                if above > 0.0 && above < rest.height {
                    out.push(Piece {
                        height: above,
                        ..rest
                    });
                    rest = rest.from(level);
                }
            }
            out.push(rest);
        }
        out
    }
}

impl Piece {
    /// The part above a level within the piece.
    fn from(&self, level: f64) -> Self {
        let t = level - self.bottom;
        let [a0, a1, a2] = self.area;
        Self {
            bottom: level,
            height: self.height - t,
            area: [a0 + t * (a1 + t * a2), a1 + 2.0 * t * a2, a2],
        }
    }

    pub(super) fn scaled(&self, factor: f64) -> Self {
        Self {
            area: self.area.map(|a| a * factor),
            ..*self
        }
    }

    pub(super) fn area(&self, level: f64) -> f64 {
        self.area_above(level - self.bottom)
    }

    pub(super) fn volume_to(&self, level: f64) -> f64 {
        self.volume_above(level - self.bottom)
    }

    /// Volume of the whole piece; that of the endless last piece is never asked for.
    pub(super) fn volume(&self) -> f64 {
        self.volume_above(self.height)
    }

    /// Least area within the piece; plan areas are monotone or arched, so it is at an end.
    pub(super) fn least_area(&self) -> f64 {
        if self.height.is_finite() {
            self.area[0].min(self.area_above(self.height))
        } else {
            self.area[0]
        }
    }

    /// Level at which the piece holds a volume; its area may be zero at the floor of a bowl.
    pub(super) fn level_of(&self, volume: f64) -> f64 {
        if self.height.is_infinite() {
            return self.bottom + volume / self.area[0];
        }
        let guess = (volume / self.volume()).clamp(0.0, 1.0) * self.height;
        let t = roots::newton(guess, (0.0, self.height), f64::EPSILON * self.height, |t| {
            (self.volume_above(t) - volume, self.area_above(t))
        });
        self.bottom + t
    }

    fn area_above(&self, t: f64) -> f64 {
        let [a0, a1, a2] = self.area;
        a0 + t * (a1 + t * a2)
    }

    fn volume_above(&self, t: f64) -> f64 {
        let [a0, a1, a2] = self.area;
        t * (a0 + t * (a1 / 2.0 + t * a2 / 3.0))
    }
}

/// A piece whose two sizes grow evenly with height.
fn sloping(outline: Outline, bottom: f64, height: f64, size: [f64; 2], spread: [f64; 2]) -> Piece {
    let ([length, width], [along, across]) = (size, spread);
    let area = [length * width, length * across + width * along, along * across];
    Piece {
        bottom,
        height,
        area: area.map(|a| a * outline.area_factor()),
    }
}

fn positive(what: &'static str, value: f64) -> Result<f64, StorageError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(StorageError::NotPositive { what, value })
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, StorageError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(StorageError::NotPositive { what, value })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn top_and_floor_describe_the_same_basin() {
        let shelf = Shelf {
            depth: 0.3,
            width: 0.5,
        };
        let down = Profile::from_top(Outline::Rectangle, 1.0, 6.0, 4.0, 0.9, 0.5, &[shelf]).unwrap();
        let banks = [
            Bank {
                height: 0.6,
                slope: 0.5,
                shelf: 0.5,
            },
            Bank {
                height: 0.3,
                slope: 0.5,
                shelf: 0.0,
            },
        ];
        let up = Profile::from_floor(Outline::Rectangle, 0.1, 4.1, 2.1, &banks).unwrap();
        assert_eq!(down.pieces.len(), 3);
        for (a, b) in down.pieces.iter().zip(&up.pieces) {
            assert!((a.bottom - b.bottom).abs() < 1e-12 && (a.area(0.9) - b.area(0.9)).abs() < 1e-9);
        }
    }

    #[test]
    fn impossible_shapes_are_refused() {
        assert!(matches!(
            Profile::from_top(Outline::Ellipse, 0.0, 2.0, 1.0, 1.0, 1.0, &[]),
            Err(StorageError::SidesMeet { .. })
        ));
        assert!(Profile::contours(&[(0.0, 1.0)]).is_err());
        assert!(Profile::contours(&[(0.0, 1.0), (0.0, 2.0)]).is_err());
        assert!(Profile::contours(&[(1.0, 1.0), (0.0, 2.0)]).is_err());
        assert!(Profile::contours(&[(0.0, 0.0), (1.0, 0.0)]).is_err());
        assert!(Profile::contours(&[(0.0, f64::NAN), (1.0, 1.0)]).is_err());
        assert!(Profile::bowl(0.0, 1.0, 1.0, 0.0).is_err());
    }
}
