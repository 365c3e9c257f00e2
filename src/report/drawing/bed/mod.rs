//! A bed or stone-filled reservoir enlarged: levels and, where its shape is shown, its width to scale.

mod layers;
mod parts;

use crate::{
    ledger::Ledger,
    plan::{Basin, Given, Measure, Plan},
    quantity::{Kind, Unit, UnitSystem, show, show_computed, show_level_in},
    report::drawing::{
        WIDTH,
        board::{Board, LABEL},
        levels::{BasinLevels, level},
        name_of,
        outline::Outline,
        placing::spread,
        scale::{Scale, scale, unit_of_levels},
        scene::{Anchor, Bounds, Fill, Item, Pattern, Point, Scene, Stroke, Text, Tone},
        section::{Open, crests, mark, mark_size, point_at},
    },
    review::{Finding, Review},
};

/// Where the section stands: middle across, top, most width and height, pt.
const MIDDLE: f64 = 222.0;
const TOP: f64 = 34.0;
const WIDEST: f64 = 253.0;
const TALLEST: f64 = 230.0;
/// Columns of labels: right edge of the left one, left edge of the right one, pt.
const LEVELS: f64 = 74.0;
const LAYERS: f64 = 368.0;
/// What is kept clear about the point that a mark points at, pt.
const AIM: f64 = 6.0;

/// A bed being drawn.
struct BedDrawing<'a> {
    board: Board,
    units: UnitSystem,
    /// The unit of all levels.
    unit: &'static Unit,
    basin: &'a Given<Basin>,
    levels: BasinLevels,
    outline: Option<Outline>,
    scale: Scale,
    /// Half the width at the rim, pt.
    half: f64,
    /// Levels named on the left.
    names: Vec<(String, f64)>,
    /// Layers named on the right.
    named: Vec<layers::NamedLayer>,
    /// Whether a layer is narrower than the bed.
    narrow: bool,
    /// Where findings are marked: by place, innermost last.
    anchors: Vec<(crate::read::Place, Point)>,
}

/// A section of every basin that is filled with layers.
pub(super) fn beds(plan: &Plan, ledger: &Ledger, review: &Review, units: UnitSystem) -> Vec<Scene> {
    let filled = plan.basins.iter().filter(|(_, basin)| !basin.layers.is_empty());
    filled
        .map(|(id, basin)| {
            let mut sheet = BedDrawing::new(plan, ledger, id, basin, units);
            sheet.draw(plan, ledger);
            sheet.marks(review);
            sheet.describe(name_of(id, &basin.name), ledger);
            sheet.board.scene
        })
        .collect()
}

impl<'a> BedDrawing<'a> {
    fn new(plan: &Plan, ledger: &Ledger, id: &str, basin: &'a Given<Basin>, units: UnitSystem) -> Self {
        let levels = BasinLevels::of(basin, ledger, &crests(plan, id));
        let outline = Outline::of(basin, &levels);
        let named = [levels.rim.level, levels.highest_water(), levels.floor.level];
        let unit = unit_of_levels(named.into_iter(), units);
        let high = (top(&levels) - levels.floor.level).max(1e-3);
        let across = outline.as_ref().map(|outline| outline.width);
        let need = high.max(across.unwrap_or(0.0) * TALLEST / WIDEST);
        let scale = scale(need, TALLEST, units);
        let half = across.map_or(WIDEST / 2.0, |across| across * scale.points_per_metre / 2.0);
        let height = TOP + high * scale.points_per_metre + 16.0;
        let title = format!("Section through the {}", name_of(id, &basin.name));
        Self {
            board: Board::new(WIDTH, height, title),
            units,
            unit,
            basin,
            levels,
            outline,
            scale,
            half,
            names: Vec::new(),
            named: Vec::new(),
            narrow: false,
            anchors: vec![(basin.place.clone(), [MIDDLE - half * 0.15, height - 22.0])],
        }
    }

    /// Where a level stands; what lies beyond the drawing, just past its edge.
    fn y(&self, level: f64) -> f64 {
        const PAST: f64 = 6.0;
        let most = self.down(self.levels.floor.level) + PAST;
        (TOP + self.down(level)).clamp(TOP - PAST, TOP + most)
    }

    /// How far a level lies below the highest one drawn, pt.
    fn down(&self, level: f64) -> f64 {
        (top(&self.levels) - level) * self.scale.points_per_metre
    }

    fn level_told(&self, level: f64) -> String {
        show_level_in(level, self.unit)
    }

    /// Half the inside at a level, pt.
    fn half_at(&self, level: f64) -> f64 {
        let below = (self.levels.rim.level - level).max(0.0);
        let inset = self
            .outline
            .as_ref()
            .map_or(0.0, |outline| outline.inset(below, outline.width));
        (self.half - inset * self.scale.points_per_metre).max(2.0)
    }

    /// The inside between two levels, over a share of its width.
    fn slab(&self, bottom: f64, top: f64, share: f64) -> Vec<Point> {
        let rim = self.levels.rim.level;
        let mut bends: Vec<f64> = vec![bottom];
        if let Some(outline) = &self.outline {
            let inner = outline.bends(rim - bottom).into_iter().map(|below| rim - below);
            bends.extend(inner.filter(|level| bottom < *level && *level < top));
        }
        bends.push(top);
        bends.sort_by(f64::total_cmp);
        let side = |turn: f64| {
            let points = bends.iter().map(move |&z| (turn, z));
            points
                .map(|(turn, z)| [MIDDLE + turn * self.half_at(z) * share, self.y(z)])
                .collect::<Vec<Point>>()
        };
        side(-1.0)
            .into_iter()
            .chain(side(1.0).into_iter().rev())
            .collect()
    }

    fn draw(&mut self, plan: &Plan, ledger: &Ledger) {
        let (floor, water) = (self.levels.floor.level, self.levels.water());
        if water > floor {
            let corners = self.slab(floor, water, 1.0);
            self.board.scene.area(&corners, Fill::Water, None);
        }
        self.layers();
        self.shell();
        self.open_surface(ledger);
        self.inlet();
        self.well();
        self.water_lines();
        for fall in plan.falls.values() {
            let from = fall.from.value().map(|from| Plan::basin_place(from));
            if let Some(crest) = level(&fall.crest).filter(|_| from.as_ref() == Some(&self.basin.place)) {
                self.names
                    .push((format!("crest {}", self.level_told(crest)), crest));
            }
        }
        self.level_names();
        self.layer_names();
    }

    fn water_lines(&mut self) {
        let levels = self.levels.clone();
        let mut across = |z: f64, stroke: Stroke, name: &str| {
            let (half, y) = (self.half_at(z), self.y(z));
            let line = [[MIDDLE - half, y], [MIDDLE + half, y]];
            self.board.scene.line(&line, stroke);
            self.board.claim_along(&line);
            self.names.push((format!("{name} {}", self.level_told(z)), z));
        };
        if let Some(running) = levels.running {
            across(
                running,
                Stroke::new(0.9, Tone::Accent, Pattern::Dashed),
                "running",
            );
        }
        if levels.still.shown {
            across(levels.still.level, Stroke::solid(0.9, Tone::Accent), "still");
        }
        for (name, drawn) in [("rim", levels.rim), ("floor", levels.floor)] {
            let words = if drawn.shown {
                format!("{name} {}", self.level_told(drawn.level))
            } else {
                format!("{name} ?")
            };
            self.names.push((words, drawn.level));
        }
    }

    /// The surface left free of edge stone, as a dimension over the water.
    fn open_surface(&mut self, ledger: &Ledger) {
        let Some(open) = self.basin.open_surface.given() else {
            return;
        };
        let share = ledger
            .quantity(&self.basin.place, "open-share")
            .filter(|share| *share > 0.0);
        let half = self.half_at(self.levels.water()) * share.unwrap_or(1.0).min(1.0);
        let y = self.y(top(&self.levels)) - 10.0;
        self.board.dimension([MIDDLE - half, y], [MIDDLE + half, y]);
        self.board
            .taken
            .claim(Bounds::at([MIDDLE - half, y - 2.0], [2.0 * half, 4.0]));
        let mut words = format!("open surface {}", show(open.si(), Kind::Area, self.units));
        if let Some(share) = share {
            words.push_str(&format!(
                ", {} of the whole",
                show_computed(share, Kind::Share, self.units)
            ));
        }
        self.board
            .put(Text::new([MIDDLE, y - 8.0], Anchor::Middle, LABEL, words));
        self.anchors.push((open.place.clone(), [MIDDLE, y]));
    }

    fn level_names(&mut self) {
        let names = std::mem::take(&mut self.names);
        let wanted: Vec<f64> = names.iter().map(|(_, level)| self.y(*level)).collect();
        let height = LABEL * 1.2 + 0.4;
        let placed = spread(&wanted, height, TOP - 26.0, self.board.scene.height);
        for (((words, z), wanted), middle) in names.iter().zip(wanted).zip(placed) {
            let wall = MIDDLE - self.half_at(*z);
            let leader = [[wall, wanted], [LEVELS + 10.0, wanted], [LEVELS + 3.0, middle]];
            self.board.scene.line(&leader, Stroke::solid(0.25, Tone::Soft));
            self.board
                .put_in([LEVELS, middle], Anchor::End, words, LEVELS - 2.0);
            self.board.scene.height = self.board.scene.height.max(middle + 8.0);
        }
    }

    fn frame(&self) -> Bounds {
        Bounds {
            left: LEVELS + 12.0,
            top: 0.0,
            right: LAYERS - 14.0,
            bottom: self.board.scene.height,
        }
    }

    /// Marks every finding about this basin, as far as there is room: beside what it points at, and on nothing that
    /// another points at.
    fn marks(&mut self, review: &Review) {
        let frame = self.frame();
        let aimed: Vec<(usize, &Finding, Point)> = review
            .findings
            .iter()
            .enumerate()
            .filter_map(|(index, finding)| Some((index, finding, self.anchor_of(finding)?)))
            .collect();
        for (.., [x, y]) in &aimed {
            let aim = Bounds::at([x - AIM / 2.0, y - AIM / 2.0], [AIM, AIM]);
            self.board.taken.claim(aim);
        }
        let (mut set, mut crowded) = (Vec::new(), Vec::new());
        for (index, finding, anchor) in aimed {
            let size = mark_size(&finding.number);
            let apart = [size[0] + 1.6, size[1] + 1.6];
            match self.board.taken.nearest(anchor, apart, &frame) {
                Some(found) => {
                    let bounds = Bounds::at([found.left + 0.8, found.top + 0.8], size);
                    set.push((Open::of(index, finding), anchor, bounds));
                }
                None => crowded.push(finding.number.as_str()),
            }
        }
        // Leaders first, so that none crosses a mark.
        for (_, anchor, bounds) in &set {
            point_at(&mut self.board.scene, *anchor, bounds);
        }
        let marks = set
            .into_iter()
            .map(|(open, _, bounds)| Item::Mark(mark(open, &bounds)));
        self.board.scene.items.extend(marks);
        if !crowded.is_empty() {
            let note = format!("Not marked for lack of room: {}.", crowded.join(", "));
            self.board.scene.notes.push(note);
        }
    }

    /// The innermost anchor that holds the place of a finding, else its object.
    fn anchor_of(&self, finding: &Finding) -> Option<Point> {
        [&finding.place, &finding.object].into_iter().find_map(|place| {
            let holding = self.anchors.iter().filter(|(anchor, _)| anchor.holds(place));
            holding
                .max_by_key(|(anchor, _)| anchor.as_str().len())
                .map(|(_, at)| *at)
        })
    }

    /// The caption: how it is drawn, and every line that has no name beside it.
    fn describe(&mut self, name: &str, ledger: &Ledger) {
        let layers = layers::said(&self.basin.layers, self.units);
        let sides = if self.outline.is_some() {
            format!(
                "Levels and width to scale, {}; cut across its width.",
                self.scale.words
            )
        } else {
            format!(
                "Levels to scale, {}; sideways schematic, as its shape is not shown.",
                self.scale.words
            )
        };
        let mut notes = vec![sides.clone()];
        let inlet = self.basin.inlet.given();
        match (inlet.is_some(), self.basin.clean_out_well.given().is_some()) {
            (true, true) => notes.push("Where inlet and well stand across it is not in the plan.".to_owned()),
            (true, false) => notes.push("Where the inlet stands across it is not in the plan.".to_owned()),
            (false, true) => notes.push("Where the well stands across it is not in the plan.".to_owned()),
            (false, false) => {}
        }
        if self.narrow {
            notes.push(
                "Beside a layer that is narrower than the bed, the layer above is taken to reach down."
                    .to_owned(),
            );
        }
        match self.basin.lining.given() {
            None => notes.push("Grey walls: no lining is shown.".to_owned()),
            Some(lining) if lining.underlay.given().is_some() => {
                notes.push("Dashed outside the lining: its underlay.".to_owned());
            }
            Some(_) => {}
        }
        if let Some(spread) = inlet.and_then(|inlet| inlet.distribution.value()) {
            notes.push(format!("Dash-dotted: what spreads the water, {spread}."));
        }
        if let Some(rate) = ledger.quantity(&self.basin.place, "upflow-rate") {
            let rate = show_computed(rate, Kind::UpflowRate, self.units);
            notes.push(format!("Water rises at {rate} through the open surface."));
        }
        self.board.scene.alt = format!("Section through the {name}, from the floor up: {layers}. {sides}");
        // Ahead of what was said while drawing.
        notes.append(&mut self.board.scene.notes);
        self.board.scene.notes = notes;
    }
}

/// The highest level drawn, m.
fn top(levels: &BasinLevels) -> f64 {
    levels
        .rim
        .level
        .max(levels.highest_water())
        .max(levels.filled)
        .max(levels.floor.level + 0.05)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{
        super::{drawings, scene::Mark},
        *,
    };
    use crate::engine::{Engine, ReviewOptions};

    const FAULTY: &str = include_str!("../../../../examples/courtyard-as-sent.jsonc");

    /// The marks of a section, each with its leader's far end and whether a dot stands there.
    fn marks(scene: &Scene) -> Vec<(&Mark, Point, bool)> {
        let dots: Vec<Point> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Disc { at, radius, .. } if *radius < 1.0 => Some(*at),
                _ => None,
            })
            .collect();
        let leaders: Vec<&Vec<Point>> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Path { points, .. } if points.len() == 2 => Some(points),
                _ => None,
            })
            .collect();
        let marks = scene.items.iter().filter_map(|item| match item {
            Item::Mark(mark) => Some(mark),
            _ => None,
        });
        marks
            .map(|mark| {
                let [left, top] = mark.at;
                let ends_here = |points: &&&Vec<Point>| {
                    let [x, y] = points[1];
                    (left..=left + mark.size[0]).contains(&x) && (top..=top + mark.size[1]).contains(&y)
                };
                let leader = leaders.iter().rev().find(ends_here).unwrap();
                (mark, leader[0], dots.contains(&leader[0]))
            })
            .collect()
    }

    #[test]
    fn marks_end_in_a_dot_and_those_of_the_edges_at_the_top_of_the_wall() {
        let (mut engine, cards) = Engine::new();
        cards.unwrap();
        let source = engine.sources.add("plan.jsonc", FAULTY);
        let opened = engine.open(source, Vec::new()).unwrap();
        let review = engine.review(&opened, ReviewOptions::default());
        let drawings = drawings(&opened.plan, &opened.ledger, &review);
        let marks = marks(&drawings.beds[0]);
        assert!(marks.len() > 5 && marks.iter().all(|(_, _, dotted)| *dotted));
        let edges: Vec<f64> = marks
            .iter()
            .filter(|(mark, ..)| {
                review.findings[mark.finding]
                    .place
                    .as_str()
                    .contains("lining/edges")
            })
            .map(|(_, [_, y], _)| *y)
            .collect();
        assert!(!edges.is_empty());
        let highest = marks.iter().map(|(_, [_, y], _)| *y).fold(f64::MAX, f64::min);
        let lowest = marks.iter().map(|(_, [_, y], _)| *y).fold(f64::MIN, f64::max);
        assert!(
            edges.iter().all(|y| *y - highest < 0.2 * (lowest - highest)),
            "{edges:?}"
        );
    }
}
