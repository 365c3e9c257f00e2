//! Small figures, mostly yes or no, over what the plan says, where a rule asks for more than one value at once.

mod basins;
mod circuits;
mod edges;
mod electrical;
mod fish;
mod ground;
mod holding;
mod intakes;
mod lamps;
mod lining;
mod outlets;
pub(super) mod parts;
mod planting;
mod precautions;
pub(super) mod pumps;
mod site;
mod supply;

use crate::{
    ledger::{Definition, Ledger},
    plan::Plan,
};

pub(super) static DEFINITIONS: &[&[&Definition]] = &[
    site::DEFINITIONS,
    supply::DEFINITIONS,
    basins::DEFINITIONS,
    edges::DEFINITIONS,
    outlets::DEFINITIONS,
    lining::DEFINITIONS,
    lamps::DEFINITIONS,
    fish::DEFINITIONS,
    ground::DEFINITIONS,
    intakes::DEFINITIONS,
    pumps::DEFINITIONS,
    electrical::DEFINITIONS,
    planting::DEFINITIONS,
    circuits::DEFINITIONS,
    holding::DEFINITIONS,
    precautions::DEFINITIONS,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    site::enter(ledger, plan);
    supply::enter(ledger, plan);
    basins::enter(ledger, plan);
    edges::enter(ledger, plan);
    lining::enter(ledger, plan);
    lamps::enter(ledger, plan);
    fish::enter(ledger, plan);
    ground::enter(ledger, plan);
    intakes::enter(ledger, plan);
    pumps::enter(ledger, plan);
    electrical::enter(ledger, plan);
    planting::enter(ledger, plan);
    circuits::enter(ledger, plan);
    holding::enter(ledger, plan);
    precautions::enter(ledger, plan);
}
