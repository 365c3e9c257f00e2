//! Reviews, figures, rule cards and problems as text for a terminal.

mod cards;
mod cases;
mod figures;
mod paint;
mod problems;
mod review;
mod snippet;

pub use cards::{Listed, Tried, card, list, tried};
pub use cases::cases;
pub use figures::figures;
pub use paint::{Paint, Tone};
pub use problems::problems;
pub use review::review;
