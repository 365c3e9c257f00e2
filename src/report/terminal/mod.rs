//! Reviews, figures, rule cards and problems as text for a terminal.

mod answered;
mod backcheck;
mod batch;
mod brief;
mod cards;
mod cases;
mod field_paper;
mod figures;
mod in_depth;
mod paint;
mod problems;
mod review;
mod selected;
mod snippet;

pub use answered::answered;
pub use backcheck::backcheck;
pub use batch::{BatchRow, batch};
pub use brief::{brief, list_of, named};
pub use cards::{Listed, Tried, card, list, tried};
pub use cases::cases;
pub use field_paper::field_paper;
pub use figures::{figure_list, figures};
pub use in_depth::in_depth;
pub use paint::{Paint, Tone};
pub use problems::problems;
pub use review::{finding, question, review};
pub use selected::Selected;
