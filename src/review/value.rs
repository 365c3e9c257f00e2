//! A value as it is printed.

use serde::Serialize;

/// A value as it is printed and as it was computed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Value {
    /// As printed, with its unit.
    pub text: String,
    /// In SI, where it is a quantity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub si: Option<f64>,
}
