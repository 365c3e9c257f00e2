//! A drawing as plain geometry: lines, areas, texts and marks in points, y downward from the top left corner.

use serde::Serialize;

use super::text::{LINE_HEIGHT, width};
use crate::rules::Severity;

/// A point, pt.
pub type Point = [f64; 2];

/// A drawing, with what it shows in words.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Scene {
    /// Width, pt.
    pub width: f64,
    /// Height, pt.
    pub height: f64,
    /// What it shows in a line, for its title.
    pub title: String,
    /// What it shows, for who can't see it.
    pub alt: String,
    /// What a reader must know to read it: scale, what is schematic, what is left out.
    pub notes: Vec<String>,
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
    /// A circle.
    Disc {
        /// Its centre.
        at: Point,
        /// Its radius, pt.
        radius: f64,
        /// Its line.
        stroke: Stroke,
        /// What fills it.
        fill: Option<Fill>,
    },
    /// A text on one line.
    Text(Text),
    /// A numbered mark that leads to a finding.
    Mark(Mark),
}

/// A text on one line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Text {
    /// Where its anchor stands, at mid-height of the line.
    pub at: Point,
    /// Which end stands there.
    pub anchor: Anchor,
    /// Type size, pt.
    pub size: f64,
    /// The text.
    pub text: String,
    /// Whether it is set bold.
    pub strong: bool,
}

/// A numbered mark: a shape that tells the severity, then the number.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Mark {
    /// Its top left corner.
    pub at: Point,
    /// Width and height, pt.
    pub size: Point,
    /// The severity: square, triangle or circle.
    pub severity: Severity,
    /// The finding's number.
    pub number: String,
    /// Which finding of the review it leads to, from 0.
    pub finding: usize,
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
    /// Lines to read along.
    Faint,
    /// Water and what carries it.
    Accent,
}

/// What fills an area.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fill {
    /// Water: a pale tint.
    Water,
    /// Void modules: a grid.
    Modules,
    /// Round stone: rings.
    Stone,
    /// Gravel: fine dots.
    Gravel,
    /// Soil or fabric: slanted lines.
    Soil,
    /// The ground outside: short slanted lines.
    Ground,
    /// Main colour throughout.
    Ink,
    /// Water colour throughout.
    Accent,
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

/// A box, pt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Left.
    pub left: f64,
    /// Top.
    pub top: f64,
    /// Right.
    pub right: f64,
    /// Bottom.
    pub bottom: f64,
}

impl Stroke {
    /// An unbroken line.
    pub const fn solid(weight: f64, tone: Tone) -> Self {
        Self::new(weight, tone, Pattern::Solid)
    }

    /// A line of any pattern.
    pub const fn new(weight: f64, tone: Tone, pattern: Pattern) -> Self {
        Self {
            weight,
            pattern,
            tone,
        }
    }

    /// The same line, dashed unless it is certain.
    #[must_use]
    pub const fn dashed_unless(self, certain: bool) -> Self {
        if certain {
            self
        } else {
            Self::new(self.weight, self.tone, Pattern::Dashed)
        }
    }
}

impl Text {
    /// A text of usual weight.
    pub fn new(at: Point, anchor: Anchor, size: f64, text: impl Into<String>) -> Self {
        Self {
            at,
            anchor,
            size,
            text: text.into(),
            strong: false,
        }
    }

    /// The same text in bold.
    #[must_use]
    pub fn strong(mut self) -> Self {
        self.strong = true;
        self
    }

    /// The box it takes at most.
    pub fn bounds(&self) -> Bounds {
        let long = width(&self.text, self.size, self.strong);
        let high = self.size * LINE_HEIGHT;
        let start = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -long / 2.0,
            Anchor::End => -long,
        };
        let [x, y] = self.at;
        Bounds {
            left: x + start,
            top: y - high / 2.0,
            right: x + start + long,
            bottom: y + high / 2.0,
        }
    }
}

impl Mark {
    /// The box it takes.
    pub fn bounds(&self) -> Bounds {
        Bounds::at(self.at, self.size)
    }
}

impl Bounds {
    /// The box with this top left corner and size.
    pub fn at(corner: Point, size: Point) -> Self {
        Self {
            left: corner[0],
            top: corner[1],
            right: corner[0] + size[0],
            bottom: corner[1] + size[1],
        }
    }

    /// Whether two boxes share more than an edge.
    pub fn meets(&self, other: &Self) -> bool {
        const HAIR: f64 = 1e-6;
        self.left + HAIR < other.right
            && other.left + HAIR < self.right
            && self.top + HAIR < other.bottom
            && other.top + HAIR < self.bottom
    }

    /// Whether a straight line passes through the box.
    pub fn crossed_by(&self, [from, to]: &[Point; 2]) -> bool {
        const HAIR: f64 = 1e-6;
        let sides = [
            (from[0], to[0], self.left + HAIR, self.right - HAIR),
            (from[1], to[1], self.top + HAIR, self.bottom - HAIR),
        ];
        // The share of the line that lies between each pair of sides.
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (from, to, low, high) in sides {
            let run = to - from;
            if run.abs() < HAIR {
                if from <= low || from >= high {
                    return false;
                }
                continue;
            }
            let (one, other) = ((low - from) / run, (high - from) / run);
            enters = enters.max(one.min(other));
            leaves = leaves.min(one.max(other));
        }
        enters < leaves
    }

    /// The box with room about it.
    #[must_use]
    pub fn wider(&self, by: f64) -> Self {
        Self {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// The point of the box nearest to another.
    pub fn nearest_to(&self, [x, y]: Point) -> Point {
        [x.min(self.right).max(self.left), y.min(self.bottom).max(self.top)]
    }

    /// Whether a box lies inside this one.
    pub fn holds(&self, inner: &Self) -> bool {
        const HAIR: f64 = 1e-6;
        self.left <= inner.left + HAIR
            && self.top <= inner.top + HAIR
            && inner.right <= self.right + HAIR
            && inner.bottom <= self.bottom + HAIR
    }
}

impl Scene {
    /// What a sentence tells as well as a drawing: nothing is drawn.
    pub(super) fn sentence(title: &str, sentence: String) -> Self {
        Self {
            title: title.to_owned(),
            alt: sentence.clone(),
            notes: vec![sentence],
            ..Self::default()
        }
    }

    /// Draws a line.
    pub fn line(&mut self, points: &[Point], stroke: Stroke) {
        self.items.push(Item::Path {
            points: points.to_vec(),
            closed: false,
            stroke: Some(stroke),
            fill: None,
        });
    }

    /// Draws an area.
    pub fn area(&mut self, points: &[Point], fill: Fill, stroke: Option<Stroke>) {
        self.items.push(Item::Path {
            points: points.to_vec(),
            closed: true,
            stroke,
            fill: Some(fill),
        });
    }

    /// Its texts, in the order they were set.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text),
            _ => None,
        })
    }

    /// A word that a line runs through.
    pub fn struck_out(&self) -> Option<&Text> {
        let lines = |item: &Item| match item {
            Item::Path {
                points,
                closed: false,
                ..
            } => points.windows(2).map(|pair| [pair[0], pair[1]]).collect(),
            _ => Vec::new(),
        };
        let lines: Vec<[Point; 2]> = self.items.iter().flat_map(lines).collect();
        self.texts().find(|text| {
            let bounds = text.bounds();
            lines.iter().any(|line| bounds.crossed_by(line))
        })
    }

    /// The boxes of all texts and marks: what must not overlap.
    pub fn boxes(&self) -> Vec<Bounds> {
        let boxes = self.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text.bounds()),
            Item::Mark(mark) => Some(mark.bounds()),
            Item::Path { .. } | Item::Disc { .. } => None,
        });
        boxes.collect()
    }
}
