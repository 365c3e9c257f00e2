//! Reading: bytes to source text and a tree in which every node knows its span; merge patches over such trees.

mod place;
mod problem;
mod source;
mod tree;

pub use place::Place;
pub use problem::Problem;
pub use source::{SourceId, Sources, Span};
pub use tree::{Member, Node, Value};
