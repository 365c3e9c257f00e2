//! Upkeep: flushing, spares, fouling and winter.

use serde::Deserialize;

use super::{
    measure::{Length, Time},
    shown::Shown,
};

/// Flushing, spares and winter.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Upkeep {
    /// Flush interval: Between flushes.
    pub flush_interval: Shown<Time>,
    /// Spare pump: Whether one is kept.
    pub spare_pump: Shown<bool>,
    /// Fouling: What slime and mud do to the lines before they are cleaned; left out, a usual fouling is assumed
    /// and printed.
    pub fouling: Shown<Fouling>,
    /// Winter plan: What runs, what drains, how ice stays open.
    pub winter: Shown<String>,
    /// Pump runs in winter: Whether the pump runs through the frost; false where it is stopped or lifted.
    pub runs_in_winter: Shown<bool>,
    /// Leaf capture: What keeps leaves out where trees stand near: net in autumn, skimmer emptied weekly.
    pub leaves: Shown<String>,
    /// Water management plan: Where water sprays in public: who tests and cleans against Legionella, how often.
    pub water_management: Shown<String>,
    /// Entry of wells and vaults: That nobody enters a well or vault, or by which rules for confined spaces.
    pub vault_entry: Shown<String>,
    /// Papers handed over: What the owner gets at the end: the plan as built, valve positions, test records, upkeep.
    pub handover: Shown<String>,
}

/// What slime and mud do to the lines before they are cleaned.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Fouling {
    /// Loss factor: Factor on the losses of fittings, valves and mouths, such as 1.5.
    pub loss_factor: Shown<f64>,
    /// Roughness: Roughness of the fouled pipe wall.
    pub roughness: Shown<Length>,
}
