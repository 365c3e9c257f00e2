//! Circuits, their protection, and what energy costs.

use serde::Deserialize;

use super::{
    measure::{Current, Length, Level, Voltage},
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
    /// Metal at the water: Whether metal parts or equipment in metal cases stand at the water; false for a plug-in pump
    /// in a plastic case with no metal beside it.
    pub metal: Shown<bool>,
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
    /// Low-water cut-off: Whether the pump stops before it runs dry; a listed pump with its own thermal cut-out counts.
    pub dry_run_cut_off: Shown<bool>,
    /// Kind of load: What kind of equipment it feeds.
    pub load: Shown<Load>,
    /// Isolated supply: For low voltage: whether an isolating transformer made for use at water, a battery or a solar
    /// panel feeds it.
    pub isolated: Shown<bool>,
    /// Direct current: For low voltage: whether it is direct current, as from a battery or a solar panel.
    pub direct_current: Shown<bool>,
    /// Nearest basin: Id of the basin that its gear stands beside, where the plan has several.
    pub basin: Shown<String>,
    /// Cord in the water: Length of flexible cord that lies exposed in the water; "none" where no cord enters it.
    pub cord_in_water: Shown<Length>,
    /// Buried cable: How the cable lies in the ground; "none" where none of it is buried.
    pub buried: Shown<BuriedCable>,
}

/// What kind of equipment a circuit feeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Load {
    /// `pump`
    Pump,
    /// `air pump`
    AirPump,
    /// `lighting`
    Lighting,
    /// `receptacle`
    Receptacle,
    /// `other`
    Other,
}

/// Cable in the ground.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct BuriedCable {
    /// Cover over the cable: From the surface to the top of cable or conduit.
    pub cover: Shown<Length>,
    /// How it is laid: What protects it in the ground.
    pub laid: Shown<CableLaid>,
}

/// What protects a cable in the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CableLaid {
    /// `direct burial`
    DirectBurial,
    /// `plastic conduit`
    PlasticConduit,
    /// `metal conduit`
    MetalConduit,
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
