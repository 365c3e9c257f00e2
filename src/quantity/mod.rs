//! The one quantity type: a value in SI with its kind; units are converted here at the door and at the exit.

mod kind;

pub use kind::Kind;
