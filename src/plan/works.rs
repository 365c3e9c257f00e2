//! Electrical work, planting, filling and upkeep.

use serde::Deserialize;

use super::{
    measure::{Area, Concentration, Current, Flow, Length, Level, Share, Time, Voltage, Volume},
    shown::{Map, Shown},
};

/// Circuits and their protection.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Electrical {
    /// Circuits: Circuits by id.
    pub circuits: Map<Circuit>,
    /// Grounding and bonding: How metal parts and equipment at the water are bonded.
    pub bonding: Shown<String>,
    /// Tariff: What energy costs; left out, no cost is told.
    pub tariff: Shown<Tariff>,
}

/// What energy costs.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Tariff {
    /// Price per kWh: All charges that go with the energy, such as 0.17.
    pub price_per_kwh: Shown<f64>,
    /// Currency: As it is to be printed after an amount, such as "USD".
    pub currency: Shown<String>,
}

/// A circuit.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Circuit {
    /// Serves: What it feeds: a pump, a light, a receptacle.
    pub serves: Shown<String>,
    /// Voltage: Such as "120 V".
    pub voltage: Shown<Voltage>,
    /// Running current: Such as "3.2 A".
    pub current: Shown<Current>,
    /// Length: One way, from the panel.
    pub length: Shown<Length>,
    /// Conductor: Size and material, or the cable: "12 AWG copper", "2.5 mm2", "H07RN-F 3G1.5 mm²".
    pub conductor: Shown<String>,
    /// Ground-fault protection: Whether a ground-fault device protects it.
    pub ground_fault: Shown<bool>,
    /// Distance to the water: Of what it feeds.
    pub distance: Shown<Length>,
    /// Distance of the receptacle: From the water's edge; "none" where there is none.
    pub receptacle: Shown<Length>,
    /// Disconnect: Switch by which whoever reaches in sees that it is dead.
    pub disconnect: Shown<Disconnect>,
    /// Level of gear not made for submersion: From the benchmark.
    pub gear_level: Shown<Level>,
    /// Low-water cut-off: Whether the pump stops before it runs dry.
    pub dry_run_cut_off: Shown<bool>,
}

/// Disconnect switch.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Disconnect {
    /// In sight: Whether it is in sight of the equipment.
    pub in_sight: Shown<bool>,
    /// Distance from the water: From the water's edge.
    pub distance: Shown<Length>,
}

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
