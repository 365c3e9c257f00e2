//! Names and small words that papers share.

use crate::{
    plan::{Plan, name_of},
    quantity::{INCH, Kind, Unit, UnitSystem, feet_inches, natural_unit, show_computed, show_level},
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

/// A level as a crew reads it: to 1/8 in within 10 ft of the benchmark, or to 1 mm in metres.
pub(super) fn site_level(si: f64, units: UnitSystem) -> String {
    let step = match units {
        UnitSystem::Us => INCH / 8.0,
        UnitSystem::Si => 0.001,
    };
    let level = (si / step).round() * step;
    match units {
        UnitSystem::Us => show_level(level, units),
        UnitSystem::Si if level < 0.0 => format!("\u{2212}{:.3} m", -level),
        UnitSystem::Si if level > 0.0 => format!("+{level:.3} m"),
        UnitSystem::Si => "0.000 m".to_owned(),
    }
}

/// Feet or metres.
pub(super) fn long_unit(units: UnitSystem) -> &'static Unit {
    // Ten metres are feet in one system and metres in the other.
    natural_unit(10.0, Kind::Length, units)
}
