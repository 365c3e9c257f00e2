//! Lessons for new hires: the rule book, and sheets with planted faults to find.

mod chapters;
mod drill;
mod examples;
mod handbook;
mod level;
mod plan_table;
mod seeded;

pub use chapters::Term;
pub use drill::{Drill, DrillError, DrillSheet, PlantedFault, plant};
pub use examples::{Change, Worked};
pub use handbook::{Chapter, Handbook, Lesson, Reference, RuleBook, handbook};
pub use level::DrillLevel;
pub use plan_table::Part;
