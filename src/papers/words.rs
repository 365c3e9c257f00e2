//! Names and small words that papers share.

use std::cmp::Ordering;

use crate::{
    plan::{Plan, Shown, Work, name_of},
    quantity::{FOOT, INCH, Kind, Unit, UnitSystem, feet_inches, natural_unit, show_computed},
};

/// What an object is called: its name, else its id.
pub(super) fn basin_name<'a>(plan: &'a Plan, id: &'a str) -> &'a str {
    plan.basins.get(id).map_or(id, |basin| name_of(id, &basin.name))
}

/// Whether the supply is disinfected; none where the plan does not show it.
pub(super) fn is_disinfected(plan: &Plan) -> Option<bool> {
    match &plan.water.value()?.disinfectant {
        Shown::Is(_) => Some(true),
        Shown::None(_) => Some(false),
        Shown::NotShown => None,
    }
}

/// Whether fish meet the new water as it joins: in new work none are there yet.
pub(super) fn fish_meet_new_water(plan: &Plan) -> bool {
    let work = plan.project.value().and_then(|project| project.work.value());
    work != Some(&Work::New) && holds_fish(plan)
}

/// Whether any basin holds fish.
pub(super) fn holds_fish(plan: &Plan) -> bool {
    plan.basins
        .values()
        .any(|basin| matches!(basin.fish, Shown::Is(_)))
}

/// A length as a crew reads it: to 1/8 in or 1 mm.
pub(super) fn site_length(si: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => feet_inches(si),
        UnitSystem::Si => show_computed((si * 1000.0).round() / 1000.0, Kind::Length, units),
    }
}

/// A level as a crew reads it, with its sign: in inches to 1/8 in within 10 ft of the benchmark, in feet and inches beyond,
/// in metres to 1 mm.
pub(super) fn site_level(si: f64, units: UnitSystem) -> String {
    let step = match units {
        UnitSystem::Us => INCH / 8.0,
        UnitSystem::Si => 0.001,
    };
    let steps = (si / step).round();
    let size = match units {
        UnitSystem::Us if si.abs() < 10.0 * FOOT => inches(steps.abs() as u32),
        UnitSystem::Us => feet_inches(steps.abs() * step),
        UnitSystem::Si => format!("{:.3} m", steps.abs() * step),
    };
    match steps.total_cmp(&0.0) {
        _ if steps == 0.0 => size,
        Ordering::Less => format!("\u{2212}{size}"),
        Ordering::Greater | Ordering::Equal => format!("+{size}"),
    }
}

/// Eighths of an inch as inches: `12-3/8 in`.
fn inches(eighths: u32) -> String {
    let (whole, rest) = (eighths / 8, eighths % 8);
    let fraction = match rest {
        0 => return format!("{whole} in"),
        4 => "1/2".to_owned(),
        2 | 6 => format!("{}/4", rest / 2),
        _ => format!("{rest}/8"),
    };
    if whole == 0 {
        format!("{fraction} in")
    } else {
        format!("{whole}-{fraction} in")
    }
}

/// Feet or metres.
pub(super) fn long_unit(units: UnitSystem) -> &'static Unit {
    // Ten metres are feet in one system and metres in the other.
    natural_unit(10.0, Kind::Length, units)
}

#[cfg(test)]
mod tests {
    use super::site_level;
    use crate::quantity::{INCH, UnitSystem};

    #[test]
    fn a_level_is_printed_in_the_steps_of_the_site() {
        let us = |inches: f64| site_level(inches * INCH, UnitSystem::Us);
        assert_eq!(us(-12.38), "\u{2212}12-3/8 in");
        assert_eq!(us(18.61), "+18-5/8 in");
        assert_eq!(us(0.5), "+1/2 in");
        assert_eq!(us(-0.05), "0 in");
        assert_eq!(us(-126.26), "\u{2212}10 ft 6-1/4 in");
        assert_eq!(site_level(-0.8793, UnitSystem::Si), "\u{2212}0.879 m");
        assert_eq!(site_level(0.0, UnitSystem::Si), "0.000 m");
    }
}
