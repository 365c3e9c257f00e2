//! Drawings of a reviewed plan, as plain geometry.

pub mod scene;
