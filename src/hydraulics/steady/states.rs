//! What a plan's circuits come to in steady running, by place in the plan.

use std::sync::Arc;

use indexmap::IndexMap;

use crate::{
    formulas::{gravity_pipe::Control, weir},
    ledger::{Gap, Input},
    read::Place,
};

/// What runs where, by place in the plan.
#[derive(Debug, Default)]
pub(crate) struct System {
    pub pumps: IndexMap<Place, Result<PumpState, Gap>>,
    /// Pumps that can't run on their curve, and why.
    pub off_curve: IndexMap<Place, OffCurve>,
    /// Pumps with their lines fouled.
    pub fouled: IndexMap<Place, Result<Fouled, Gap>>,
    pub runs: IndexMap<Place, Result<RunState, Gap>>,
    pub falls: IndexMap<Place, Result<FallState, Gap>>,
    pub drains: IndexMap<Place, Result<DrainState, Gap>>,
    pub basins: IndexMap<Place, Result<BasinState, Gap>>,
    /// What basins lose while running.
    pub spills: IndexMap<Place, Spill>,
}

/// What a basin loses for good while running.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Spill {
    /// m³/s.
    pub over_rim: f64,
    /// m³/s.
    pub by_overflow: f64,
}

/// Why a pump can't run on its curve.
#[derive(Clone, Debug)]
pub(crate) struct OffCurve {
    pub because: String,
    /// The value of the plan that is to blame; else it is the curve.
    pub at: Option<Place>,
}

/// A pump with its lines fouled.
#[derive(Clone, Debug)]
pub(crate) struct Fouled {
    /// m³/s, all pumps alike together.
    pub flow: f64,
    pub inputs: Vec<Input>,
}

/// A pump at its operating point.
#[derive(Clone, Debug)]
pub(crate) struct PumpState {
    /// m³/s, all pumps alike together.
    pub flow: f64,
    /// m.
    pub head: f64,
    /// Those of its whole circuit.
    pub inputs: Arc<[Input]>,
}

/// A run of pipe.
#[derive(Clone, Debug)]
pub(crate) struct RunState {
    /// m³/s.
    pub flow: f64,
    /// m/s.
    pub velocity: f64,
    pub reynolds: f64,
    /// m, friction and fittings.
    pub head_loss: f64,
    pub inputs: Vec<Input>,
}

/// A fall.
#[derive(Clone, Debug)]
pub(crate) struct FallState {
    /// m³/s.
    pub flow: f64,
    /// Water above the crest upstream, m.
    pub head: f64,
    /// Head downstream over head upstream; zero where the water below stands under the crest.
    pub submergence: f64,
    pub crest: weir::Crest,
    pub inputs: Vec<Input>,
}

/// A gravity line.
#[derive(Clone, Debug)]
pub(crate) struct DrainState {
    /// m³/s; below zero where water runs back.
    pub flow: f64,
    /// m/s.
    pub velocity: f64,
    pub control: Control,
    pub inputs: Vec<Input>,
}

/// A basin.
#[derive(Clone, Debug)]
pub(crate) struct BasinState {
    /// Flow that comes in while running, m³/s.
    pub inflow: f64,
    /// Level while running, m.
    pub running: f64,
    /// Water in flight that comes from this basin, m³; zero for basins that spill.
    pub in_flight: f64,
    /// Whether make-up comes in while running, where that is known.
    pub make_up: Result<(), Gap>,
    pub inputs: Vec<Input>,
}

impl RunState {
    /// The inputs of one symbol.
    pub fn of(&self, symbol: &str) -> &[Input] {
        of(&self.inputs, symbol)
    }
}

impl DrainState {
    /// The inputs of one symbol.
    pub fn of(&self, symbol: &str) -> &[Input] {
        of(&self.inputs, symbol)
    }
}

fn of<'a>(inputs: &'a [Input], symbol: &str) -> &'a [Input] {
    let at = inputs.iter().position(|input| input.symbol == symbol);
    at.map_or(&[], |at| &inputs[at..=at])
}
