//! Reading: bytes to source text and a tree in which every node knows its span; merge patches over such trees.

mod files;
mod parse;
mod patch;
#[cfg(feature = "cli")]
mod pdf;
mod place;
mod problem;
mod problem_kind;
mod scan;
mod source;
mod tree;
mod window;

pub use files::{MAX_BYTES, ReadError, files_in, read_bytes, read_file};
#[cfg(feature = "page-html")]
pub(crate) use parse::STRICT;
pub use parse::{parse, parse_part};
pub use patch::{Patched, Removed, assignment, merge, put, setting, takes_away, written_assignment};
#[cfg(feature = "cli")]
pub use pdf::{NotPdf, PdfFile, is_pdf};
pub use place::Place;
#[cfg(feature = "cli")]
pub(crate) use problem::nearest_few;
pub use problem::{MOST_TOLD, Problem, in_order};
pub(crate) use problem::{and_more, nearest};
pub use problem_kind::ProblemKind;
pub use scan::{MAX_DEPTH, MAX_VALUES};
#[cfg(all(feature = "cli", feature = "pdf"))]
pub(crate) use source::hex;
pub use source::{SourceId, Sources, Span};
pub use tree::{Member, Node, Value};
