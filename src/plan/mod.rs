//! The typed plan: every part of the plan file, SI inside, every value with its place.

mod adjacency;
mod attachment;
mod basin;
mod changed;
pub(crate) mod connections;
pub mod country;
mod date;
mod de;
mod drain;
mod electrical;
mod equipment;
mod fall;
mod filling;
mod ground;
mod lining;
mod measure;
mod planting;
mod project;
mod pump;
mod schema;
mod shown;
mod site;
mod upkeep;
mod validate;

use serde::Deserialize;

pub use attachment::*;
pub use basin::*;
pub use date::Date;
pub use drain::*;
pub use electrical::*;
pub use equipment::*;
pub use fall::*;
pub use filling::*;
pub use ground::*;
pub use lining::*;
pub use measure::*;
pub use planting::*;
pub use project::*;
pub use pump::*;
pub use schema::{SCHEMA, schema};
pub(crate) use shown::name_of;
pub use shown::{Given, Ids, Map, Shown};
pub use site::*;
pub use upkeep::*;

use crate::read::{Node, Place, Problem, ProblemKind};

/// The structured plan of a recirculating water feature. A value left out is a question to the designer;
/// `false` or "none" says that there is none.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Plan {
    /// Project: Who, where and which revision.
    pub project: Shown<Project>,
    /// Benchmark: The mark from which every level is measured.
    pub benchmark: Shown<Benchmark>,
    /// Site: Soil, groundwater, frost, storm, services and barrier.
    pub site: Shown<Site>,
    /// Water: Temperatures, chemistry, supply and make-up.
    pub water: Shown<Water>,
    /// Basins: Everything that holds water, by id: ponds, beds, reservoirs, pools.
    pub basins: Map<Basin>,
    /// Pumps: Pumps by id.
    pub pumps: Map<Pump>,
    /// Whether the plan shows its pumps, and shows none: `"pumps": {}`.
    #[serde(skip)]
    pub no_pumps: bool,
    /// Lines: Pumped lines by id: each a tree of runs from a pump to one or more basins or
    /// streams.
    pub lines: Map<Line>,
    /// Falls: Spillways and falls by id: where water leaves a basin or stream over a crest.
    pub falls: Map<Fall>,
    /// Streams: Streams by id: reaches from what feeds them to a basin or a fall.
    pub streams: Map<Stream>,
    /// Drains: Gravity lines by id: skimmer lines, bottom drains and other pipes by which water runs from one
    /// basin to another without a pump.
    pub drains: Map<Drain>,
    /// Walls: Stone walls by id.
    pub walls: Map<Wall>,
    /// Excavations: Each dig by id: its depth, its sides and what stands near.
    pub excavations: Map<Excavation>,
    /// Backfill: What is put back behind the lining, and how.
    pub backfill: Shown<Backfill>,
    /// Electrical: Circuits and their protection. The local code and a licensed electrician decide.
    pub electrical: Shown<Electrical>,
    /// Planting: What is planted, where and how.
    pub planting: Shown<Planting>,
    /// Filling: How the feature is filled, washed and joined to stocked water.
    pub filling: Shown<Filling>,
    /// Upkeep: Flushing, spares and winter.
    pub upkeep: Shown<Upkeep>,
    /// Photographs and sheets: Photographs and drawing sheets that belong to the plan, by id; the PDF of a review shows
    /// them small.
    pub attachments: Map<Attachment>,
    /// Accepted deviations: Deviations accepted by name, by id. A rule that keeps people safe can't be
    /// accepted.
    pub accepted: Map<Acceptance>,
    /// Answers: Answers to the review before, by the number of the finding or question, such as "5.1" or "Q2".
    pub answers: Map<Answer>,
    /// Which members name which others, as the plan was read.
    #[serde(skip)]
    adjacency: adjacency::Adjacency,
}

/// A typed value of a tree that its schema accepts: the plan, or the data of a rule card.
///
/// # Errors
/// A tree that the schema would have refused.
pub fn from_node<'a, T: Deserialize<'a>>(tree: &'a Node) -> Result<T, Problem> {
    read(tree).map_err(|error| unreadable(tree, &error, "this"))
}

fn read<'a, T: Deserialize<'a>>(tree: &'a Node) -> Result<T, de::Error> {
    T::deserialize(de::At {
        node: tree,
        place: Place::root(),
    })
}

fn unreadable(tree: &Node, error: &de::Error, what: &str) -> Problem {
    let span = error
        .place
        .as_ref()
        .map_or(tree.span, |place| tree.span_of(place));
    Problem::at(
        ProblemKind::NotAccepted,
        span,
        format!("{what} can’t be read: {error}"),
        "in here",
    )
}

impl Plan {
    /// Whether it is a plan in SI, in which sizes of the trade are round in millimetres.
    pub fn is_in_si(&self) -> bool {
        let project = self.project.value();
        project.and_then(|project| project.units.value()) == Some(&Units::Si)
    }

    /// The place of a basin by its id.
    pub fn basin_place(id: &str) -> Place {
        Place::root().child("basins").child(id)
    }

    /// What follows from the members that were read.
    fn follow_from(&mut self, tree: &Node) {
        self.no_pumps = self.pumps.is_empty() && tree.get("pumps").is_some();
        self.adjacency = adjacency::Adjacency::of(&self.falls, &self.drains, &self.lines, &self.pumps);
    }

    /// The typed plan of a tree that the schema accepts.
    ///
    /// # Errors
    /// A tree that the schema would have refused.
    pub fn from_tree(tree: &Node) -> Result<Self, Problem> {
        let mut plan: Self = read(tree).map_err(|error| unreadable(tree, &error, "the plan"))?;
        plan.follow_from(tree);
        Ok(plan)
    }
}
