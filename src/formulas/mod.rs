//! Pure functions of the science: SI in, SI out, each with its symbols, units, range of validity and source.

pub mod bed;
pub mod channel;
pub mod channel_lining;
pub mod conductor;
pub mod drain;
pub mod filling;
pub mod fittings;
pub mod gravity_pipe;
pub mod lining;
pub mod nappe;
pub mod network;
pub mod pipe;
pub mod pipe_table;
pub mod pump;
pub mod riprap;
pub mod routing;
pub mod settling;
pub mod siphon;
pub mod storage;
pub mod stream;
pub mod uplift;
pub mod walls;
pub mod water;
pub mod water_hammer;
pub mod water_quality;
pub mod weir;
