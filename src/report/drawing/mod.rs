//! Drawings of a reviewed plan, as plain geometry in points: the section of the water system and the pump curves.
//! Every text and mark is placed here, so that a report only has to set them down.

mod chart;
mod levels;
mod placing;
mod scale;
mod scene;
mod section;
mod text;

use serde::Serialize;

pub use scene::{Anchor, Bounds, Fill, Item, Mark, Pattern, Point, Scene, Stroke, Text, Tone};

use crate::{figures::Ledger, plan::Plan, quantity::UnitSystem, review::Review};

/// Width of every drawing, pt: what is left of Letter and A4 paper between usual margins.
pub const WIDTH: f64 = 500.0;

/// The drawings of a review.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drawings {
    /// Sections through the basins in the order water flows, a few basins to each.
    pub sections: Vec<Scene>,
    /// Each pump whose curve is shown, with what the system asks of it.
    pub curves: Vec<Scene>,
}

/// Draws a plan with the findings of its review.
pub fn drawings(plan: &Plan, ledger: &Ledger, review: &Review) -> Drawings {
    let units = if review.subject.units == "SI" {
        UnitSystem::Si
    } else {
        UnitSystem::Us
    };
    Drawings {
        sections: section::sections(plan, ledger, review, units),
        curves: chart::curves(plan, ledger, units),
    }
}

/// What an object is called on the drawings: its name, else its id.
fn name_of<'a>(id: &'a str, name: &'a crate::plan::Shown<String>) -> &'a str {
    name.value().map_or(id, String::as_str)
}
