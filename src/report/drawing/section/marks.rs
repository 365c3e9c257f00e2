//! Numbered marks: each finding at the part of the drawing it speaks of.

use super::{
    super::{
        WIDTH,
        scene::{Bounds, Fill, Item, Mark, Point, Scene, Stroke, Tone},
        text::width,
    },
    SectionDrawing,
};
use crate::{
    read::Place,
    review::{Finding, Review},
    rules::Severity,
};

/// Type size of a number, pt.
const NUMBER: f64 = 7.4;
/// Side of the shape before a number, pt.
const SHAPE: f64 = 7.4;
/// Room kept free round a mark, pt.
const GAP: f64 = 0.8;
/// What is kept clear about the point that a mark points at, pt.
const AIM: f64 = 6.0;
/// Radius of the dot at the point that a mark points at, pt.
const DOT: f64 = 0.9;
/// Most rows of marks that found no room near their place, in one section.
const ROWS: usize = 14;

/// The findings that are still to be marked.
pub(super) struct Marks {
    open: Vec<Open>,
    /// Findings whose place is drawn, for which there was no room.
    crowded_out: Vec<String>,
}

/// A finding to mark.
pub(in super::super) struct Open {
    finding: usize,
    number: String,
    severity: Severity,
    places: [Place; 2],
}

impl Marks {
    pub fn of(review: &Review) -> Self {
        let open = review.findings.iter().enumerate();
        Self {
            open: open.map(|(index, finding)| Open::of(index, finding)).collect(),
            crowded_out: Vec::new(),
        }
    }

    /// What to say of findings that have no place in the sections.
    pub fn left_over(&self) -> Option<String> {
        let numbers: Vec<&str> = self.open.iter().map(|open| open.number.as_str()).collect();
        let mut said = Vec::new();
        if !numbers.is_empty() {
            said.push(format!("Not in the section: {}.", numbers.join(", ")));
        }
        if !self.crowded_out.is_empty() {
            said.push(format!(
                "Not marked for lack of room: {}.",
                self.crowded_out.join(", ")
            ));
        }
        (!said.is_empty()).then(|| said.join(" "))
    }
}

impl Open {
    pub fn of(index: usize, finding: &Finding) -> Self {
        Self {
            finding: index,
            number: finding.number.clone(),
            severity: finding.severity,
            places: [finding.place.clone(), finding.object.clone()],
        }
    }
}

impl SectionDrawing<'_> {
    /// Marks every open finding whose place is drawn here.
    pub(super) fn place_marks(&mut self, marks: &mut Marks) {
        let (mut here, mut rest) = (Vec::new(), Vec::new());
        for open in marks.open.drain(..) {
            match self.anchor_of(&open) {
                Some(anchor) => here.push((open, anchor)),
                None => rest.push(open),
            }
        }
        marks.open = rest;
        // A mark stands beside what it points at, and on nothing that another points at.
        for (_, [x, y]) in &here {
            self.taken
                .claim(Bounds::at([x - AIM / 2.0, y - AIM / 2.0], [AIM, AIM]));
        }
        let (mut set, mut crowded) = (Vec::new(), Vec::new());
        for (open, anchor) in here {
            match self.room_for(&open, anchor) {
                Some(bounds) => set.push((open, anchor, bounds)),
                None => crowded.push(open),
            }
        }
        // Leaders first, so that none crosses a mark.
        for (_, anchor, bounds) in &set {
            point_at(&mut self.scene, *anchor, bounds);
        }
        for (open, _, bounds) in set {
            self.depth = self.depth.max(bounds.bottom);
            self.scene.items.push(Item::Mark(mark(open, &bounds)));
        }
        let left = self.mark_rows(crowded);
        marks.crowded_out.extend(left.into_iter().map(|open| open.number));
    }

    /// The innermost anchor that holds the place of a finding, else its object.
    fn anchor_of(&self, open: &Open) -> Option<Point> {
        open.places.iter().find_map(|place| {
            let holding = self.anchors.iter().filter(|(anchor, _)| anchor.holds(place));
            holding
                .max_by_key(|(anchor, _)| anchor.as_str().len())
                .map(|(_, point)| *point)
        })
    }

    /// The room of a mark as near to its anchor as there is some, which is taken then.
    fn room_for(&mut self, open: &Open, anchor: Point) -> Option<Bounds> {
        let size = size_of(&open.number);
        let frame = self.frame();
        let apart = [size[0] + 2.0 * GAP, size[1] + 2.0 * GAP];
        let words = self.words();
        // No leader strikes out a word.
        let clear = |bounds: &Bounds| {
            let leader = leader(anchor, &bounds.wider(-GAP));
            !words.iter().any(|word| word.crossed_by(&leader))
        };
        let found = self.taken.nearest_where(anchor, apart, &frame, clear)?;
        Some(found.wider(-GAP))
    }

    /// Marks that found no room near their place, in rows below the drawing; gives back what is too much for them.
    fn mark_rows(&mut self, crowded: Vec<Open>) -> Vec<Open> {
        if crowded.is_empty() {
            return crowded;
        }
        let mut rest = Vec::new();
        let mut row = 1;
        let (mut x, mut y) = (super::LEFT, self.depth + 4.0);
        for open in crowded {
            let size = size_of(&open.number);
            if x + size[0] > WIDTH {
                (x, y) = (super::LEFT, y + size[1] + 2.0);
                row += 1;
            }
            if row > ROWS {
                rest.push(open);
                continue;
            }
            let bounds = Bounds::at([x, y], size);
            self.taken.claim(bounds);
            self.depth = self.depth.max(bounds.bottom);
            self.scene.items.push(Item::Mark(mark(open, &bounds)));
            x += size[0] + 2.0;
        }
        rest
    }

    /// Everything drawn ends above what follows.
    pub(super) fn settle(&mut self) {
        let lowest = self.scene.items.iter().filter_map(|item| match item {
            Item::Path { points, .. } => points.iter().map(|point| point[1]).reduce(f64::max),
            Item::Disc { at, radius, .. } => Some(at[1] + radius),
            Item::Text(_) | Item::Mark(_) => None,
        });
        self.depth = lowest.fold(self.depth, f64::max) + 1.0;
    }
}

/// From what a mark points at to the shape in its box.
fn leader(anchor: Point, bounds: &Bounds) -> [Point; 2] {
    let middle = f64::midpoint(bounds.top, bounds.bottom);
    [anchor, [bounds.left + SHAPE / 2.0 + 1.0, middle]]
}

/// Draws the leader of a mark in a box, with a dot at what it points at.
pub(in super::super) fn point_at(scene: &mut Scene, anchor: Point, bounds: &Bounds) {
    let thin = Stroke::solid(0.35, Tone::Ink);
    scene.line(&leader(anchor, bounds), thin);
    scene.items.push(Item::Disc {
        at: anchor,
        radius: DOT,
        stroke: thin,
        fill: Some(Fill::Ink),
    });
}

/// The mark of a finding in its box.
pub(in super::super) fn mark(open: Open, bounds: &Bounds) -> Mark {
    Mark {
        at: [bounds.left, bounds.top],
        size: [bounds.right - bounds.left, bounds.bottom - bounds.top],
        severity: open.severity,
        number: open.number,
        finding: open.finding,
    }
}

/// The room a mark takes.
pub(in super::super) fn size_of(number: &str) -> Point {
    [SHAPE + 4.8 + width(number, NUMBER, true), 10.6]
}
