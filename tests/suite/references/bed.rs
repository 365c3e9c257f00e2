//! (being laid out)
