//! Drawings of a reviewed plan, as plain geometry in points: the section of the water system and the pump curves.
//! Every text and mark is placed here, so that a report only has to set them down.

mod bed;
mod board;
mod cases;
mod chart;
mod day_chart;
mod field;
mod ladder;
mod level_chart;
mod levels;
mod outline;
mod page;
mod placing;
mod plan_view;
mod roll_layout;
mod scale;
mod scene;
mod section;
mod site_plan;
mod text;
mod velocity;

use serde::Serialize;

pub(crate) use crate::plan::name_of;
pub use cases::{CaseCell, CaseRow, CaseTable};
pub use field::{NamedScenes, day_drawings, grade_drawings, takeoff_drawings};
pub use page::WIDTH;
pub use scene::{Anchor, Bounds, Fill, Item, Mark, Pattern, Point, Scene, Stroke, Text, Tone};
pub use section::{LiveBasin, LiveSection};

use crate::{ledger::Ledger, plan::Plan, quantity::UnitSystem, review::Review};

/// The drawings of a review.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drawings {
    /// Sections through the basins in the order water flows, a few basins to each.
    pub sections: Vec<Scene>,
    /// Each basin filled with layers, enlarged.
    pub beds: Vec<Scene>,
    /// The controls of the basins that pumps draw from, by their levels, some to a sheet.
    pub ladders: Vec<Scene>,
    /// The site plan, where the plan says where basins lie.
    pub site_plan: Vec<Scene>,
    /// The level of each basin in each case, as bars; some basins to a sheet.
    pub cases: Vec<Scene>,
    /// The same as a table.
    pub case_tables: Vec<CaseTable>,
    /// The levels of the worst case and the worst combination in time.
    pub courses: Vec<Scene>,
    /// Velocity in the runs of pipe, some to a sheet.
    pub velocities: Vec<Scene>,
    /// Each pump whose curve is shown, with what the system asks of it.
    pub curves: Vec<Scene>,
}

/// The drawings that follow a plan while it is changed: its sections and its basins in plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LiveDrawings {
    /// Sections through the basins in the order water flows.
    pub sections: Vec<LiveSection>,
    /// The basins in plan whose shape is shown.
    pub sketches: Vec<Scene>,
}

/// Draws what follows a plan while it is changed.
pub fn live(plan: &Plan, ledger: &Ledger, review: &Review) -> LiveDrawings {
    let units = review.subject.units;
    LiveDrawings {
        sections: section::live_sections(plan, ledger, review, (units, None)),
        sketches: plan_view::sketches(plan, ledger, units),
    }
}

/// Each pump whose curve is shown, with what the system asks of it.
pub fn pump_curves(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<Scene> {
    chart::curves(plan, ledger, units)
}

/// Draws a plan with the findings of its review.
pub fn drawings(plan: &Plan, ledger: &Ledger, review: &Review) -> Drawings {
    let units = review.subject.units;
    Drawings {
        sections: section::sections(plan, ledger, review, (units, None)),
        beds: bed::beds(plan, ledger, review, units),
        ladders: ladder::sheets(plan, ledger, review, units),
        site_plan: site_plan::site_plan(plan, ledger, units),
        cases: cases::charts(plan, ledger, units),
        case_tables: cases::tables(plan, ledger, units),
        courses: level_chart::courses(plan, ledger, review, units),
        velocities: velocity::charts(plan, ledger, review, units),
        curves: chart::curves(plan, ledger, units),
    }
}

impl Drawings {
    /// Every drawing, in the order they are printed.
    pub fn scenes(&self) -> impl Iterator<Item = &Scene> {
        self.sections
            .iter()
            .chain(&self.beds)
            .chain(&self.site_plan)
            .chain(&self.ladders)
            .chain(&self.curves)
            .chain(&self.velocities)
            .chain(&self.cases)
            .chain(&self.courses)
    }
}
