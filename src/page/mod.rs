//! The page: a plan typed, drawn, tried and reviewed by people who don't write JSON.
//!
//! One more report: [`Desk::turn`] takes a document and an edit, and gives the document after it and the page as HTML.
//! It has no clock and touches nothing outside, so that a server and a browser alone can both run it.

mod act;
mod assess;
mod closer;
mod document;
mod drawing;
mod edit;
mod findings;
mod form;
mod mark;
mod new_rows;
mod paper;
mod pen;
mod shell;
mod start;
mod top;
mod turn;
mod typed;
mod unfold;
mod write;

pub use assess::{Assessed, Desk, Misfit, Reviewed};
pub use document::Document;
pub use edit::Edit;
pub use paper::{Paper, PaperForm, PaperName};
pub use shell::{SCRIPT, STYLE, shell};
pub use start::EXAMPLES;
pub use turn::{Region, Turn};
