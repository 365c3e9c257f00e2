//! Which findings and questions of a review are shown.

use crate::review::{Finding, Question, Review};

/// The findings and questions to show, in the order of the review.
#[derive(Clone, Debug)]
pub struct Selected<'a> {
    /// The findings.
    pub findings: Vec<&'a Finding>,
    /// The questions.
    pub questions: Vec<&'a Question>,
    /// Whether that is all there are.
    pub whole: bool,
}

impl<'a> Selected<'a> {
    /// All of a review.
    pub fn all(review: &'a Review) -> Self {
        Self {
            findings: review.findings.iter().collect(),
            questions: review.questions.iter().collect(),
            whole: true,
        }
    }
}
