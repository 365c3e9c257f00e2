//! Levels in time: the worst case and the worst combination of two, a panel for each basin that moves.

use super::{
    WIDTH,
    board::{Board, LABEL},
    scale::{graduation, round_step},
    scene::{Anchor, Pattern, Point, Scene, Stroke, Text, Tone},
};
use crate::{
    figures::Ledger,
    plan::Plan,
    quantity::{UnitSystem, show_level},
    review::{Review, Series, Worst},
};

/// Basins on one sheet, those that move most.
const BASINS: usize = 4;
const LEFT: f64 = 84.0;
const RIGHT: f64 = WIDTH - 92.0;
const TOP: f64 = 14.0;
/// Height of a panel, at most, and between two of them, pt.
const PANEL: f64 = 84.0;
const BETWEEN: f64 = 16.0;
/// Height of all panels with what is between them, at most, pt: two drawings stand on a page.
const PANELS: f64 = 208.0;
/// Points of a line, at most: more are not seen.
const POINTS: usize = 240;
/// Levels that move by less than this stand still, m.
const STILL: f64 = 1e-4;
/// Time shown beyond the one after which nothing moves much, as a multiple.
const SPARE: f64 = 1.15;
/// Times from which hours are shown, s.
const HOURS: f64 = 3.0 * 3600.0;

/// The course of the worst case and of the worst combination, where they were followed.
pub(super) fn courses(plan: &Plan, ledger: &Ledger, review: &Review, units: UnitSystem) -> Vec<Scene> {
    let Some(cases) = &review.cases else {
        return Vec::new();
    };
    let worst = cases.worst.iter().chain(&cases.combined);
    worst
        .filter_map(|worst| draw(plan, ledger, review, worst, units))
        .collect()
}

/// A basin's level in time and the levels it is held against.
struct Panel<'a> {
    series: &'a Series,
    /// As the case has it.
    rim: Option<f64>,
    /// Whether the case has it lower than the plan.
    sunk: bool,
    low: f64,
    high: f64,
}

impl<'a> Panel<'a> {
    fn of(plan: &Plan, series: &'a Series) -> Option<Self> {
        let basin = plan.basins.values().find(|basin| basin.place == series.object)?;
        let planned = basin.rim.value().map(|rim| rim.0);
        let rim = series.rim.or(planned);
        let sunk = rim
            .zip(planned)
            .is_some_and(|(rim, planned)| planned - rim > STILL);
        let levels = || series.points.iter().map(|(_, level)| *level);
        let (low, high) = (
            levels().fold(f64::MAX, f64::min),
            levels().fold(f64::MIN, f64::max),
        );
        (high - low > STILL).then_some(Self {
            series,
            rim,
            sunk,
            low,
            high,
        })
    }

    /// The time after which the level stays within a hundredth of its movement from its end, s.
    fn settled(&self) -> f64 {
        let last = self.series.points.last().map_or(self.low, |(_, level)| *level);
        let away = |(_, level): &&(f64, f64)| (level - last).abs() > 0.01 * self.moves();
        let moving = self.series.points.iter().rposition(|point| away(&point));
        let next = moving.and_then(|at| self.series.points.get(at + 1));
        next.map_or(0.0, |(time, _)| *time)
    }

    fn rim_word(&self) -> &'static str {
        if self.sunk { "settled rim" } else { "rim" }
    }

    /// What is left to the rim at the highest, m.
    fn room(&self) -> f64 {
        self.rim.map_or(f64::INFINITY, |rim| rim - self.high)
    }

    fn moves(&self) -> f64 {
        self.high - self.low
    }

    /// The levels that the panel reaches from and to: rim and water, with some room.
    fn reach(&self) -> (f64, f64) {
        let (low, high) = (self.low, self.rim.map_or(self.high, |rim| rim.max(self.high)));
        let room = 0.08 * (high - low);
        (low - room, high + room)
    }
}

fn draw(plan: &Plan, ledger: &Ledger, review: &Review, worst: &Worst, units: UnitSystem) -> Option<Scene> {
    let mut panels: Vec<Panel<'_>> = worst
        .series
        .iter()
        .filter_map(|series| Panel::of(plan, series))
        .collect();
    panels.sort_by(|a, b| b.moves().total_cmp(&a.moves()));
    // The basin that is left the least stands among those drawn.
    let tightest = (0..panels.len()).min_by(|&a, &b| panels[a].room().total_cmp(&panels[b].room()));
    if let Some(at) = tightest.filter(|at| *at >= BASINS) {
        let panel = panels.remove(at);
        panels.insert(0, panel);
    }
    let left_out = panels.len().saturating_sub(BASINS);
    panels.truncate(BASINS);
    let end = panels.iter().map(Panel::settled).fold(0.0, f64::max) * SPARE;
    if panels.is_empty() || end <= 0.0 {
        return None;
    }
    let each = (PANELS / panels.len() as f64 - BETWEEN).min(PANEL);
    let height = TOP + panels.len() as f64 * (each + BETWEEN) + 22.0;
    let mut board = Board::new(WIDTH, height, format!("Levels in time: {}", worst.case.title));
    for (index, panel) in panels.iter().enumerate() {
        let top = TOP + index as f64 * (each + BETWEEN);
        draw_panel(&mut board, panel, [top, top + each], end, units);
    }
    time_axis(&mut board, height - 22.0, end);
    describe(&mut board.scene, ledger, review, worst, &panels, left_out, units);
    Some(board.scene)
}

fn draw_panel(board: &mut Board, panel: &Panel<'_>, [top, bottom]: Point, end: f64, units: UnitSystem) {
    let (low, high) = panel.reach();
    let y = |level: f64| top + (high - level) / (high - low) * (bottom - top);
    let x = |time: f64| LEFT + time / end * (RIGHT - LEFT);
    let frame = Stroke::solid(0.4, Tone::Faint);
    board.scene.line(&[[LEFT, top], [LEFT, bottom]], frame);
    board.scene.line(&[[LEFT, bottom], [RIGHT, bottom]], frame);
    board.put_in(
        [LEFT - 8.0, f64::midpoint(top, bottom)],
        Anchor::End,
        &panel.series.object_name,
        LEFT - 10.0,
    );
    if let Some(rim) = panel.rim {
        board.scene.line(
            &[[LEFT, y(rim)], [RIGHT, y(rim)]],
            Stroke::new(0.9, Tone::Ink, Pattern::Dashed),
        );
    }
    let shown: Vec<&(f64, f64)> = panel
        .series
        .points
        .iter()
        .filter(|(time, _)| *time <= end)
        .collect();
    let every = shown.len().div_ceil(POINTS).max(1);
    let mut line: Vec<Point> = shown
        .iter()
        .step_by(every)
        .map(|(time, level)| [x(*time), y(*level)])
        .collect();
    line.extend(panel.series.points.last().map(|(_, level)| [RIGHT, y(*level)]));
    board.scene.line(&line, Stroke::solid(1.4, Tone::Accent));
    // Words beside the end of the line, moved apart where rim and water stand close.
    let last = panel.series.points.last().map_or(panel.low, |(_, level)| *level);
    let mut water = y(last);
    if let Some(rim) = panel.rim {
        let at = y(rim);
        if (water - at).abs() < 9.0 {
            water = if water >= at { at + 9.0 } else { at - 9.0 };
        }
        board.put_in(
            [RIGHT + 5.0, at],
            Anchor::Start,
            &format!("{} {}", panel.rim_word(), show_level(rim, units)),
            84.0,
        );
    }
    board.put_in(
        [RIGHT + 5.0, water],
        Anchor::Start,
        &format!("end {}", show_level(last, units)),
        84.0,
    );
}

fn time_axis(board: &mut Board, top: f64, end: f64) {
    let (per, unit) = if end >= HOURS {
        (3600.0, "h")
    } else {
        (60.0, "min")
    };
    let step = round_step(end / per / 8.0);
    let count = (end / per / step).floor() as u32;
    for tick in 0..=count {
        let value = f64::from(tick) * step;
        let at = LEFT + value * per / end * (RIGHT - LEFT);
        board.scene.line(
            &[[at, top - BETWEEN + 2.0], [at, top - BETWEEN + 6.0]],
            Stroke::solid(0.6, Tone::Ink),
        );
        board.put(Text::new(
            [at, top],
            Anchor::Middle,
            LABEL,
            graduation(value, step),
        ));
    }
    let words = format!("time, {unit}");
    board.put(Text::new(
        [f64::midpoint(LEFT, RIGHT), top + 11.0],
        Anchor::Middle,
        LABEL,
        words,
    ));
}

fn describe(
    scene: &mut Scene,
    ledger: &Ledger,
    review: &Review,
    worst: &Worst,
    panels: &[Panel<'_>],
    left_out: usize,
    units: UnitSystem,
) {
    let told = panels.iter().map(|panel| {
        let last = panel.series.points.last().map_or(panel.low, |(_, level)| *level);
        format!(
            "{} from {} to {}, highest {}",
            panel.series.object_name,
            show_level(
                panel.series.points.first().map_or(last, |(_, level)| *level),
                units
            ),
            show_level(last, units),
            show_level(panel.high, units)
        )
    });
    scene.alt = format!(
        "Levels in time, {}: {}.",
        worst.case.title,
        told.collect::<Vec<_>>().join("; ")
    );
    scene.notes.push(sentence(&worst.because));
    let rim = if panels.iter().any(|panel| panel.sunk) {
        "the rim at its settled edge, where it is lowest"
    } else {
        "the rim"
    };
    scene
        .notes
        .push(format!("Dashed: {rim}. Each basin has its own scale of levels."));
    if left_out > 0 {
        scene.notes.push(match left_out {
            1 => "Another basin moves less and is not drawn.".to_owned(),
            more => format!("{more} more basins move less and are not drawn."),
        });
    }
    let keyed: Vec<&str> = review
        .findings
        .iter()
        .filter(|finding| finding.discipline == "levels")
        .filter(|finding| panels.iter().any(|panel| panel.series.object == finding.object))
        .filter(|finding| {
            finding
                .figure
                .as_ref()
                .is_some_and(|name| ledger.get(&finding.object, name).is_some())
        })
        .map(|finding| finding.number.as_str())
        .collect();
    if !keyed.is_empty() {
        scene
            .notes
            .push(format!("Findings on these levels: {}.", keyed.join(", ")));
    }
}

/// Words as a sentence: a capital first, a stop last.
fn sentence(words: &str) -> String {
    let mut rest = words.chars();
    let first = rest
        .next()
        .map(|first| first.to_uppercase().to_string())
        .unwrap_or_default();
    format!("{first}{}.", rest.as_str().trim_end_matches('.'))
}
