//! Photographs and drawing sheets that belong to a plan.

use serde::Deserialize;

use super::shown::Shown;

/// A picture or a drawing sheet that the plan refers to.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Attachment {
    /// File: A PNG or JPEG picture, or a PDF, beside the plan or in a folder below it, such as "photos/rim.jpg".
    pub file: Shown<String>,
    /// Caption: What it shows, in a line.
    pub caption: Shown<String>,
    /// Place: What of the plan it shows, as a pointer such as "/basins/pond".
    pub shows: Shown<String>,
}
