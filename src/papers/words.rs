//! Names and small words that papers share.

use crate::{
    plan::{Plan, name_of},
    quantity::{Kind, Unit, UnitSystem, feet_inches, natural_unit, show_computed},
};

/// What an object is called: its name, else its id.
pub(super) fn basin_name<'a>(plan: &'a Plan, id: &'a str) -> &'a str {
    plan.basins.get(id).map_or(id, |basin| name_of(id, &basin.name))
}

/// A length as a crew reads it: to 1/8 in or 1 mm.
pub(super) fn site_length(si: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => feet_inches(si),
        UnitSystem::Si => show_computed((si * 1000.0).round() / 1000.0, Kind::Length, units),
    }
}

/// Feet or metres.
pub(super) fn long_unit(units: UnitSystem) -> &'static Unit {
    // Ten metres are feet in one system and metres in the other.
    natural_unit(10.0, Kind::Length, units)
}
