//! A drawing as plain geometry: lines, areas, texts and marks in points, y downward from the top left corner.

use serde::Serialize;

use crate::rules::Severity;

/// A point, pt.
pub type Point = [f64; 2];

/// A drawing, with what it shows in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Scene {
    /// Width, pt.
    pub width: f64,
    /// Height, pt.
    pub height: f64,
    /// What it shows, for who can't see it.
    pub alt: String,
    /// What it is made of, drawn in this order.
    pub items: Vec<Item>,
}

/// One piece of a drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Item {
    /// A line through points; closed and filled where it is an area.
    Path {
        /// Corners.
        points: Vec<Point>,
        /// Whether the last joins the first.
        closed: bool,
        /// Its line; none for a bare area.
        stroke: Option<Stroke>,
        /// What fills it.
        fill: Option<Fill>,
    },
    /// A text on one line.
    Text {
        /// Where its anchor stands, at mid-height of the line.
        at: Point,
        /// Which end stands there.
        anchor: Anchor,
        /// Type size, pt.
        size: f64,
        /// The text.
        text: String,
        /// Whether it is set bold.
        strong: bool,
        /// Whether it is turned to read upward.
        upright: bool,
    },
    /// A numbered mark that leads to a finding; its shape tells the severity.
    Mark {
        /// Its centre.
        at: Point,
        /// Half its size, pt.
        radius: f64,
        /// The severity: square, triangle or circle.
        severity: Severity,
        /// The finding's number.
        number: String,
    },
}

/// A line's look.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stroke {
    /// Thickness, pt.
    pub weight: f64,
    /// Its pattern.
    pub pattern: Pattern,
    /// Its colour.
    pub tone: Tone,
}

/// A line's pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pattern {
    /// Unbroken.
    Solid,
    /// Dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// Dashes and dots.
    DashDotted,
}

/// A colour by its meaning; all tell apart in grey.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tone {
    /// Main lines.
    Ink,
    /// Side lines.
    Soft,
    /// Water.
    Water,
    /// What to look at.
    Accent,
}

/// What fills an area.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fill {
    /// Water.
    Water,
    /// Void modules: a grid.
    Modules,
    /// Large stone: wide hatching of rings.
    Stone,
    /// Gravel: fine dots.
    Gravel,
    /// Soil or fabric: slanted lines.
    Soil,
    /// The ground outside: sparse slanted lines.
    Ground,
    /// Paper, to keep what lies below from showing through.
    Paper,
}

/// Which end of a text stands at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}
