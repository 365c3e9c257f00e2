//! bywash reads the structured plan of a recirculating water feature, computes what the water will do,
//! and reviews the plan against trade rules and published standards.
//!
//! Data flows one way through the stages, each a module with a small door:
//!
//! | stage | from | to |
//! | --- | --- | --- |
//! | [`read`] | bytes | a tree in which every node knows its place in the text |
//! | [`check`] | the tree and the plan's schema | the tree, or problems with places |
//! | [`plan`] | the tree | the typed plan, SI inside |
//! | [`figures`] | the plan | the ledger of computed figures |
//! | [`rules`] | cards, plan, ledger | one outcome per rule and object |
//! | [`review`] | outcomes and acceptances | findings, questions, coverage, recommended action |
//! | [`backcheck`] | the review, the review before it | the review with numbers kept, and what became of each finding |
//! | [`papers`] | plan, ledger, review; what was measured | field papers, an as-built patch |
//! | [`answers`] | the review | the form for the designer; the form filled in, to a merge patch over the plan |
//! | [`lessons`] | the library, a sound plan | the rule book, spot-the-fault sheets |
//! | [`report`] | the review, the lessons | terminal, JSON or PDF |
//! | `page` (feature `page-html`) | a document and an edit | the document after it, and the page as HTML |
//!
//! [`engine`] runs the stages one after another over the embedded schema and rules. [`quantity`] holds the one quantity type; [`text`] makes foreign text safe to show; [`formulas`] the pure functions of the science, SI in and SI out.

pub mod answers;
pub mod backcheck;
pub mod check;
#[cfg(feature = "cli")]
pub mod cli;
pub mod engine;
pub mod figures;
pub mod formulas;
pub mod hydraulics;
pub mod ledger;
pub mod lessons;
#[cfg(feature = "page-html")]
pub mod page;
pub mod papers;
pub mod plan;
pub mod quantity;
pub mod read;
pub mod report;
pub mod review;
pub mod rules;
pub mod text;
