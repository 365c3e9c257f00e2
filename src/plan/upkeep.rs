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
