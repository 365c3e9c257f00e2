//! Crests of stone: how much of the ideal broad crest's flow they pass.

use super::BROAD;

/// How the stone of a broad crest meets the water.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StoneEdge {
    /// Sawn or dressed, level, with a rounded upstream nose of at least a fifth of the head.
    RoundedNose,
    /// Sawn or dressed, level, with a square upstream edge.
    SmoothDressed,
    /// A natural flat stone.
    NaturalFlat,
    /// Rough, uneven stone.
    RoughStone,
}

impl StoneEdge {
    /// Coefficient `C` of `Q = C·b·h^1.5`, m^½/s: least, usual, most.
    ///
    /// Ideal flow has 1.705, and no crest of real stone passes more. Rounded nose: about 0.97 of it (ISO 4374, from
    /// memory). Square edge: 0.864 of it, more only under a head above a third of the stone's length (ISO 3846 basic
    /// coefficient, from memory). Rough stone: 2.5 ft^½/s in a Colorado mine-reclamation file, 2.2 to 2.8 common practice.
    /// Natural flat stone: between the two (common practice).
    ///
    /// ```
    /// use bywash::formulas::weir::StoneEdge;
    /// // A rough stone of 2.5 ft^½/s: 5.7 cfs over 12 ft stand 0.33 ft deep (Colorado mine-reclamation file).
    /// let (_, usual, _) = StoneEdge::RoughStone.coefficients();
    /// let head = (5.7 * 0.0283168 / (usual * 12.0 * 0.3048)).powf(2.0 / 3.0);
    /// assert!((head / 0.3048 - 0.33).abs() < 0.004);
    /// ```
    pub const fn coefficients(self) -> (f64, f64, f64) {
        match self {
            Self::RoundedNose => (1.60, 1.65, BROAD),
            Self::SmoothDressed => (1.42, 1.47, 1.60),
            Self::NaturalFlat => (1.30, 1.43, 1.58),
            Self::RoughStone => (super::ROUGH_RANGE.0, super::ROUGH, super::ROUGH_RANGE.1),
        }
    }
}
