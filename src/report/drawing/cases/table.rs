//! The cases of every basin as a table.

use serde::Serialize;

use crate::{
    ledger::Ledger,
    plan::{Basin, Given, Plan},
    quantity::{Kind, UnitSystem, show_computed, show_level_in},
    report::drawing::{
        cases::{Case, EDGE_SETTLED, Panel, cases, charted, level_in},
        levels::in_flow_order,
        name_of,
        scale::unit_of_levels,
    },
};

/// Basins side by side in one table, as many as the width of the page has room for.
const BASINS: usize = 5;

/// Some basins in every case: levels and freeboards as text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CaseTable {
    /// The basins' names.
    pub basins: Vec<String>,
    /// The cases in which one of them has a level or a freeboard.
    pub rows: Vec<CaseRow>,
}

/// A case over the basins of its table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CaseRow {
    /// The case.
    pub case: &'static str,
    /// One cell for each basin.
    pub cells: Vec<CaseCell>,
}

/// A basin in a case.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CaseCell {
    /// The level, where it is known.
    pub level: Option<String>,
    /// What is left to the rim, where it is known.
    pub freeboard: Option<String>,
}

impl CaseCell {
    fn is_known(&self) -> bool {
        self.level.is_some() || self.freeboard.is_some()
    }
}

/// The cases of every basin of which any is known, in tables.
pub(in super::super) fn tables(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<CaseTable> {
    let unit = unit_of_levels(charted(plan, ledger).iter().flat_map(Panel::judged), units);
    let cell = |basin: &Given<Basin>, (name, figure, freeboard): Case| {
        let left = freeboard.and_then(|figure| ledger.quantity(&basin.place, figure));
        let at = level_in(basin, ledger, name, figure).filter(|_| name != EDGE_SETTLED || left.is_some());
        CaseCell {
            level: at.map(|at| show_level_in(at, unit)),
            freeboard: left.map(|left| show_computed(left, Kind::Length, units)),
        }
    };
    let order = in_flow_order(plan).into_iter();
    let basins: Vec<(&str, &Given<Basin>)> = order
        .filter_map(|id| Some((id, plan.basins.get(id)?)))
        .filter(|(_, basin)| cases().iter().any(|case| cell(basin, *case).is_known()))
        .collect();
    let table = |basins: &[(&str, &Given<Basin>)]| CaseTable {
        basins: basins
            .iter()
            .map(|(id, basin)| name_of(id, &basin.name).to_owned())
            .collect(),
        rows: cases()
            .iter()
            .map(|case| CaseRow {
                case: case.0,
                cells: basins.iter().map(|(_, basin)| cell(basin, *case)).collect(),
            })
            .filter(|row| row.cells.iter().any(CaseCell::is_known))
            .collect(),
    };
    let sheets = basins.len().div_ceil(BASINS).max(1);
    let abreast = basins.len().div_ceil(sheets).max(1);
    basins.chunks(abreast).map(table).collect()
}
