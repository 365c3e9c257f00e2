//! Linings.

use serde::Deserialize;

use super::{
    measure::{Length, Level, Mass, MassPerArea},
    shown::Shown,
};

/// Membrane, underlay, cushion, subgrade and edge.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Lining {
    /// Membrane: The waterproof sheet.
    pub membrane: Shown<Membrane>,
    /// Underlay below: Fabric between the ground and the sheet; "none" where there is none.
    pub underlay: Shown<Fabric>,
    /// Cushion above: Fabric between the sheet and the stone on it; "none" where there is none.
    pub cushion: Shown<Fabric>,
    /// Subgrade: The ground under the lining.
    pub subgrade: Shown<Subgrade>,
    /// Edges: How the edge of the sheet is finished.
    pub edges: Shown<Edges>,
    /// Penetrations: How each pipe through the sheet is clamped and sealed; "none" where nothing goes
    /// through.
    pub penetrations: Shown<String>,
    /// Boulder seats: How seats of boulders on the lining are raked and cushioned; "none" where no boulder
    /// stands on it.
    pub boulder_seats: Shown<String>,
    /// Largest boulder: Mass of the largest boulder that stands on the lining.
    pub boulder_mass: Shown<Mass>,
    /// Pad under large boulders: What spreads the load of a boulder of a ton or more under the sheet: a concrete pad,
    /// compacted gravel.
    pub boulder_pad: Shown<String>,
    /// Lap or seam to the next basin: How the sheet meets the receiver's lining.
    pub lap: Shown<String>,
    /// Vent below the sheet: How air, gas and water leave from under a large sheet: drain layer, pipes, vents at the rim.
    pub vent: Shown<String>,
}

/// The waterproof sheet.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Membrane {
    /// Material: What the sheet is made of.
    pub material: Shown<Material>,
    /// Thickness: Such as "45 mil" or "1 mm".
    pub thickness: Shown<Length>,
    /// Sheet length: Length as delivered.
    pub length: Shown<Length>,
    /// Sheet width: Width as delivered.
    pub width: Shown<Length>,
    /// Seams: How seams are made; "none" for one piece.
    pub seams: Shown<String>,
    /// Sheets: Of a seamed sheet, how many pieces of this size are joined on site; 1 where it is delivered in one.
    pub sheets: Shown<u32>,
    /// Fish safety: The maker's statement that it is safe for fish.
    pub fish_safe: Shown<String>,
}

/// What the sheet is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// `EPDM`
    Epdm,
    /// `PVC`
    Pvc,
    /// `LLDPE`
    Lldpe,
    /// `HDPE`
    Hdpe,
    /// `RPE`
    Rpe,
    /// `butyl`
    Butyl,
}

/// Underlay or cushion fabric.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Fabric {
    /// Mass per area: Such as "12 oz/yd2".
    pub mass: Shown<MassPerArea>,
    /// Full cover: Whether it covers floor and sides without gaps.
    pub full_cover: Shown<bool>,
    /// Material: What it is.
    pub material: Shown<String>,
}

/// The ground under the lining.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Subgrade {
    /// Raked clean: Whether roots and loose stone are raked out.
    pub raked_clean: Shown<bool>,
    /// Largest stone left: Largest stone left in the surface.
    pub largest_stone: Shown<Length>,
}

/// How the edge of the sheet is finished.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Edges {
    /// Folded up: Whether it is folded up behind the edge stone.
    pub folded: Shown<bool>,
    /// Anchorage: Trench, clamp or stone that holds the edge.
    pub anchored: Shown<String>,
    /// Top of the sheet behind edge stone: Level to which the sheet is carried behind edge stone or wall.
    pub behind_stone: Shown<Level>,
}
