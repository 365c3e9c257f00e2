//! Labels of levels, in a column beside each basin.

use super::{
    super::{
        levels::Drawn,
        placing::spread,
        scene::{Anchor, Stroke, Text, Tone},
        text::{LINE_HEIGHT, fit, width},
    },
    COLUMN, SMALL, Sheet,
};
use crate::{
    quantity::{Kind, show, show_level},
    read::Place,
    review::Question,
};

/// Room for a label, pt.
const ROOM: f64 = COLUMN - 4.0;

/// Labels beside one basin; a page has no room for more.
const MOST: usize = 44;

/// A label of a level.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    pub text: String,
    /// The level it points at, m.
    pub level: f64,
    pub strong: bool,
}

impl Sheet<'_> {
    /// The levels of a basin as labels; waters that read alike share one.
    pub(super) fn levels_of(&self, index: usize) -> Vec<Label> {
        let levels = &self.basins[index].levels;
        let place = &self.basins[index].basin.place;
        let edge = |name: &str, drawn: Drawn| {
            if drawn.shown {
                self.told(name, drawn.level)
            } else {
                self.asked(name, drawn.level, &place.child(name))
            }
        };
        let mut labels = vec![edge("rim", levels.rim)];
        let mut waters: Vec<(String, String, f64)> = Vec::new();
        let still = levels.still.shown.then_some(levels.still.level);
        for (name, level) in [
            ("still", still),
            ("running", levels.running),
            ("power-off", levels.power_off),
        ] {
            let Some(level) = level else { continue };
            let shown = show_level(level, self.units);
            let fits = |names: &str| width(&format!("{names}, {name} {shown}"), SMALL, false) <= ROOM;
            let alike = |(names, same, _): &&mut (String, String, f64)| *same == shown && fits(names);
            match waters.iter_mut().find(alike) {
                Some((names, _, _)) => *names = format!("{names}, {name}"),
                None => waters.push((name.to_owned(), shown, level)),
            }
        }
        labels.extend(waters.into_iter().map(|(names, shown, level)| Label {
            text: format!("{names} {shown}"),
            level,
            strong: false,
        }));
        if !levels.still.shown {
            labels.push(edge("still", levels.still));
        }
        labels.push(edge("floor", levels.floor));
        let water = levels.highest_water();
        if levels.rim.shown && levels.still.shown {
            let freeboard = levels.rim.level - water;
            labels.push(Label {
                text: format!("freeboard {}", show(freeboard, Kind::Length, self.units)),
                level: f64::midpoint(levels.rim.level, water),
                strong: true,
            });
        }
        labels
    }

    /// Adds a level to a basin's labels, once.
    pub(super) fn label(&mut self, index: usize, name: &str, level: f64) {
        let label = self.told(name, level);
        self.add(index, label);
    }

    /// A level as a label.
    fn told(&self, name: &str, level: f64) -> Label {
        Label {
            text: format!("{name} {}", show_level(level, self.units)),
            level,
            strong: false,
        }
    }

    /// Adds a label for what the plan does not show, once.
    pub(super) fn ask(&mut self, index: usize, name: &str, level: f64, place: &Place) {
        let label = self.asked(name, level, place);
        self.add(index, label);
    }

    /// What is not shown as a label, with the number of the question that asks for it.
    fn asked(&self, name: &str, level: f64, place: &Place) -> Label {
        let question = self.question(place);
        Label {
            text: match question {
                Some(number) => format!("{name} ? {number}"),
                None => format!("{name} ?"),
            },
            level,
            strong: false,
        }
    }

    /// The number of the question that asks for a place or what it lies in.
    pub(super) fn question(&self, place: &Place) -> Option<&str> {
        let asks = |question: &&Question| question.place.holds(place);
        self.questions
            .iter()
            .find(asks)
            .map(|question| question.number.as_str())
    }

    fn add(&mut self, index: usize, label: Label) {
        let labels = &mut self.basins[index].labels;
        if !labels.contains(&label) && labels.len() < MOST {
            labels.push(label);
        }
    }

    /// Sets every column of labels, with a leader from each to its level.
    pub(super) fn level_labels(&mut self) {
        let height = SMALL * LINE_HEIGHT + 0.4;
        for index in 0..self.basins.len() {
            let labels = self.basins[index].labels.clone();
            let wanted: Vec<f64> = labels.iter().map(|label| self.y(label.level)).collect();
            let bottom = self.y(self.bottom) + 16.0;
            let placed = spread(&wanted, height, super::HEAD - 6.0, bottom);
            for ((label, wanted), middle) in labels.iter().zip(wanted).zip(placed) {
                self.level_label(index, label, wanted, middle);
            }
        }
    }

    fn level_label(&mut self, index: usize, label: &Label, wanted: f64, middle: f64) {
        let shown = &self.basins[index];
        let (edge, wall, anchor, turn) = if shown.labels_left {
            (
                shown.inside.0 - super::CORRIDOR,
                shown.inside.0,
                Anchor::End,
                -1.0,
            )
        } else {
            (
                shown.inside.1 + super::CORRIDOR,
                shown.inside.1,
                Anchor::Start,
                1.0,
            )
        };
        let stroke = Stroke::solid(0.25, Tone::Soft);
        let points = [[wall, wanted], [edge - turn * 4.0, wanted], [edge + turn, middle]];
        self.scene.line(&points, stroke);
        let text = fit(&label.text, SMALL, label.strong, ROOM);
        let mut text = Text::new([edge + turn * 2.0, middle], anchor, SMALL, text);
        text.strong = label.strong;
        self.put(text);
    }
}
