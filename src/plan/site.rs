//! The site and its water supply.

use serde::Deserialize;

use super::{
    date::Date,
    measure::{Area, Concentration, Flow, Length, Level, Share, Slope, Temperature, Time, Velocity},
    shown::Shown,
};

/// Soil, groundwater, frost, storm, services and barrier.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Site {
    /// Soil class: Soil class for digging: A (firm cohesive), B (medium), C (loose or wet), rock, or unknown.
    pub soil: Shown<Soil>,
    /// Soil description: What the test pit showed.
    pub soil_note: Shown<String>,
    /// Highest groundwater level: Highest level of the groundwater in the year, from the benchmark; "none"
    /// where a test pit to the bottom of the dig stayed dry.
    pub groundwater: Shown<Level>,
    /// Frost depth: Depth of ground frost; "none" where the ground does not freeze.
    pub frost_depth: Shown<Length>,
    /// Design storm: The storm that the feature must take.
    pub design_storm: Shown<Storm>,
    /// Catchment that drains in: Ground and roofs that drain into the feature; "none" where all is kept out.
    pub catchment: Shown<Area>,
    /// Basin that the catchment drains into: Id of the basin that takes the run-off; not needed where only one
    /// basin is open to rain.
    pub catchment_into: Shown<String>,
    /// Slope of the ground: Horizontal to vertical, such as "12:1"; "none" on level ground.
    pub slope: Shown<Slope>,
    /// Underground services located: Whether buried services have been called in and marked.
    pub underground_services_located: Shown<bool>,
    /// Overhead services located: Whether overhead wires have been looked for.
    pub overhead_services_located: Shown<bool>,
    /// Barrier: Fence or other barrier against small children; "none" where there is none.
    pub barrier: Shown<Barrier>,
    /// Wind over the water: Mean speed on a warm day, such as "5 mph"; "none" over a still surface indoors.
    pub wind: Shown<Velocity>,
    /// Humidity of the air: Mean relative humidity on a warm day, such as "50 %".
    pub humidity: Shown<Share>,
    /// Burrowing animals: Whether animals that dig or gnaw live on the site: voles, moles, rats, muskrats, ants.
    pub burrowers: Shown<bool>,
    /// Barrier not required: Record of the authority's word that no barrier is required.
    pub barrier_not_required: Shown<Waiver>,
    /// Planned use: private: a home; public: open to guests or passers-by; child care: a nursery, school or playground.
    pub planned_use: Shown<PlannedUse>,
    /// Distance to the nearest property line: From the edge of the feature.
    pub property_line: Shown<Length>,
    /// Distance to the nearest bedroom: From the fall or the pump to the nearest bedroom window, where one is near.
    pub bedroom_distance: Shown<Length>,
    /// Overhead wires above the water: Height of the lowest power line above the highest water; "none" where none passes
    /// within 10 ft (3 m) of the water's edge, measured level.
    pub wire_clearance: Shown<Length>,
}

/// What the feature is planned for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlannedUse {
    /// `private`
    Private,
    /// `public`
    Public,
    /// `child care`
    ChildCare,
}

/// How the gate of a barrier closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Gate {
    /// `no gate`
    NoGate,
    /// `self-closing and self-latching`
    SelfClosingAndSelfLatching,
    /// `self-closing`
    SelfClosing,
    /// `plain`
    Plain,
}

/// Soil class for digging: A (firm cohesive), B (medium), C (loose or wet), rock, or unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Soil {
    /// `A`
    A,
    /// `B`
    B,
    /// `C`
    C,
    /// `rock`
    Rock,
    /// `unknown`
    Unknown,
}

/// The storm that the feature must take.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Storm {
    /// Rain depth: Depth of rain, such as "3 in".
    pub depth: Shown<Length>,
    /// Duration: How long it falls, such as "1 h".
    pub duration: Shown<Time>,
}

/// Fence or other barrier against small children.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Barrier {
    /// Kind: What it is: fence, wall, grille over the water.
    pub kind: Shown<String>,
    /// Height: Height above the ground outside; "none" for a grille or mesh over the water.
    pub height: Shown<Length>,
    /// Largest opening: Largest opening a child could pass; "none" where it is closed.
    pub openings: Shown<Length>,
    /// Grille at or above the water: For a grille: whether it lies at the water's surface or above it, is rigid and
    /// bears a child; false for mesh under the surface.
    pub over_water: Shown<bool>,
    /// Gate: How its gate closes, or that it has none.
    pub gate: Shown<Gate>,
}

/// Record of an authority's word that a barrier is not required.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Waiver {
    /// Authority: Which authority.
    pub authority: Shown<String>,
    /// Name: Who said so.
    pub name: Shown<String>,
    /// Date: When, as 2026-04-30.
    pub date: Shown<Date>,
}

/// Temperatures, chemistry, supply and make-up.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Water {
    /// Coldest water: Coldest water while running, such as "40 °F".
    pub coldest: Shown<Temperature>,
    /// Warmest water: Warmest water in summer.
    pub warmest: Shown<Temperature>,
    /// Lowest pH: Lowest pH measured, a plain number.
    pub lowest_ph: Shown<f64>,
    /// Highest pH: Highest pH measured (late afternoon), a plain number.
    pub highest_ph: Shown<f64>,
    /// Alkalinity: As CaCO₃, such as "120 mg/L".
    pub alkalinity: Shown<Concentration>,
    /// Total ammonia: Measured total ammonia, as nitrogen.
    pub total_ammonia: Shown<Concentration>,
    /// Supply: Where the fill water comes from.
    pub supply: Shown<Supply>,
    /// Disinfectant: What the supply is disinfected with; "none" for a well.
    pub disinfectant: Shown<Disinfectant>,
    /// Disinfectant residual: Residual at the tap, as chlorine.
    pub residual: Shown<Concentration>,
    /// Fill water temperature: Temperature of the supply as drawn.
    pub fill_temperature: Shown<Temperature>,
    /// Make-up: How evaporated water is replaced; "none" where nothing is connected.
    pub make_up: Shown<MakeUp>,
    /// Right to surface water: Permit or right under which a stream, lake or ditch is drawn on, and who gave it.
    pub right: Shown<String>,
}

/// Where the fill water comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Supply {
    /// `well`
    Well,
    /// `municipal`
    Municipal,
    /// `rain`
    Rain,
    /// `surface`
    Surface,
}

/// What the supply is disinfected with; "none" for a well.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Disinfectant {
    /// `chlorine`
    Chlorine,
    /// `chloramine`
    Chloramine,
}

/// How evaporated water is replaced.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct MakeUp {
    /// Basin: Id of the basin it fills.
    pub basin: Shown<String>,
    /// Automatic: A float or sensor opens it; false for a hose held by hand.
    pub automatic: Shown<bool>,
    /// Level it keeps: Level at which it shuts; the still level where left out is not assumed.
    pub level: Shown<Level>,
    /// Flow when open: What the valve can give when stuck open.
    pub flow: Shown<Flow>,
    /// Backflow protection: What keeps pond water out of the drinking water; "none" where nothing does.
    pub backflow: Shown<Backflow>,
    /// Air gap: From the spout to the flood level.
    pub gap: Shown<Length>,
    /// Outlet bore: Inside diameter of the spout.
    pub outlet_bore: Shown<Length>,
    /// Near a wall: Whether the spout is close to a wall, where a larger gap is due.
    pub near_wall: Shown<bool>,
    /// Level of the breaker: From the benchmark.
    pub breaker_level: Shown<Level>,
}

/// What keeps pond water out of the drinking water; "none" where nothing does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Backflow {
    /// `air gap`
    AirGap,
    /// `atmospheric vacuum breaker`
    AtmosphericVacuumBreaker,
    /// `pressure vacuum breaker`
    PressureVacuumBreaker,
    /// `hose-bib vacuum breaker`
    HoseBibVacuumBreaker,
    /// `reduced-pressure device`
    ReducedPressureDevice,
    /// `check valve`
    CheckValve,
}
