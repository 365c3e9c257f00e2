//! The drawings on the page: scenes as SVG, levels that can be dragged, water that moves through a case.

mod grips;
mod panel;
mod svg;
mod water;

pub use panel::{Panel, frame};
pub use svg::{Layer, patterns, svg};
pub use water::moment;
