//! The components of a plant as the formulas need them, each with the values it rests on: storage of basins, pumps,
//! pipes with their losses, crests, overflows, channels and the stone of beds.

pub(crate) mod bed;
pub(crate) mod channel;
pub(crate) mod crest;
pub(crate) mod fouling;
pub(crate) mod gravity_line;
pub(crate) mod losses;
pub(crate) mod overflow;
pub(crate) mod piece;
pub(crate) mod pipe;
pub(crate) mod pump_curve;
pub(crate) mod storage;
pub(crate) mod water;
