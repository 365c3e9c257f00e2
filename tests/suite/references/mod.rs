//! Checks against the outside: reference vectors, published worked examples, handbook tables.

mod bed;
mod channel;
mod levels;
mod network;
mod pipe;
mod pump;
mod pumping;
mod returns;
mod storage;
mod table;
mod units;
mod uplift;
mod water;
mod weir;
