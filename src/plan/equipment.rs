//! Equipment beside pumps: air, filters that are no stone beds, ultraviolet lamps.

use serde::Deserialize;

use super::{
    measure::{Area, Flow, Length, Mass},
    shown::Shown,
};

/// Air pump and diffusers.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Aeration {
    /// Air flow: Free air that the pump gives at this depth.
    pub flow: Shown<Flow>,
    /// Depth of the diffusers: Below the still water.
    pub depth: Shown<Length>,
    /// Works in an outage: Whether it runs on when the power fails: a battery, or a generator that starts by itself.
    pub standby: Shown<bool>,
}

/// A filter that is no stone bed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Filter {
    /// Kind: bead: plastic beads under pressure; moving bed: media kept moving by air; trickle: media in air; drum: a
    /// turning screen, which nitrifies nothing.
    pub kind: Shown<FilterKind>,
    /// Rated feed a day: Feed a day that its maker rates it for.
    pub rated_feed: Shown<Mass>,
    /// Media surface: Surface of its media, where its maker rates no feed.
    pub media_area: Shown<Area>,
}

/// Kind of a filter that is no stone bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FilterKind {
    /// `bead`
    Bead,
    /// `moving bed`
    MovingBed,
    /// `trickle`
    Trickle,
    /// `drum`
    Drum,
    /// `other`
    Other,
}

/// A lamp that the water passes.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Ultraviolet {
    /// Largest flow: Largest flow that its maker rates it for.
    pub most_flow: Shown<Flow>,
}
