//! Pumps, lines and runs.

use indexmap::IndexMap;
use serde::Deserialize;

use super::{
    equipment::Ultraviolet,
    measure::{Area, Flow, Length, Level, Power, Pressure},
    shown::{Ids, Map, Shown},
};

/// A pump.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Pump {
    /// Name: What it is called on the drawings.
    pub name: Shown<String>,
    /// Basin: Id of the basin it draws from.
    pub basin: Shown<String>,
    /// After: Id of the pump it follows in series: it takes the water from that pump's outlet.
    pub after: Shown<String>,
    /// Mounting: submerged in the basin, or dry beside it.
    pub mount: Shown<Mount>,
    /// Intake level: Top of the intake opening, from the benchmark.
    pub intake: Shown<Level>,
    /// Level of a dry pump: Centre of its wheel, from the benchmark.
    pub level: Shown<Level>,
    /// Intake screen: What keeps stone and fish out.
    pub screen: Shown<Screen>,
    /// Pump curve: Pairs of flow and head at full speed, from shut-off on: `[["0 gph", "18 ft"], ["2000 gph",
    /// "14 ft"]]`.
    pub curve: Shown<Vec<(Flow, Length)>>,
    /// Duty point: One flow at one head, where no curve is given.
    pub duty: Shown<Duty>,
    /// Stated flow: Flow the plan counts on.
    pub stated_flow: Shown<Flow>,
    /// Input power: Power drawn, such as "320 W".
    pub power: Shown<Power>,
    /// Best-efficiency flow: Flow at best efficiency, from the maker.
    pub best_flow: Shown<Flow>,
    /// Solids size: Largest solid it passes.
    pub solids: Shown<Length>,
    /// Number alike: How many alike run side by side.
    pub count: Shown<u32>,
    /// Spare: Spare or stand-by pump.
    pub spare: Shown<String>,
    /// Stand-by air: Whether air is supplied when the power fails.
    pub standby_air: Shown<bool>,
    /// Low-level cut-off: Level at which a float or sensor stops it.
    pub low_level_cut_off: Shown<Level>,
    /// Least submergence: Water over the intake the maker asks for.
    pub least_submergence: Shown<Length>,
    /// Required suction head: Net positive suction head the maker asks for.
    pub required_suction_head: Shown<Length>,
    /// Suction run: The run from basin to a dry pump.
    pub suction: Shown<Box<Run>>,
    /// Cover: What covers the outlet that a dry pump draws through; asked for where people are meant to enter the
    /// water.
    pub cover: Shown<String>,
    /// Distance to a second outlet: From centre to centre, of the outlet that a dry pump draws through.
    pub second_outlet: Shown<Length>,
    /// Suction high point: Level of the highest point of the suction run; "none" where it rises all the way to the
    /// pump.
    pub suction_high_point: Shown<Level>,
    /// Own check valve: Check valve of this pump alone, where pumps share a line: keeps water from running
    /// back through it.
    pub check_valve: Shown<CheckValve>,
}

impl Pump {
    /// Whether it takes its water from a basin, and not from another pump.
    pub fn draws_from(&self, id: &str) -> bool {
        self.after.value().is_none() && self.basin.value().is_some_and(|basin| basin == id)
    }
}

/// Submerged in the basin, or dry beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mount {
    /// `submerged`
    Submerged,
    /// `dry`
    Dry,
}

/// What keeps stone and fish out of an intake.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Screen {
    /// Area: Whole area of the screen.
    pub area: Shown<Area>,
    /// Opening: Width of one opening.
    pub opening: Shown<Length>,
}

/// One flow at one head.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Duty {
    /// Flow: Such as "2400 gph".
    pub flow: Shown<Flow>,
    /// Head: Such as "12 ft".
    pub head: Shown<Length>,
}

/// A pumped line: a tree of runs from one or more pumps.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Line {
    /// Name: What it is called on the drawings.
    pub name: Shown<String>,
    /// From: Id of the pump it starts at, or a list of them.
    pub from: Shown<Ids>,
    /// Runs: Runs of pipe by id; each starts at the pump or after another run.
    pub runs: Map<Run>,
    /// Check valve: What stops the water running back.
    pub check_valve: Shown<CheckValve>,
    /// Air inlet: Opening teed off the line that breaks a siphon.
    pub air_inlet: Shown<AirInlet>,
    /// Union and shut-off: Whether the pump can be taken out without draining the basin.
    pub union: Shown<bool>,
    /// Drain-back intended: Whether the line is meant to drain when the pump stops.
    pub drain_back_intended: Shown<bool>,
    /// Drains for winter: Whether it drains by gravity or can be emptied.
    pub drains_for_winter: Shown<bool>,
    /// Carries unscreened water: Whether mud and leaves can enter it.
    pub unscreened: Shown<bool>,
    /// High points: Places where air gathers; "none" where it rises all the way.
    pub high_points: Shown<HighPoints>,
    /// Ultraviolet lamp: A lamp that the water of the line passes.
    pub uv: Shown<Ultraviolet>,
}

/// A run of one pipe.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Run {
    /// After: Id of the run it continues; left out, it starts at the pump.
    pub after: Shown<String>,
    /// Joins: Id of another run of the line whose end this one meets, so that two ways come together again.
    pub joins: Shown<String>,
    /// Valve shut: Whether a valve in it stands shut.
    pub shut: Shown<bool>,
    /// Pipe: Size, class and material.
    pub pipe: Shown<Pipe>,
    /// Length: Length of the run.
    pub length: Shown<Length>,
    /// Fittings: Number of each fitting by name: {"90 elbow": 3, "ball valve": 1}.
    pub fittings: Shown<IndexMap<String, u32>>,
    /// Extra loss coefficient: Further loss, in velocity heads.
    pub extra_k: Shown<f64>,
    /// Throttling valve loss coefficient: Loss of a throttling valve as it is set, in velocity heads; left
    /// out where there is none.
    pub throttle_k: Shown<f64>,
    /// To: Id of the basin or stream it ends in.
    pub to: Shown<String>,
    /// Discharge: How it ends.
    pub discharge: Shown<Discharge>,
    /// Stated flow: Flow the plan counts on at its end.
    pub stated_flow: Shown<Flow>,
    /// Cover: Depth of soil over it; "none" where it is not buried.
    pub buried: Shown<Length>,
}

/// Size, class and material of a pipe.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Pipe {
    /// Nominal size: Such as "2 in" or, for metric pipe, the outside diameter.
    pub size: Shown<Length>,
    /// Class: Such as "sch 40", "sdr 26", "dwv"; of metric pipe "PVC-U PN 10", "PE 100 SDR 17", "SN 4"; "hose".
    pub class: Shown<String>,
    /// Material: What it is made of.
    pub material: Shown<PipeMaterial>,
    /// Inside diameter: Where the tables do not know the pipe.
    pub inside: Shown<Length>,
    /// Roughness: Absolute roughness of the bore, such as "0.1 mm"; that of new pipe of its material where left out.
    pub roughness: Shown<Length>,
    /// Pressure rating: At 73 °F / 23 °C, where the tables do not know it.
    pub pressure_rating: Shown<Pressure>,
}

/// What it is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PipeMaterial {
    /// `PVC`
    Pvc,
    /// `flexible PVC`
    FlexiblePvc,
    /// `PE`
    Pe,
    /// `ABS`
    Abs,
    /// `copper`
    Copper,
    /// `steel`
    Steel,
    /// `galvanized steel`
    GalvanizedSteel,
    /// `stainless steel`
    StainlessSteel,
    /// `iron`
    Iron,
    /// `rubber hose`
    RubberHose,
}

/// How a run ends.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Discharge {
    /// Level: Centre of the mouth, from the benchmark.
    pub level: Shown<Level>,
    /// Form: submerged: under water; free: above it.
    pub form: Shown<DischargeForm>,
}

/// Submerged: under water; free: above it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DischargeForm {
    /// `submerged`
    Submerged,
    /// `free`
    Free,
}

/// Check valve.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct CheckValve {
    /// Kind: How it closes.
    pub kind: Shown<CheckKind>,
    /// Reachable: Whether it can be reached for service.
    pub reachable: Shown<bool>,
}

/// How it closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CheckKind {
    /// `swing`
    Swing,
    /// `spring`
    Spring,
}

/// Opening that breaks a siphon.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AirInlet {
    /// Level: From the benchmark.
    pub level: Shown<Level>,
    /// Bore: Inside diameter.
    pub bore: Shown<Length>,
    /// Reachable for cleaning: Whether it can be reached and rodded.
    pub reachable: Shown<bool>,
}

/// Places in a line where air gathers.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct HighPoints {
    /// Number: How many.
    pub count: Shown<u32>,
    /// Air release at each: Whether each has one.
    pub air_release: Shown<bool>,
}
