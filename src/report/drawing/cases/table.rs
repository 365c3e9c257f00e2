//! The cases of every basin as a table.

use serde::Serialize;

use super::{
    super::{name_of, scale::unit_of_levels},
    CASES, EDGE_SETTLED, Panel, charted, level_in,
};
use crate::{
    figures::Ledger,
    plan::Plan,
    quantity::{Kind, UnitSystem, show_computed, show_level_in},
};

/// A basin in a case, as text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CaseLine {
    /// The basin's name.
    pub basin: String,
    /// Whether it is the first of its basin.
    pub first: bool,
    /// The case.
    pub case: String,
    /// The level, where it is known.
    pub level: Option<String>,
    /// What is left to the rim, where it is known.
    pub freeboard: Option<String>,
}

/// The cases of every basin as a table.
pub(in super::super) fn lines(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<CaseLine> {
    let mut lines = Vec::new();
    let unit = unit_of_levels(charted(plan, ledger).iter().flat_map(Panel::judged), units);
    for (id, basin) in &plan.basins {
        let mut first = true;
        for (name, figure, freeboard) in CASES {
            let figure = figure.or((name == EDGE_SETTLED).then_some("running-level"));
            let left = freeboard.and_then(|figure| ledger.quantity(&basin.place, figure));
            let at = level_in(basin, ledger, name, figure).filter(|_| name != EDGE_SETTLED || left.is_some());
            if at.is_some() || left.is_some() {
                lines.push(CaseLine {
                    basin: name_of(id, &basin.name).to_owned(),
                    first: std::mem::take(&mut first),
                    case: name.to_owned(),
                    level: at.map(|at| show_level_in(at, unit)),
                    freeboard: left.map(|left| show_computed(left, Kind::Length, units)),
                });
            }
        }
    }
    lines
}
