//! Levels in time: the worst case and the worst combination of two, a panel for each basin that moves.

use crate::{
    hydraulics::{self, Scenario},
    ledger::Ledger,
    plan::Plan,
    quantity::{Unit, UnitSystem, show_level_in},
    report::drawing::{
        WIDTH,
        board::{Board, LABEL},
        name_of,
        scale::{graduation, level_graduation, levels_in, round_step, unit_of_levels},
        scene::{Anchor, Pattern, Point, Scene, Stroke, Text, Tone},
        text::fit,
    },
    review::{Review, Series, Worst},
};

/// Basins on one sheet, those that move most.
const BASINS: usize = 4;
const LEFT: f64 = 44.0;
const RIGHT: f64 = WIDTH - 92.0;
/// Room for the name over the first panel, pt.
const TOP: f64 = 15.0;
/// Height of a panel, at most, and between two of them, with room for a name, pt.
const PANEL: f64 = 84.0;
const BETWEEN: f64 = 18.0;
/// Type size of graduations, pt.
const SMALL: f64 = 7.0;
/// Least share of a panel between two graduations: of the lowest panel enough for their figures, and at most half of it
/// once rounded, so that every panel has two.
const APART: f64 = 0.2;
/// Height of all panels with what is between them, at most, pt: two drawings stand on a page.
const PANELS: f64 = 230.0;
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
    name: &'a str,
    series: &'a Series,
    /// As the case has it.
    rim: Option<f64>,
    /// Whether the case has it lower than the plan.
    sunk: bool,
    low: f64,
    high: f64,
}

impl<'a> Panel<'a> {
    fn of(plan: &'a Plan, series: &'a Series) -> Option<Self> {
        let (id, basin) = plan
            .basins
            .iter()
            .find(|(_, basin)| basin.place == series.object)?;
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
            name: name_of(id, &basin.name),
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
    let left_out = panels.split_off(panels.len().min(BASINS));
    let end = panels.iter().map(Panel::settled).fold(0.0, f64::max) * SPARE;
    if panels.is_empty() || end <= 0.0 {
        return None;
    }
    let levels = panels
        .iter()
        .flat_map(|panel| [panel.low, panel.high].into_iter().chain(panel.rim));
    let unit = unit_of_levels(levels, units);
    let each = (PANELS / panels.len() as f64 - BETWEEN).min(PANEL);
    let height = TOP + panels.len() as f64 * (each + BETWEEN) + 22.0;
    let mut board = Board::new(WIDTH, height, format!("Levels in time: {}", worst.case.title));
    for (index, panel) in panels.iter().enumerate() {
        let top = TOP + index as f64 * (each + BETWEEN);
        draw_panel(&mut board, panel, [top, top + each], end, unit);
    }
    time_axis(&mut board, height - 22.0, end);
    let told = Told {
        plan,
        worst,
        panels: &panels,
        left_out: &left_out,
        unit,
    };
    told.describe(&mut board.scene, ledger, review);
    Some(board.scene)
}

fn draw_panel(board: &mut Board, panel: &Panel<'_>, [top, bottom]: Point, end: f64, unit: &Unit) {
    let (low, high) = panel.reach();
    let y = |level: f64| top + (high - level) / (high - low) * (bottom - top);
    let x = |time: f64| LEFT + time / end * (RIGHT - LEFT);
    let frame = Stroke::solid(0.4, Tone::Faint);
    board.scene.line(&[[LEFT, bottom], [RIGHT, bottom]], frame);
    let name = fit(panel.name, LABEL, true, RIGHT - LEFT);
    board.put(Text::new([LEFT, top - 6.5], Anchor::Start, LABEL, name).strong());
    level_axis(board, [low, high], [top, bottom], unit);
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
            &format!("{} {}", panel.rim_word(), show_level_in(rim, unit)),
            84.0,
        );
    }
    board.put_in(
        [RIGHT + 5.0, water],
        Anchor::Start,
        &format!("end {}", show_level_in(last, unit)),
        84.0,
    );
}

/// A few levels beside a panel.
fn level_axis(board: &mut Board, [low, high]: [f64; 2], [top, bottom]: Point, unit: &Unit) {
    let per = unit.factor;
    // No nearer than the height of a graduation.
    let apart = APART.max(SMALL * 1.22 / (bottom - top).max(1.0));
    let step = round_step((high - low) / per * apart);
    let first = (low / per / step).ceil() as i64;
    let last = (high / per / step).floor() as i64;
    for tick in first..=last {
        let level = tick as f64 * step;
        let y = top + (high - level * per) / (high - low) * (bottom - top);
        board
            .scene
            .line(&[[LEFT - 3.0, y], [RIGHT, y]], Stroke::solid(0.3, Tone::Faint));
        let words = level_graduation(level, step);
        board.put(Text::new([LEFT - 5.0, y], Anchor::End, SMALL, words));
    }
    board.put(Text::new(
        [LEFT - 5.0, top - 6.5],
        Anchor::End,
        SMALL,
        unit.symbol,
    ));
    board
        .scene
        .line(&[[LEFT, top], [LEFT, bottom]], Stroke::solid(0.6, Tone::Ink));
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

/// What a drawing says in words.
struct Told<'a> {
    plan: &'a Plan,
    worst: &'a Worst,
    panels: &'a [Panel<'a>],
    /// Basins whose level moves as well, for which there is no room.
    left_out: &'a [Panel<'a>],
    unit: &'a Unit,
}

impl Told<'_> {
    fn describe(&self, scene: &mut Scene, ledger: &Ledger, review: &Review) {
        scene.alt = self.alt();
        scene
            .notes
            .push(format!("Supposed: {}.", self.worst.case.supposes));
        if self.overflow_left_out() {
            scene.notes.push("No overflow is counted on.".to_owned());
        }
        scene.notes.push(sentence(&self.because()));
        let rim = if self.panels.iter().any(|panel| panel.sunk) {
            "Dashed: the rim at its settled edge, where it is lowest."
        } else {
            "Dashed: the rim."
        };
        if self.panels.iter().any(|panel| panel.rim.is_some()) {
            scene.notes.push(rim.to_owned());
        }
        let scales = if self.panels.len() > 1 {
            "; each basin has its own scale"
        } else {
            ""
        };
        scene.notes.push(format!("{}{scales}.", levels_in(self.unit)));
        scene.notes.extend(self.not_drawn());
        scene.notes.extend(self.keyed(ledger, review));
    }

    fn alt(&self) -> String {
        let level = |level: f64| show_level_in(level, self.unit);
        let told = self.panels.iter().map(|panel| {
            let points = &panel.series.points;
            let last = points.last().map_or(panel.low, |(_, level)| *level);
            let first = points.first().map_or(last, |(_, level)| *level);
            let rim = panel.rim.map_or_else(String::new, |rim| {
                format!(", {} {}", panel.rim_word(), level(rim))
            });
            format!(
                "{} from {} to {}, highest {}{rim}",
                panel.name,
                level(first),
                level(last),
                level(panel.high)
            )
        });
        let told: Vec<String> = told.collect();
        format!("Levels in time, {}: {}.", self.worst.case.title, told.join("; "))
    }

    /// Whether a basin has an overflow that the scenario has blocked.
    fn overflow_left_out(&self) -> bool {
        let named = self.worst.case.name.split('+').filter_map(hydraulics::scenario);
        let scenario = named.map(|case| case.scenario).reduce(Scenario::and);
        let blocked = scenario.is_some_and(|scenario| scenario.overflows_blocked);
        let mut basins = self.plan.basins.values();
        blocked && basins.any(|basin| basin.overflow.given().is_some())
    }

    /// Why this case, with the basin called as it is on the drawing.
    fn because(&self) -> String {
        let mut panels = self.panels.iter().chain(self.left_out);
        let named = panels.find(|panel| Some(&panel.series.object) == self.worst.object.as_ref());
        self.worst.reason(
            named
                .map(|panel| panel.name)
                .or(self.worst.object_name.as_deref()),
        )
    }

    fn not_drawn(&self) -> Option<String> {
        let names: Vec<&str> = self.left_out.iter().map(|panel| panel.name).collect();
        match names.len() {
            0 => None,
            1..=4 => Some(format!("Moving too, but not drawn: {}.", names.join(", "))),
            many => Some(format!("{many} more basins move and are not drawn.")),
        }
    }

    /// The findings on how these basins stand to their rims.
    fn keyed(&self, ledger: &Ledger, review: &Review) -> Option<String> {
        let about = review.findings.iter().filter(|finding| {
            let computed = finding.figure.as_ref();
            finding.discipline == "levels"
                && self
                    .panels
                    .iter()
                    .any(|panel| panel.series.object == finding.object)
                && computed.is_some_and(|name| ledger.get(&finding.object, name).is_some())
        });
        let keyed: Vec<&str> = about.map(|finding| finding.number.as_str()).collect();
        (!keyed.is_empty()).then(|| format!("Findings on the levels of these basins: {}.", keyed.join(", ")))
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
