//! Why a basin can't be held in a table.

/// Why a basin's table can't be built.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StorageError {
    /// Fewer than two contours.
    #[error("at least two contours are needed")]
    TooFewContours,
    /// Levels that fall.
    #[error("contour levels must rise; {above} m follows {below} m")]
    LevelsFall {
        /// The earlier level, m.
        below: f64,
        /// The level after it, m.
        above: f64,
    },
    /// A dimension that is negative, not a number, or zero where something is needed.
    #[error("{what} must be a positive number; it is {value}")]
    NotPositive {
        /// Which dimension.
        what: &'static str,
        /// What was found.
        value: f64,
    },
    /// Sides and shelves meet above the floor.
    #[error("sides and shelves take {taken} m of a {given} m wide basin")]
    SidesMeet {
        /// Width given at the top, m.
        given: f64,
        /// Width lost to both sides, m.
        taken: f64,
    },
    /// A layer without thickness, or two layers at one level.
    #[error("the layer from {bottom} m to {top} m has no thickness or overlaps another")]
    LayersOverlap {
        /// Bottom of the layer, m.
        bottom: f64,
        /// Top of the layer, m.
        top: f64,
    },
    /// A porosity outside 0 to 1, or no voids at all.
    #[error("porosity must lie above 0 and not above 1; it is {0}")]
    Porosity(f64),
    /// The inner part of a layer is larger than the basin there.
    #[error("{inner} m² within the layer is more than the basin’s {plan} m² at its bottom")]
    InnerTooLarge {
        /// Area of the inner part, m².
        inner: f64,
        /// Smallest plan area of the basin within the layer, m².
        plan: f64,
    },
}
