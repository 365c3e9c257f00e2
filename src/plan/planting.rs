//! What is planted.

use serde::Deserialize;

use super::{
    measure::{Area, Length, Share},
    shown::{Map, Shown},
};

/// What is planted.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Planting {
    /// Species: Species by id.
    pub species: Map<Species>,
    /// Planted area: Area set with plants.
    pub area: Shown<Area>,
    /// Cover at maturity: Share of the bed the plants cover when grown.
    pub cover: Shown<Share>,
}

/// One species.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Species {
    /// Common name: What it is called.
    pub common: Shown<String>,
    /// Botanical name: Genus and species.
    pub botanical: Shown<String>,
    /// Number: How many.
    pub count: Shown<u32>,
    /// Where: Id of the basin it is planted in.
    #[serde(rename = "where")]
    pub planted_in: Shown<String>,
    /// Spacing: Between plants.
    pub spacing: Shown<Length>,
    /// Depth over the crown: Water over the crown.
    pub depth: Shown<Length>,
    /// Runs: Whether it spreads by runners.
    pub runs: Shown<bool>,
    /// Contained: Whether its roots are held in a container.
    pub contained: Shown<bool>,
}
