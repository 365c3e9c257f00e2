//! What a materials list is made with: widths of rolls, laps, lengths of stock, prices; units that goods are sold by.

use super::{prices::Price, yard::Load};
use crate::quantity::{FOOT, INCH, UnitSystem};

/// What a materials list is made with.
#[derive(Clone, Debug)]
pub struct TakeoffOptions {
    /// Width of the rolls that fabric comes on, m.
    pub fabric_roll: f64,
    /// Lap of strips of fabric, m.
    pub lap: f64,
    /// Width of the rolls that membranes are cut from, m; none where they come as sheets.
    pub liner_roll: Option<f64>,
    /// Length that pipe is sold in, m.
    pub pipe_stock: f64,
    /// The loads of a yard, where they are weighed against the layers.
    pub yard: Option<Vec<Load>>,
    /// A firm's prices.
    pub prices: Vec<Price>,
}

impl TakeoffOptions {
    /// Widths and lengths usual where these units are: rolls 12 ft 6 in or 2 m wide, lapped 12 in (300 mm), pipe of 20 ft or
    /// 5 m (common practice).
    pub fn usual(units: UnitSystem) -> Self {
        let (fabric_roll, lap, pipe_stock) = match units {
            UnitSystem::Us => (12.5 * FOOT, 12.0 * INCH, 20.0 * FOOT),
            UnitSystem::Si => (2.0, 0.3, 5.0),
        };
        Self {
            fabric_roll,
            lap,
            liner_roll: None,
            pipe_stock,
            yard: None,
            prices: Vec::new(),
        }
    }
}
