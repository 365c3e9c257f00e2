//! Rules: cards read once, then judged over the plan and its figures: one outcome per rule and object.

mod bound;
mod card;
mod house;
mod judge;
mod library;
mod subject;

pub use bound::{Bound, Limit, Side};
pub use card::{
    Adjustment, Card, Direction, Effort, Example, Expect, Lever, Setting, Severity, Source, Test, Trust,
};
pub use house::{Effect, HouseRule};
pub use judge::{Judged, RuleOutcome, Shortfall, Standing, judge};
pub use library::{HOUSE_SCHEMA, Library, PlaceRules, RULE_SCHEMA, retired};
pub use subject::{Fact, Subject, fact};
