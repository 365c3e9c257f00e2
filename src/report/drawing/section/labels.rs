//! Labels of levels, in a column beside each basin.

use super::{
    super::{
        levels::Drawn,
        placing::spread_between,
        scene::{Anchor, Bounds, Point, Stroke, Text, Tone},
        text::{LINE_HEIGHT, fit, width},
    },
    COLUMN, SMALL, SectionDrawing,
};
use crate::{
    quantity::{Kind, show, show_level_in},
    read::Place,
    review::Question,
};

/// Room for a label, pt.
const ROOM: f64 = COLUMN - 4.0;

/// Labels beside one basin; a page has no room for more.
const MOST: usize = 44;

/// Height of a label with room about it, pt.
const LABEL_HEIGHT: f64 = SMALL * LINE_HEIGHT + 0.4;
/// Where the columns of labels begin, pt.
const COLUMN_TOP: f64 = super::HEAD - 6.0;
/// Where leaders bend, out from the wall, pt.
const KNEE: f64 = 6.0;

/// How far from its middle the leader of an intake ends, pt.
const INTAKE: f64 = 5.4;
/// Half the height that a leader takes, and how far it may begin on what stands at its ends, pt.
const HAIR: f64 = 0.2;
const CLEAR: f64 = 1.6;

/// A label of a level.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    /// What is at the level; several things where they are at the same.
    names: String,
    /// The level in words; what asks for it where the plan does not show it.
    value: String,
    /// The level it points at, m.
    level: f64,
    kind: LabelKind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LabelKind {
    /// A level of the plan or computed.
    Level,
    /// Not shown, drawn at a nominal level.
    Nominal,
    /// Not shown and not drawn.
    Absent,
    /// A height between two levels.
    Height,
}

impl Label {
    /// The label as it is set.
    pub fn text(&self) -> String {
        format!("{} {}", self.names, self.value)
    }

    const fn strong(&self) -> bool {
        matches!(self.kind, LabelKind::Height)
    }

    /// Takes in a label of the same level, as printed, where there is room for both; whether it did.
    fn takes(&mut self, other: &Self) -> bool {
        let both_levels = self.kind == LabelKind::Level && other.kind == LabelKind::Level;
        if self == other
            || (both_levels
                && self.value == other.value
                && self.names.split(", ").any(|name| name == other.names))
        {
            return true;
        }
        let names = format!("{}, {}", self.names, other.names);
        let fits = width(&format!("{names} {}", self.value), SMALL, false) <= ROOM;
        let both = both_levels && self.value == other.value && fits;
        if both {
            self.names = names;
        }
        both
    }
}

/// Adds a label to others, on the line of one of the same level where it can.
fn add(labels: &mut Vec<Label>, label: Label) {
    if !labels.iter_mut().any(|other| other.takes(&label)) && labels.len() < MOST {
        labels.push(label);
    }
}

impl SectionDrawing<'_> {
    /// The levels of a basin as labels; those that read alike share one.
    pub(super) fn levels_of(&self, index: usize) -> Vec<Label> {
        let levels = &self.basins[index].levels;
        let place = &self.basins[index].basin.place;
        let edge = |name: &str, drawn: Drawn| {
            if drawn.shown {
                self.computed_level(name, drawn.level)
            } else {
                self.asked(name, drawn.level, &place.child(name))
            }
        };
        let mut labels = vec![edge("rim", levels.rim), edge("still", levels.still)];
        for (name, level) in [("running", levels.running), ("power-off", levels.power_off)] {
            if let Some(level) = level {
                add(&mut labels, self.computed_level(name, level));
            }
        }
        add(&mut labels, edge("floor", levels.floor));
        let water = levels.highest_water();
        if levels.rim.shown && levels.still.shown && self.set_ups.is_none() {
            labels.push(Label {
                names: "freeboard".to_owned(),
                value: show(levels.rim.level - water, Kind::Length, self.units),
                level: f64::midpoint(levels.rim.level, water),
                kind: LabelKind::Height,
            });
        }
        labels
    }

    /// Adds a level to a basin's labels, once.
    pub(super) fn label(&mut self, index: usize, name: &str, level: f64) {
        let label = self.computed_level(name, level);
        add(&mut self.basins[index].labels, label);
    }

    /// A level as a label.
    fn computed_level(&self, name: &str, level: f64) -> Label {
        Label {
            names: name.to_owned(),
            value: self.value_of(level),
            level,
            kind: LabelKind::Level,
        }
    }

    /// A level as its label gives it: the reading of a rod where the drawing is of a set-up, else the level itself.
    fn value_of(&self, level: f64) -> String {
        let reading = self.set_ups.and_then(|set_ups| set_ups.label(level));
        reading.unwrap_or_else(|| show_level_in(level, self.level_unit))
    }

    /// What a reader must know of the labels.
    pub(super) fn labels_note(&self) -> &'static str {
        match self.set_ups.map(|set_ups| set_ups.all.len()) {
            None => "",
            Some(1) => {
                "The labels give rod readings; one with a sign is a level that the set-up does not read. "
            }
            Some(_) => {
                "The labels give rod readings, with the set-up in brackets where it is not the first; one with a sign is a \
                 level that no set-up reads. "
            }
        }
    }

    /// Adds a level, or what asks for it where the plan does not show it and it is drawn at a nominal one.
    pub(super) fn label_or_ask(
        &mut self,
        index: usize,
        name: &str,
        level: Option<f64>,
        (nominal, place): (f64, &Place),
    ) {
        match level {
            Some(level) => self.label(index, name, level),
            None => self.ask(index, name, nominal, place),
        }
    }

    /// Adds a label for what the plan does not show, once.
    fn ask(&mut self, index: usize, name: &str, level: f64, place: &Place) {
        let label = self.asked(name, level, place);
        add(&mut self.basins[index].labels, label);
    }

    /// Adds a label for what the plan does not show at all, so that nothing is drawn of it.
    pub(super) fn ask_absent(&mut self, index: usize, name: &str, level: f64, place: &Place) {
        let label = Label {
            kind: LabelKind::Absent,
            ..self.asked(name, level, place)
        };
        add(&mut self.basins[index].labels, label);
    }

    /// What is not shown as a label, with the number of the question that asks for it.
    fn asked(&self, name: &str, level: f64, place: &Place) -> Label {
        let question = self.question(place);
        Label {
            names: name.to_owned(),
            value: question.map_or("?".to_owned(), |number| format!("? {number}")),
            level,
            kind: LabelKind::Nominal,
        }
    }

    /// The number of the question that asks for a place or what it lies in.
    pub(super) fn question(&self, place: &Place) -> Option<&str> {
        let asks = |question: &&Question| question.places().any(|asked| asked.holds(place));
        self.questions
            .iter()
            .find(asks)
            .map(|question| question.number.as_str())
    }

    /// Where the columns of labels end, pt.
    fn column_end(&self) -> f64 {
        self.deep(0) - 2.0
    }

    /// What the longest column of labels lacks in height, pt: room for every label that a basin can have.
    pub(super) fn room_under(&self) -> f64 {
        let plan = self.plan;
        let most = self.basins.iter().map(|shown| {
            let is_this = |id: Option<&String>| id.is_some_and(|id| id == shown.id);
            let shelves = shown.basin.shape.value().map_or(0, |shape| shape.shelves.len());
            let pumps = plan.pumps.values().filter(|pump| is_this(pump.basin.value()));
            let falls = plan.falls.values().filter(|fall| is_this(fall.from.value()));
            let drains = plan.drains.values().filter(|drain| is_this(drain.from.value()));
            let runs = plan.lines.values().flat_map(|line| line.runs.values());
            let mouths = runs.filter(|run| is_this(run.to.value()));
            // Rim, still, running, power-off, floor, freeboard, overflow, skimmer.
            8 + shelves + pumps.count() + falls.count() + drains.count() + 2 * mouths.count()
        });
        let most = most.max().unwrap_or(0).min(MOST) as f64;
        (most * LABEL_HEIGHT - (self.column_end() - COLUMN_TOP)).max(0.0)
    }

    /// Sets every column of labels, with a leader from each to its level.
    pub(super) fn level_labels(&mut self) {
        for index in 0..self.basins.len() {
            let labels = self.basins[index].labels.clone();
            let wanted: Vec<f64> = labels.iter().map(|label| self.y(label.level)).collect();
            let (left, right) = self.column(index);
            let crossings = self.taken.crossings(left, right);
            let crossings: Vec<(f64, f64)> = crossings
                .into_iter()
                .map(|(upper, lower)| (upper - 1.0, lower + 1.0))
                .collect();
            let range = (COLUMN_TOP, self.column_end());
            let placed = spread_between(&wanted, LABEL_HEIGHT, range, &crossings);
            for ((label, wanted), middle) in labels.iter().zip(wanted).zip(placed) {
                self.level_label(index, label, wanted, middle);
            }
        }
    }

    /// Where the labels of a basin stand across, pt.
    fn column(&self, index: usize) -> (f64, f64) {
        let shown = &self.basins[index];
        if shown.labels_left {
            let right = shown.inside.0 - super::CORRIDOR - 2.0;
            (right - ROOM, right)
        } else {
            let left = shown.inside.1 + super::CORRIDOR + 2.0;
            (left, left + ROOM)
        }
    }

    fn level_label(&mut self, index: usize, label: &Label, wanted: f64, middle: f64) {
        let column = self.column(index);
        let shown = &self.basins[index];
        let walls = self.walls_at(index, label.level);
        let (text_end, outer, wall, anchor, turn) = if shown.labels_left {
            (column.1, shown.inside.0, walls.0, Anchor::End, -1.0)
        } else {
            (column.0, shown.inside.1, walls.1, Anchor::Start, 1.0)
        };
        if label.kind != LabelKind::Absent {
            let knee = outer + turn * KNEE;
            let inner = self.intake_beside(index, wanted, (wall, turn)).unwrap_or(wall);
            let points = [[inner, wanted], [knee, wanted], [text_end - turn, middle]];
            self.ink(&points, Stroke::solid(0.25, Tone::Soft));
        }
        let text = fit(&label.text(), SMALL, label.strong(), ROOM);
        let mut text = Text::new([text_end, middle], anchor, SMALL, text);
        text.strong = label.strong();
        self.put(text);
    }

    /// The edge of the intake at a height, where nothing stands between it and the wall: its leader goes on to it.
    fn intake_beside(&self, index: usize, y: f64, (wall, turn): (f64, f64)) -> Option<f64> {
        const SAME: f64 = 1e-6;
        let here = |(at, [_, level]): &&(usize, Point)| *at == index && (level - y).abs() < SAME;
        let edges = self
            .intakes
            .iter()
            .filter(here)
            .map(|(_, [x, _])| x + turn * INTAKE);
        let nearest = edges.min_by(|a, b| (a - wall).abs().total_cmp(&(b - wall).abs()))?;
        let between = Bounds {
            left: nearest.min(wall) + CLEAR,
            top: y - HAIR,
            right: nearest.max(wall) - CLEAR,
            bottom: y + HAIR,
        };
        (between.left < between.right && self.taken.free(&between)).then_some(nearest)
    }
}
