//! Rules: cards read once, then judged over the plan and its figures: one outcome per rule and object.

mod bound;
mod card;
mod judge;
mod library;
mod subject;

pub use bound::{Bound, Limit, Side};
pub use card::{Card, Example, Expect, Severity, Source, Test, Trust};
pub use judge::{Judged, Outcome, Shortfall, Standing, judge};
pub use library::{Library, RULE_SCHEMA};
pub use subject::{Fact, Subject, fact};
