//! Walls, digs and backfill.

use serde::Deserialize;

use super::{
    measure::{Angle, Density, Length, Share, Slope},
    shown::Shown,
};

/// A stone wall.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Wall {
    /// Basin: Id of the basin it stands at.
    pub basin: Shown<String>,
    /// Height: From the bottom of the lowest course to the top.
    pub height: Shown<Length>,
    /// Height of soil retained: Soil held back above the ground in front.
    pub retained: Shown<Length>,
    /// Base width: Thickness at the bottom.
    pub base_width: Shown<Length>,
    /// Batter: How far it leans back, horizontal to vertical.
    pub batter: Shown<Slope>,
    /// Buried toe: Depth of the lowest course below ground.
    pub toe: Shown<Length>,
    /// Courses: Number of courses.
    pub courses: Shown<u32>,
    /// Courses tucked: Whether each course's foot is below the top of the one in front.
    pub courses_tucked: Shown<bool>,
    /// Stone unit weight: Such as "165 lb/ft3".
    pub unit_weight: Shown<Density>,
    /// Retained soil: What is behind it.
    pub soil: Shown<String>,
    /// Unit weight of the soil: Of the soil behind the wall, moist, such as "120 lb/ft3".
    pub soil_unit_weight: Shown<Density>,
    /// Friction angle of the soil: Of the soil behind and under the wall, from a report, such as "32°".
    pub friction_angle: Shown<Angle>,
    /// Mortared: Joints filled with mortar, or a unit weight given for the wall as built: no joints are taken off.
    pub mortared: Shown<bool>,
    /// Surcharge: What loads the ground behind it.
    pub surcharge: Shown<String>,
    /// Drainage: How water leaves behind it.
    pub drainage: Shown<String>,
    /// Filter: Fabric or graded stone between wall and soil.
    pub filter: Shown<String>,
    /// Joints packed: Whether the joints are packed against soil.
    pub joints_packed: Shown<bool>,
    /// People walk above: Whether people walk within 3 ft (0.9 m) of its top.
    pub path_above: Shown<bool>,
    /// Guard: Rail or planting that keeps people from its edge.
    pub guard: Shown<String>,
    /// Engineer and permit: Who designed it, and the permit.
    pub engineer: Shown<String>,
}

/// A dig.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Excavation {
    /// Basin: Id of the basin it is for.
    pub basin: Shown<String>,
    /// Depth: Deepest part.
    pub depth: Shown<Length>,
    /// People enter: Whether people work in it.
    pub entered: Shown<bool>,
    /// Protection: How its sides are kept from falling in.
    pub protection: Shown<Protection>,
    /// Slope of the sides: Horizontal to vertical, "1.5:1".
    pub slope: Shown<Slope>,
    /// Way out within reach: A ladder, ramp or steps within 25 ft (7.6 m) of whoever is in it.
    pub egress: Shown<bool>,
    /// Distance of the spoil: From heap to edge.
    pub spoil_distance: Shown<Length>,
    /// Nearest footing: Nearest building or wall; "none" where none is near.
    pub footing: Shown<Footing>,
    /// Nearest tree to keep: Tree that stays and stands nearest; "none" where none is near.
    pub tree: Shown<Tree>,
    /// Engineer: Who designed the support.
    pub engineer: Shown<String>,
}

/// How its sides are kept from falling in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Protection {
    /// `sloped`
    Sloped,
    /// `benched`
    Benched,
    /// `shored`
    Shored,
    /// `shielded`
    Shielded,
}

/// Tree that stays near a dig.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Tree {
    /// Distance: From the edge of the dig to the trunk.
    pub distance: Shown<Length>,
    /// Radius of the crown: From the trunk to the drip line.
    pub crown_radius: Shown<Length>,
}

/// Footing of a building or wall near a dig.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Footing {
    /// Distance: From the edge of the dig.
    pub distance: Shown<Length>,
    /// Depth of its underside: Below the ground.
    pub depth: Shown<Length>,
}

/// What is put back behind the lining.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Backfill {
    /// Material: What it is.
    pub material: Shown<String>,
    /// Sharp stone: Whether it holds sharp stone.
    pub sharp_stone: Shown<bool>,
    /// Largest stone: Largest stone in it.
    pub largest_stone: Shown<Length>,
    /// Loose lift: Thickness of one layer before compaction.
    pub lift: Shown<Length>,
    /// Tamper: What compacts it: a rammer swung by hand, a jumping jack or plate walked by hand, or a machine that is
    /// ridden.
    pub tamper: Shown<Tamper>,
    /// Compaction: Share of standard Proctor density.
    pub compaction: Shown<Share>,
    /// Pest barrier: Mesh and closed hollows against burrowers.
    pub pest_barrier: Shown<String>,
}

/// What compacts it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tamper {
    /// `hand`
    Hand,
    /// `plate`
    Plate,
    /// `machine`
    Machine,
}
