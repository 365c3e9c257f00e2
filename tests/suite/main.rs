//! One integration binary: every whole-tool test, and every check against the outside.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod bad_input;
mod cards;
mod circuits;
mod cli;
mod examples;
mod facts;
mod invariance;
mod program;
mod references;
mod repo;
#[cfg(feature = "pdf")]
mod report;
mod schema;
