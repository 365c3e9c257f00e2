//! The schemas of the pages.

use crate::{
    check::Schema,
    read::{Problem, ProblemKind},
};

/// The text of the schema that a card's data keeps to.
pub const RULE_SCHEMA: &str = include_str!("../../../schema/rule.schema.json");

/// The text of the schema that a house's change of a rule keeps to.
pub const HOUSE_SCHEMA: &str = include_str!("../../../schema/house.schema.json");

pub(super) fn schema_of(text: &str) -> Result<Schema, Vec<Problem>> {
    Schema::new(text).map_err(|error| {
        vec![Problem {
            kind: ProblemKind::RulePage,
            message: format!("the schema of rules is broken: {error}"),
            at: None,
            also: Box::default(),
            help: None,
        }]
    })
}
