//! Checks against the outside: reference vectors, published worked examples, handbook tables.

mod bed;
mod channel;
mod conductor;
mod filling;
mod fittings;
mod network;
mod pipe;
mod pump;
mod pumping;
mod returns;
mod routing;
mod siphon;
mod storage;
mod table;
mod units;
mod uplift;
mod walls;
mod water;
mod water_quality;
mod weir;
mod whole_plans;
