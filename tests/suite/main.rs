//! One integration binary: every whole-tool test, and every check against the outside.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod backcheck;
mod bad_input;
mod cards;
mod cases;
mod changed;
mod circuits;
mod cli;
mod closing;
mod closing_search;
mod code_reader;
mod controls;
mod cures;
mod examples;
mod facts;
mod follows;
mod foreign_text;
mod formulas;
mod house;
mod incremental;
mod invariance;
mod lessons;
mod limits;
mod machine_forms;
mod metamorphic;
#[cfg(unix)]
mod outputs;
#[cfg(feature = "page-html")]
mod page;
mod papers;
mod places;
mod planted_faults;
mod problem_codes;
mod program;
mod questions;
mod references;
mod repo;
#[cfg(feature = "pdf")]
mod report;
mod schema;
mod screen;
mod sound_kinds;
mod tariff;
mod unevaluated;
mod words;
mod worked;
