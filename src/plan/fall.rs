//! Falls and streams.

use serde::Deserialize;

use super::{
    measure::{Length, Level, Slope},
    shown::{Map, Shown},
};

/// A spillway or fall.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Fall {
    /// Name: What it is called on the drawings.
    pub name: Shown<String>,
    /// From: Id of the basin or stream above.
    pub from: Shown<String>,
    /// To: Id of the basin or stream below.
    pub to: Shown<String>,
    /// Crest level: Level of the edge the water leaves over, from the benchmark.
    pub crest: Shown<Level>,
    /// Crest width: Clear width the water runs over.
    pub width: Shown<Length>,
    /// Edge: What the water runs over. Thin lip: a sharp edge or weir plate; dressed stone: sawn or dressed, level;
    /// rounded stone: dressed, its upstream edge rounded; natural stone or broad stone: a natural flat stone; rough stone:
    /// uneven stones; V-notch: a notch cut to a point in a plate, its crest level that of the point.
    pub edge: Shown<Edge>,
    /// Sides of the notch: Slope of each side of a V-notch, horizontal to vertical: 1:1 is a notch of 90 degrees.
    pub notch_sides: Shown<Slope>,
    /// Stated drop: Drop from the crest to what it meets below, the still water of a basin or the head of a stream, that
    /// the plan counts on.
    pub stated_drop: Shown<Length>,
    /// Level tolerance: How far out of level the crest may be set.
    pub level_tolerance: Shown<Length>,
    /// Lined splash margin: Lining beyond the fall, each side.
    pub splash_margin: Shown<Length>,
    /// Seal: How the edge is sealed to the lining below and at both ends.
    pub sealed: Shown<String>,
    /// Clear sheet wanted: Whether an unbroken nappe is wanted.
    pub clear_sheet: Shown<bool>,
}

/// What the water runs over. Thin lip: a sharp edge or weir plate; dressed stone: sawn or dressed, level; rounded stone:
/// dressed, its upstream edge rounded; natural stone or broad stone: a natural flat stone; rough stone: uneven stones;
/// V-notch: a notch cut to a point in a plate, its crest level that of the point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Edge {
    /// `thin lip`
    ThinLip,
    /// `broad stone`
    BroadStone,
    /// `dressed stone`
    DressedStone,
    /// `rounded stone`
    RoundedStone,
    /// `natural stone`
    NaturalStone,
    /// `rough stone`
    RoughStone,
    /// `V-notch`
    VNotch,
}

/// A stream: reaches from what feeds it to a basin, or to the fall that leaves it.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Stream {
    /// Name: What it is called on the drawings.
    pub name: Shown<String>,
    /// Ends in: Id of the basin it runs into; left out where a fall leaves it, from this stream.
    pub ends_in: Shown<String>,
    /// Head level: Level of the bed at its upper end; that of the crest that feeds it where left out.
    pub head: Shown<Level>,
    /// End level: Level of the bed at its lower end; where left out, the still water it ends in, or the crest of the
    /// fall that leaves it.
    pub end: Shown<Level>,
    /// Reaches: Reaches by id, downstream.
    pub reaches: Map<Reach>,
}

/// What the water of a stream runs over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChannelLining {
    /// `smooth concrete`
    SmoothConcrete,
    /// `dressed stone`
    DressedStone,
    /// `gravel`
    Gravel,
    /// `cobbles`
    Cobbles,
    /// `boulders`
    Boulders,
    /// `grass`
    Grass,
}

/// One reach of a stream.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Reach {
    /// Length: Along the bed.
    pub length: Shown<Length>,
    /// Drop: From its upper to its lower end.
    pub drop: Shown<Length>,
    /// Bed width: Flat width at the bottom.
    pub bed_width: Shown<Length>,
    /// Side slope: Horizontal to vertical, "0:1" for vertical side walls.
    pub side_slope: Shown<Slope>,
    /// Lining: What the water runs over: smooth concrete: trowelled or rendered; dressed stone: cut stone in mortar;
    /// gravel, cobbles and boulders: stone up to 2-1/2 in (64 mm), up to 10 in (256 mm), and larger; grass: mown turf.
    pub lining: Shown<ChannelLining>,
    /// Roughness: Manning's n, where it is known better than by the lining.
    pub roughness: Shown<f64>,
    /// Bed stone size: Middle size of the bed stone.
    pub stone: Shown<Length>,
    /// Loose bed stone: Whether the stone is laid loose.
    pub loose: Shown<bool>,
    /// Liner edge above the bed: Height of the lining edge over the bottom.
    pub liner_edge: Shown<Length>,
}
