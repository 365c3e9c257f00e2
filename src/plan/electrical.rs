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
    /// Tariff: What energy costs; without it, no cost is computed.
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
