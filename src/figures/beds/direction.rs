//! Which way the water passes a bed, and the area that it crosses.

use crate::{
    ledger::{Gap, Worksheet},
    plan::{Basin, FlowDirection, Given},
    quantity::Kind,
};

/// Which way the water passes a bed: upward unless the plan says otherwise.
pub(super) fn direction(basin: &Basin) -> FlowDirection {
    basin
        .flow_direction
        .value()
        .copied()
        .unwrap_or(FlowDirection::Upward)
}

/// A gap where the water does not rise through the bed.
pub(super) fn rises(basin: &Basin) -> Result<(), Gap> {
    if direction(basin) == FlowDirection::Upward {
        return Ok(());
    }
    Err(Gap::DoesNotApply(
        "the water does not rise through its stone".to_owned(),
    ))
}

/// Area across a bed that the water crosses from end to end, m²: width times depth of water.
pub(super) fn across(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<f64, Gap> {
    let at = &basin.place;
    let shape = basin
        .shape
        .given()
        .ok_or_else(|| Gap::NotShown(vec![at.child("shape")]))?;
    let width = sheet.given("W", &shape.width, &shape.place, "width")?;
    let still = sheet.given("z_still", &basin.still, at, "still")?;
    let depth = still - sheet.given("z_floor", &basin.floor, at, "floor")?;
    Ok(sheet.worked("A", width * depth, Kind::Area))
}
