//! What all drawings have in common: their width, and the names of objects.

use crate::plan::Shown;

/// Width of every drawing, pt: what is left of Letter and A4 paper between usual margins.
pub const WIDTH: f64 = 500.0;

/// What an object is called on the drawings: its name, else its id.
pub(crate) fn name_of<'a>(id: &'a str, name: &'a Shown<String>) -> &'a str {
    name.value().map_or(id, String::as_str)
}
