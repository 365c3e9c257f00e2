//! Field papers: a reviewed plan to the sheets that a crew carries, and what the crew measured back to a plan.
//!
//! Every paper is a [`FieldPaper`]: sheets of tables, notes, boxes to tick and blanks to fill, which a report lays out.

mod as_built;
mod built_patch;
mod day;
mod document;
mod drift;
mod grades;
mod grid;
#[cfg(feature = "cells")]
mod grid_text;
#[cfg(feature = "cells")]
mod grid_workbook;
mod imprint;
mod level_changes;
mod marks;
mod rod;
mod runbook;
mod takeoff;
mod words;

pub use as_built::{AsBuilt, AsBuiltOptions, Shot, Shots, as_built, read_shots};
pub use day::{DaySheet, SeasonLoss, day_sheet};
pub use document::{Block, Cell, Column, FieldPaper, FieldSheet, Part, Row, SheetTable};
pub use drift::{MarkDrift, MarkDrifts, Side};
pub use grades::{GradeOptions, GradeSheet, grade_sheet};
pub use grid::{Grid, GridProblem, GridRow};
pub use imprint::{PlanImprint, fingerprint, sheet_code};
pub use marks::{Crew, Mark, Target, marks};
pub use rod::{BELOW_FOOT, Rod, SetUp, SetUps, Sight, TWO_SIGHTS, two_sights};
pub use runbook::runbook;
pub use takeoff::{
    Layout, Load, Piece, Price, Strips, Takeoff, TakeoffOptions, nest, read_prices, read_yard, strips,
    takeoff,
};
