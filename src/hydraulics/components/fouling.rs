//! Clean and fouled: what slime and mud do to pipes and fittings.

use super::bed::Stone;
use crate::{
    formulas::pipe,
    ledger::{Input, Notes},
    plan::{Fouling, Given, Measure, Plan},
    quantity::Kind,
};

/// Factor on the loss coefficients of fittings, valves and mouths.
const K_FACTOR: f64 = 1.5;
/// Roughness of a slimed pipe wall, m.
const ROUGHNESS: f64 = 0.15e-3;

/// The condition a circuit is in.
#[derive(Debug)]
pub(crate) enum Condition {
    /// As built.
    Clean,
    /// Slimed.
    Fouled {
        /// Factor on every K.
        k_factor: f64,
        /// Roughness of the walls where it is more than the clean one, m.
        roughness: f64,
        /// What it rests on.
        inputs: Vec<Input>,
    },
}

impl Condition {
    /// The fouled condition, as the plan gives it or by assumption.
    pub fn fouled(plan: &Plan) -> Self {
        let fouling = plan.upkeep.value().and_then(|upkeep| upkeep.fouling.given());
        let mut sheet = Notes::default();
        let (k_factor, roughness) = (k_factor(&mut sheet, fouling), roughness(&mut sheet, fouling));
        Self::Fouled {
            k_factor,
            roughness,
            inputs: sheet.into_inputs(),
        }
    }

    /// A run of pipe in this condition.
    pub fn of_run(&self, run: pipe::Run) -> pipe::Run {
        match self {
            Self::Clean => run,
            Self::Fouled {
                k_factor, roughness, ..
            } => pipe::Run {
                roughness: run.roughness.max(*roughness),
                minor_k: run.minor_k * k_factor,
                laminar_k: run.laminar_k * k_factor,
                ..run
            },
        }
    }

    /// The stone of a bed in this condition.
    pub fn of_stone(&self, stone: &Stone) -> pipe::Run {
        match self {
            Self::Clean => stone.clean,
            Self::Fouled { .. } => stone.fouled,
        }
    }

    /// What it rests on.
    pub fn inputs(&self) -> &[Input] {
        match self {
            Self::Clean => &[],
            Self::Fouled { inputs, .. } => inputs,
        }
    }
}

fn k_factor(sheet: &mut Notes, fouling: Option<&Given<Fouling>>) -> f64 {
    match fouling.and_then(|fouling| fouling.loss_factor.given()) {
        Some(given) => {
            sheet.note_place("c_K", &given.place);
            given.value
        }
        None => sheet.assumed(
            "c_K",
            K_FACTOR,
            Kind::Ratio,
            "fouled fittings, valves and mouths lose 1.5 times as much as clean ones (common practice)",
        ),
    }
}

fn roughness(sheet: &mut Notes, fouling: Option<&Given<Fouling>>) -> f64 {
    match fouling.and_then(|fouling| fouling.roughness.given()) {
        Some(given) => {
            sheet.note_given("ε_fouled", given);
            given.value.si()
        }
        None => sheet.assumed(
            "ε_fouled",
            ROUGHNESS,
            Kind::Length,
            "fouled pipe has a slimed wall of 0.006 in (0.15 mm) roughness (common practice)",
        ),
    }
}
