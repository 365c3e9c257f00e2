//! Checks against the outside: reference vectors, published worked examples, handbook tables.

mod bed;
mod channel;
mod drain;
mod electrical;
mod filling;
mod fittings;
mod levels;
mod living_water;
mod network;
mod pipe;
mod pump;
mod pumping;
mod returns;
mod storage;
mod table;
mod units;
mod uplift;
mod walls;
mod water;
mod weir;
mod whole_plans;
