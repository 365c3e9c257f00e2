//! What a change of a plan's text is made from.

use crate::{check::SchemaBook, quantity::UnitSystem, read::Node};

/// A plan's text and tree, and what is needed to change it.
pub struct Pen<'a> {
    /// The schema.
    pub book: &'a SchemaBook,
    /// The text.
    pub text: &'a str,
    /// Its tree.
    pub tree: &'a Node,
    /// Units that what is dragged is written in.
    pub units: UnitSystem,
}
