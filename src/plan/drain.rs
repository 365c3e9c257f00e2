//! Gravity lines.

use serde::Deserialize;

use super::{
    measure::{Flow, Length, Level},
    pump::Run,
    shown::Shown,
};

/// A gravity line from one basin to another.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Drain {
    /// Name: What it is called on the drawings.
    pub name: Shown<String>,
    /// From: Id of the basin it leaves.
    pub from: Shown<String>,
    /// To: Id of the basin it runs to.
    pub to: Shown<String>,
    /// Mouth: Where the water enters it.
    pub mouth: Shown<DrainMouth>,
    /// Run: Its pipe, length and fittings; `discharge` where it ends above the water.
    pub run: Shown<Box<Run>>,
    /// Stated flow: Flow the plan counts on.
    pub stated_flow: Shown<Flow>,
}

/// Where the water enters a gravity line.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DrainMouth {
    /// Form: skimmer: a straight lip; standpipe: a pipe open upward; wall pipe: a pipe through the wall; bottom
    /// drain: under water at all times.
    pub form: Shown<MouthForm>,
    /// Level: Level at which water starts to run in, from the benchmark: the lip, the rim, the lowest inside point
    /// of a wall pipe; of a bottom drain its top.
    pub level: Shown<Level>,
    /// Lip width: Width of a skimmer's lip.
    pub width: Shown<Length>,
    /// Cover: What covers a bottom drain; required where people are meant to enter the water.
    pub cover: Shown<String>,
    /// Distance to a second outlet: From centre to centre, of a bottom drain.
    pub second_outlet: Shown<Length>,
}

/// Skimmer: a straight lip; standpipe: a pipe open upward; wall pipe: a pipe through the wall; bottom drain: under
/// water at all times.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MouthForm {
    /// `skimmer`
    Skimmer,
    /// `standpipe`
    Standpipe,
    /// `wall pipe`
    WallPipe,
    /// `bottom drain`
    BottomDrain,
}
