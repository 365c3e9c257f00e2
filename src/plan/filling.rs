//! Filling, washing and testing before the feature is joined to stocked water.

use serde::Deserialize;

use super::{
    measure::{Concentration, Flow, Share, Time, Volume},
    shown::Shown,
};

/// How the feature is filled and joined to stocked water.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Filling {
    /// Supply flow: Flow of the supply.
    pub supply_flow: Shown<Flow>,
    /// Standing tanks: Tanks in which fill water stands until it matches; "none" where it comes straight from
    /// the tap.
    pub standing_tanks: Shown<Tanks>,
    /// Wash cycles: Washing of new stone, to waste; "none" where it is not washed.
    pub wash: Shown<Wash>,
    /// Dechlorinator: What neutralises the disinfectant; "none" where nothing is used.
    pub dechlorinator: Shown<Dechlorinator>,
    /// Order of work: Steps in the order they are done.
    pub order: Shown<Vec<Step>>,
    /// Still-water leak test: How each basin is tested before it is joined or covered.
    pub leak_test: Shown<String>,
    /// Residual test: How zero residual is shown before joining.
    pub residual_test: Shown<String>,
}

/// Standing tanks.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Tanks {
    /// Volume: All tanks together.
    pub volume: Shown<Volume>,
    /// Time stood: Such as "24 h".
    pub stood: Shown<Time>,
    /// Aerated: Whether air is blown through.
    pub aerated: Shown<bool>,
}

/// Wash cycles of a bed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Wash {
    /// Cycles: How many.
    pub cycles: Shown<u32>,
    /// Share filled: Share of the bed filled each time.
    pub fraction: Shown<Share>,
    /// Recirculated: Whether the water is run round before it is pumped out.
    pub recirculated: Shown<bool>,
    /// To waste: Whether it is pumped to waste.
    pub to_waste: Shown<bool>,
    /// Outlet of the waste water: Where the wash water goes.
    pub outlet: Shown<WasteOutlet>,
}

/// Where wash water goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WasteOutlet {
    /// `planted ground`
    PlantedGround,
    /// `sanitary sewer`
    SanitarySewer,
    /// `hauled away`
    HauledAway,
    /// `storm drain by permit`
    StormDrainByPermit,
    /// `storm drain`
    StormDrain,
    /// `stream`
    Stream,
}

/// What neutralises the disinfectant.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Dechlorinator {
    /// Product: What it is, in general words.
    pub product: Shown<String>,
    /// Dose: Per volume of fill water.
    pub dose: Shown<Concentration>,
}

/// One step in the order of work.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Step {
    /// Step: What is done.
    pub step: Shown<StepKind>,
    /// Day: Day of the work, from 0.
    pub day: Shown<u32>,
}

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StepKind {
    /// `dig`
    Dig,
    /// `underlay`
    Underlay,
    /// `membrane`
    Membrane,
    /// `stone`
    Stone,
    /// `leak test`
    LeakTest,
    /// `fill`
    Fill,
    /// `wash`
    Wash,
    /// `dose`
    Dose,
    /// `residual test`
    ResidualTest,
    /// `temper`
    Temper,
    /// `join`
    Join,
    /// `plant`
    Plant,
    /// `fish`
    Fish,
}
