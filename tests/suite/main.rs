//! One integration binary: every whole-tool test, and every check against the outside.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod cards;
mod examples;
mod facts;
mod references;
#[cfg(feature = "pdf")]
mod report;
