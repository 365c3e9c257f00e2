//! The machine form of a review, as `schema/review.schema.json` describes it.

use crate::review::Review;

/// The review as JSON, ending in a line feed.
///
/// # Errors
/// A review that JSON can't hold; none is known.
pub fn render(review: &Review) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(review).map(|text| text + "\n")
}
