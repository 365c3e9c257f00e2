//! The water itself: temperature and viscosity.

use super::piece::Piece;
use crate::{
    formulas::water,
    ledger::Notes,
    plan::{Measure, Plan},
    quantity::Kind,
};

/// Temperature of the water, K: half way between coldest and warmest, else 60 °F.
pub(crate) fn temperature(plan: &Plan) -> Piece<f64> {
    let mut sheet = Notes::default();
    let water = plan.water.value();
    let coldest = water.and_then(|water| water.coldest.given());
    let warmest = water.and_then(|water| water.warmest.given());
    for (symbol, given) in [("T_coldest", coldest), ("T_warmest", warmest)] {
        if let Some(given) = given {
            sheet.note_given(symbol, given);
        }
    }
    let item = match (coldest.map(|given| given.si()), warmest.map(|given| given.si())) {
        (Some(cold), Some(warm)) => f64::midpoint(cold, warm),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => {
            let why = "water at 60 °F (15.6 °C) where no temperature is shown";
            sheet.assumed("T", SIXTY_FAHRENHEIT, Kind::Temperature, why)
        }
    };
    Piece {
        item,
        inputs: sheet.into_inputs(),
    }
}

/// K.
const SIXTY_FAHRENHEIT: f64 = (60.0 + 459.67) / 1.8;

/// Kinematic viscosity of the water, m²/s.
pub(crate) fn viscosity(plan: &Plan) -> Piece<f64> {
    let temperature = temperature(plan);
    Piece {
        item: water::kinematic_viscosity(temperature.item),
        inputs: temperature.inputs,
    }
}
