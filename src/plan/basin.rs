//! Basins, their shapes and what fills them.

use serde::Deserialize;

use super::{
    equipment::{Aeration, Filter},
    lining::Lining,
    measure::{Area, Flow, Length, Level, Mass, Pressure, Share, Slope, Volume},
    shown::{Map, Shown},
};

/// A pond, bed, reservoir or pool: anything that holds water.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Basin {
    /// Name: What it is called on the drawings.
    pub name: Shown<String>,
    /// Kind: pond: open water, with or without fish; bed: upflow filter of stone; reservoir: pump basin, open
    /// or stone-filled; pool: basin on a stream.
    pub kind: Shown<BasinKind>,
    /// Still-water level: Water level with the pump off, from the benchmark: "+4 in", "-1 ft 2 in".
    pub still: Shown<Level>,
    /// Rim level: Lowest edge of the lining, from the benchmark.
    pub rim: Shown<Level>,
    /// Floor level: Lowest point of the lining, from the benchmark.
    pub floor: Shown<Level>,
    /// Shape: A simple shape; or give contours, and beside them only the form, length and width.
    pub shape: Shown<Shape>,
    /// Position: Where its middle lies, for the site plan.
    pub position: Shown<Position>,
    /// Contours: Levels and the areas within them, bottom to top; area is taken to change evenly between two.
    pub contours: Shown<Vec<Contour>>,
    /// Construction: What its floor and sides are built of; where left out, a lined dig, or a question where
    /// there is no lining.
    pub construction: Shown<Construction>,
    /// Ballast: Mass fixed to the basin or standing in it beside its layers; of what lies outside under
    /// groundwater, its mass in water; "none" where there is none.
    pub ballast: Shown<Mass>,
    /// Frame: Poured or precast frame that holds its sides; "none" where the ground stands by itself.
    pub frame: Shown<String>,
    /// Stated volume: Volume as written on the drawing; checked against the computed one.
    pub stated_volume: Shown<Volume>,
    /// Open to rain: Whether rain falls on it; false under a roof or cover.
    pub open_to_rain: Shown<bool>,
    /// Water above the ground outside: How high the water stands above the ground outside; "none" where it
    /// lies in the ground.
    pub impounded: Shown<Length>,
    /// Overflow: Where surplus water leaves; "none" where it runs over the rim.
    pub overflow: Shown<Overflow>,
    /// Skimmer: Surface intake; "none" where there is none.
    pub skimmer: Shown<Skimmer>,
    /// Bottom drain: Drain in the floor; "none" where there is none.
    pub bottom_drain: Shown<BottomDrain>,
    /// Lining: Membrane, underlay, cushion, subgrade and edge; "none" for a concrete or clay basin.
    pub lining: Shown<Lining>,
    /// Fish: What is kept in it; "none" where there are no fish.
    pub fish: Shown<Fish>,
    /// Bathing or wading intended: Whether people are meant to enter the water.
    pub bathing: Shown<bool>,
    /// Way out: Shelf, step or ramp by which whoever falls in climbs out.
    pub way_out: Shown<String>,
    /// Layers: What fills a bed or stone-filled reservoir, by id, written bottom to top.
    pub layers: Map<Layer>,
    /// Direction of flow: Which way the water passes a bed: upward through the stone; downward; horizontal, from
    /// one end to the other; suction, drawn down through it by a pump. Upward where left out.
    pub flow_direction: Shown<FlowDirection>,
    /// Open surface: Bed surface left free of edge stone.
    pub open_surface: Shown<Area>,
    /// Overcut round the modules: How far the dig goes beyond the void modules all round.
    pub overcut: Shown<Length>,
    /// Clean-out well: Shaft to the floor through which settled mud is pumped out.
    pub clean_out_well: Shown<Well>,
    /// Inlet: Where the line enters the bed, and how water is spread.
    pub inlet: Shown<Inlet>,
    /// Flush provision: How settled mud is flushed out.
    pub flush: Shown<Flush>,
    /// Filled as soon as stoned: Whether it is filled with water the day the stone is in.
    pub filled_at_once: Shown<bool>,
    /// Dewatering while empty: How groundwater is held down while the basin is empty.
    pub dewatered: Shown<String>,
    /// Air pump: Air blown into it through stones or diffusers.
    pub air: Shown<Aeration>,
    /// Other filter: A filter that is no stone bed, through which its water runs: bead, moving bed, trickle, drum.
    pub filter: Shown<Filter>,
    /// Lids of shafts: How a skimmer box, a pump vault or an open reservoir is covered so that a child can't lift the
    /// lid.
    pub covers: Shown<String>,
    /// Engineer of raised sides: Who designed the walls or frame that hold water above the ground: an engineer, a
    /// standard detail, or the maker of a tank sold to hold water.
    pub engineer: Shown<String>,
}

/// Pond: open water, with or without fish; bed: upflow filter of stone; reservoir: pump basin, open or
/// stone-filled; pool: basin on a stream.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BasinKind {
    /// `pond`
    Pond,
    /// `bed`
    Bed,
    /// `reservoir`
    Reservoir,
    /// `pool`
    Pool,
}

/// What the floor and sides of a basin are built of.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Construction {
    /// Kind: lined earth: a sheet or clay in a dig; concrete shell: poured or sprayed; molded tank: plastic,
    /// glass fibre or metal; above ground: it stands on the ground.
    pub kind: Shown<ConstructionKind>,
    /// Wall thickness: Of a concrete shell.
    pub wall: Shown<Length>,
    /// Floor thickness: Of a concrete shell.
    pub floor: Shown<Length>,
    /// Mass of the shell or tank: As stated by its maker or designer; goes before thicknesses.
    pub mass: Shown<Mass>,
    /// Curing for fish: How the lime of new concrete or mortar is cured or sealed before fish: weeks of wet curing and
    /// rinsing, a sealer safe for fish, pH read before stocking.
    pub cured: Shown<String>,
}

/// Which way the water passes a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlowDirection {
    /// `upward`
    Upward,
    /// `downward`
    Downward,
    /// `horizontal`
    Horizontal,
    /// `suction`
    Suction,
}

/// What the floor and sides of a basin are built of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConstructionKind {
    /// `lined earth`
    LinedEarth,
    /// `concrete shell`
    ConcreteShell,
    /// `molded tank`
    MoldedTank,
    /// `above ground`
    AboveGround,
}

/// A simple shape, measured at the rim.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Shape {
    /// Form: rectangle, ellipse or circle with even side slopes; bowl: half an ellipsoid.
    pub form: Shown<Form>,
    /// Length at the rim: Longest way across at the rim level; the diameter of a circle.
    pub length: Shown<Length>,
    /// Width at the rim: Across the length, at the rim level.
    pub width: Shown<Length>,
    /// Depth from the rim: From rim to floor; needed where the floor level is left out.
    pub depth: Shown<Length>,
    /// Side slope: Horizontal to vertical, "0:1" for vertical sides.
    pub side_slope: Shown<Slope>,
    /// Shelves: Level ledges round the basin, by id.
    pub shelves: Map<Shelf>,
}

/// Where something lies on the site, from a corner south-west of everything.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Position {
    /// Distance east: From that corner to its middle, measured east.
    pub east: Shown<Length>,
    /// Distance north: From that corner to its middle, measured north.
    pub north: Shown<Length>,
    /// Direction of its length: Degrees that its length is turned from east toward north; 0 where left out.
    pub turned: Shown<f64>,
}

/// Rectangle, ellipse or circle with even side slopes; bowl: half an ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// `rectangle`
    Rectangle,
    /// `ellipse`
    Ellipse,
    /// `circle`
    Circle,
    /// `bowl`
    Bowl,
}

/// A level ledge round a basin.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Shelf {
    /// Level: From the benchmark.
    pub level: Shown<Level>,
    /// Width: How wide the ledge is, all round.
    pub width: Shown<Length>,
}

/// A level and the area within it.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Contour {
    /// Level: From the benchmark.
    pub level: Shown<Level>,
    /// Area: Plan area inside the contour.
    pub area: Shown<Area>,
}

/// Where surplus water leaves.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Overflow {
    /// Level: Level at which it starts to run.
    pub level: Shown<Level>,
    /// Lip width: Width of the lip, where it is a weir.
    pub width: Shown<Length>,
    /// Pipe bore: Inside diameter, where it is a pipe.
    pub bore: Shown<Length>,
    /// Stated capacity: What it is said to carry.
    pub capacity: Shown<Flow>,
    /// Outfall: Where the water goes.
    pub outfall: Shown<String>,
    /// Distance of the outfall: To the nearest building or lot line.
    pub outfall_distance: Shown<Length>,
    /// Runs to a stream or pond: Whether the surplus reaches a stream, lake or ditch.
    pub into_stream: Shown<bool>,
    /// Screened against escape: Whether a screen keeps fish and plants from leaving with the surplus.
    pub screened: Shown<bool>,
}

/// Surface intake.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Skimmer {
    /// Flow: Flow drawn through it.
    pub flow: Shown<Flow>,
    /// Lowest working level: From the benchmark.
    pub level: Shown<Level>,
}

/// Drain in the floor.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct BottomDrain {
    /// Bore: Inside diameter of the drain line.
    pub bore: Shown<Length>,
    /// Cover: What covers it.
    pub cover: Shown<String>,
    /// Distance to a second outlet: From centre to centre.
    pub second_outlet: Shown<Length>,
}

/// Fish kept in a basin.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Fish {
    /// Kind: What is kept.
    pub kind: Shown<FishKind>,
    /// Number: How many, as adults.
    pub count: Shown<u32>,
    /// Adult mass of one: What one weighs when grown.
    pub adult_mass: Shown<Mass>,
    /// Feed a day: Most feed given in a day.
    pub feed: Shown<Mass>,
    /// Protein of the feed: Share of raw protein in the feed, from its label, such as "36 %".
    pub protein: Shown<Share>,
    /// Fry kept: Whether small young fish must not reach the pump.
    pub fry: Shown<bool>,
}

/// What is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FishKind {
    /// `koi`
    Koi,
    /// `goldfish`
    Goldfish,
    /// `other`
    Other,
}

/// Clean-out well.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Well {
    /// Bore: Inside diameter.
    pub bore: Shown<Length>,
    /// Bottom opening: Level of its lowest opening, from the benchmark.
    pub floor: Shown<Level>,
    /// Lid: What closes it, such as "locked composite lid"; "none" where it is open.
    pub lid: Shown<String>,
    /// Lid secured: Whether a child cannot lift the lid.
    pub lid_secured: Shown<bool>,
}

/// Where the line enters a bed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Inlet {
    /// Level: From the benchmark.
    pub level: Shown<Level>,
    /// Distribution: How the water is spread over the floor.
    pub distribution: Shown<String>,
}

/// How settled mud is flushed out.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Flush {
    /// Provision: What is done, such as "trash pump in the well".
    pub provision: Shown<String>,
    /// Flushing flow: Flow while flushing.
    pub flow: Shown<Flow>,
}

/// A layer of a bed or stone-filled reservoir.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Layer {
    /// Fill: modules: void modules; stone; soil; fabric laid across the flow.
    pub fill: Shown<Fill>,
    /// Thickness: Thickness of the layer.
    pub thickness: Shown<Length>,
    /// Area: Plan area where it is less than the whole bed; round it lies the stone of the layer above.
    pub area: Shown<Area>,
    /// Smallest stone: Lower end of the size range.
    pub smallest: Shown<Length>,
    /// Largest stone: Upper end of the size range.
    pub largest: Shown<Length>,
    /// Stone shape: How worn the stone is.
    pub shape: Shown<StoneShape>,
    /// Washed: Whether the stone is washed before it is placed.
    pub washed: Shown<bool>,
    /// Source: Where the stone comes from.
    pub source: Shown<String>,
    /// Mixed load: Whether the stone comes as a load of mixed sizes.
    pub mixed_load: Shown<bool>,
    /// Sorted before placing: Whether a mixed load is sorted by size before it is placed.
    pub sorted: Shown<bool>,
    /// Shading course: Large stone laid on top of the bed for shade and looks, not part of the filter.
    pub shading: Shown<bool>,
    /// Porosity: Share of void in the stone, such as "40 %".
    pub porosity: Shown<Share>,
    /// Void share of the modules: Share of void in the modules, such as "95 %".
    pub void_ratio: Shown<Share>,
    /// Short-term crush strength: From the maker's test.
    pub crush_strength: Shown<Pressure>,
    /// Long-term strength: What the modules carry for years, from the maker.
    pub long_term_strength: Shown<Pressure>,
    /// Widest opening: Widest opening in the modules.
    pub opening: Shown<Length>,
    /// Load of people above: Load allowed for people on the surface.
    pub people_load: Shown<Pressure>,
}

impl Layer {
    /// Whether it is filled with stone, as far as the plan shows.
    pub fn is_stone(&self) -> bool {
        self.fill.value() == Some(&Fill::Stone)
    }
}

/// Modules: void modules; stone; soil; fabric laid across the flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fill {
    /// `modules`
    Modules,
    /// `stone`
    Stone,
    /// `soil`
    Soil,
    /// `fabric`
    Fabric,
}

/// How worn the stone is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StoneShape {
    /// `round`
    Round,
    /// `subangular`
    Subangular,
    /// `angular`
    Angular,
}
