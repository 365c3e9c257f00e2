//! The drawings of papers for the site, each paper with its own.

use std::collections::BTreeMap;

use super::{Scene, day_chart::day_chart, roll_layout::roll_layouts, section};
use crate::{
    papers::{DaySheet, SetUps, Takeoff},
    quantity::UnitSystem,
    review::{Review, ReviewContext},
};

/// Drawings by the name under which the sheets of a paper call for them.
pub type NamedScenes = BTreeMap<&'static str, Vec<Scene>>;

/// Of a grade sheet: sections whose labels give the rod readings of an instrument's set-ups, without marks of findings.
pub fn grade_drawings(context: &ReviewContext<'_>, review: &Review, set_ups: &SetUps) -> NamedScenes {
    let silent = Review {
        findings: Vec::new(),
        questions: Vec::new(),
        ..review.clone()
    };
    let labels = (context.units, Some(set_ups));
    let sections = section::sections(context.plan, context.ledger, &silent, labels);
    NamedScenes::from([("section", sections)])
}

/// Of a materials list: strips and sheets on the roll.
pub fn takeoff_drawings(list: &Takeoff, units: UnitSystem) -> NamedScenes {
    NamedScenes::from([("layouts", roll_layouts(&list.layouts, units))])
}

/// Of a day sheet: the water lost, season by season.
pub fn day_drawings(day: &DaySheet, units: UnitSystem) -> NamedScenes {
    NamedScenes::from([("day", day_chart(&day.losses, units))])
}
