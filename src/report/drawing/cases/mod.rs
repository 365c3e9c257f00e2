//! The level of every basin in every case that was computed: as a table, and as bars between its rim and its floor.

mod table;

pub(super) use table::tables;
pub use table::{CaseCell, CaseRow, CaseTable};

use crate::{
    figures::SCENARIO_FIGURES,
    ledger::Ledger,
    plan::{Basin, Given, Plan},
    quantity::{Unit, UnitSystem, agree, show_level_in},
    report::drawing::{
        WIDTH,
        board::Board,
        levels::{BasinLevels, in_flow_order, level},
        name_of,
        scale::{level_graduation, levels_in, round_step, unit_of_levels},
        scene::{Anchor, Bounds, Fill, Point, Scene, Stroke, Text, Tone},
        text::{fit, width},
    },
};

/// A case: its name, the figure of the level, the figure of the freeboard.
type Case = (&'static str, Option<&'static str>, Option<&'static str>);

/// Still water, and the scenarios that give figures, in their order.
fn cases() -> Vec<Case> {
    let scenarios = SCENARIO_FIGURES.iter().map(|figures| {
        let freeboard = figures.freeboard.map(|figure| figure.name);
        let label = if figures.scenario == "edge-settled" {
            EDGE_SETTLED
        } else {
            figures.label
        };
        (label, Some(figures.level.name), freeboard)
    });
    let still = (STILL, None, Some("freeboard-still"));
    std::iter::once(still).chain(scenarios).collect()
}

/// The case whose level the plan gives.
const STILL: &str = "still";
/// The case whose level is the running one, under an edge that is lower than the rim: told in the table alone.
const EDGE_SETTLED: &str = "running, an edge settled";

/// A level of a basin in a case, m: the lowest and the highest are one where the case settles.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Band {
    name: &'static str,
    low: f64,
    high: f64,
}

/// One basin's panel.
struct Panel<'a> {
    name: &'a str,
    levels: BasinLevels,
    bands: Vec<Band>,
    intake: Option<f64>,
}

fn level_in(basin: &Given<Basin>, ledger: &Ledger, name: &str, figure: Option<&str>) -> Option<f64> {
    match figure {
        Some(figure) => ledger.quantity(&basin.place, figure),
        None if name == STILL => level(&basin.still),
        None => None,
    }
}

/// A panel for each basin, in the order water flows, some to a sheet; none where only the still level is known.
pub(super) fn charts(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<Scene> {
    let panels = charted(plan, ledger);
    let unit = unit_of_levels(panels.iter().flat_map(Panel::judged), units);
    panels.chunks(PANELS).map(|panels| chart(panels, unit)).collect()
}

/// The panels of a plan in the order water flows.
fn charted<'a>(plan: &'a Plan, ledger: &Ledger) -> Vec<Panel<'a>> {
    let order = in_flow_order(plan).into_iter();
    order.filter_map(|id| panel(plan, ledger, id)).collect()
}

impl Panel<'_> {
    /// The levels that decide the unit: those of the cases and the rim.
    fn judged(&self) -> impl Iterator<Item = f64> {
        let rim = self.levels.rim.shown.then_some(self.levels.rim.level);
        self.bands.iter().map(|band| band.high).chain(rim)
    }

    /// Whether a case takes the water over the rim.
    fn over(&self, band: &Band) -> bool {
        let rim = self.levels.rim;
        rim.shown && band.high > rim.level && !agree(band.high, rim.level)
    }
}

fn chart(panels: &[Panel<'_>], unit: &Unit) -> Scene {
    let mut board = Board::new(
        WIDTH,
        panels.len() as f64 * ROW,
        "Levels over the cases".to_owned(),
    );
    for (index, panel) in panels.iter().enumerate() {
        draw(&mut board, panel, [0.0, index as f64 * ROW], unit);
    }
    describe(&mut board.scene, panels, unit);
    board.scene
}

fn panel<'a>(plan: &'a Plan, ledger: &Ledger, id: &'a str) -> Option<Panel<'a>> {
    let basin = plan.basins.get(id)?;
    let bands: Vec<Band> = cases()
        .into_iter()
        .filter(|(name, ..)| *name != EDGE_SETTLED)
        .filter_map(|(name, figure, _)| {
            let at = level_in(basin, ledger, name, figure).filter(|at| at.is_finite())?;
            Some(Band {
                name,
                low: at,
                high: at,
            })
        })
        .collect();
    let intakes = plan
        .pumps
        .values()
        .filter(|pump| pump.basin.value().is_some_and(|basin| basin == id));
    (bands.len() > 1).then(|| Panel {
        name: name_of(id, &basin.name),
        levels: BasinLevels::of(basin, ledger, &[]),
        bands,
        intake: intakes.filter_map(|pump| level(&pump.intake)).reduce(f64::max),
    })
}

/// Panels on one sheet.
const PANELS: usize = 3;
/// Height of a row of panels, its frame within it, and the width of a panel, pt.
const ROW: f64 = 164.0;
const HEAD: f64 = 26.0;
const FOOT: f64 = 30.0;
const AXIS: f64 = 34.0;
const PANEL: f64 = WIDTH - 4.0;
const SMALL: f64 = 7.0;
/// Size of a column's name and the least between two of them, pt.
const FINE: f64 = 7.0;
const BETWEEN: f64 = 1.0;
/// Columns a panel has room for: every case but the one told in the table alone.
const COLUMNS: usize = SCENARIO_FIGURES.len();

/// From level to paper within one panel.
struct Axis {
    low: f64,
    high: f64,
    frame: Bounds,
}

impl Axis {
    /// From well below the lowest level of the cases to above the rim; the floor and the intake where they lie near.
    fn of(panel: &Panel<'_>, [x, y]: Point) -> Self {
        let all = || panel.bands.iter().flat_map(|band| [band.low, band.high]);
        let rim = panel.levels.rim.shown.then_some(panel.levels.rim.level);
        let high = all().chain(rim).fold(f64::NEG_INFINITY, f64::max);
        let lowest = all().fold(f64::INFINITY, f64::min);
        let span = (high - lowest).max(0.02);
        let near = |level: &f64| *level < lowest && *level > lowest - 2.0 * span;
        let floor = Some(panel.levels.floor.level)
            .filter(|_| panel.levels.floor.shown)
            .filter(near);
        let low = floor
            .into_iter()
            .chain(panel.intake.filter(near))
            .fold(lowest, f64::min);
        Self {
            low: low - 0.3 * span,
            high: high + 0.18 * span,
            frame: Bounds {
                left: x + AXIS,
                top: y + HEAD,
                right: x + PANEL,
                bottom: y + ROW - FOOT,
            },
        }
    }

    fn y(&self, level: f64) -> f64 {
        let share = (level - self.low) / (self.high - self.low);
        self.frame.bottom - share.clamp(0.0, 1.0) * (self.frame.bottom - self.frame.top)
    }

    fn shows(&self, level: f64) -> bool {
        (self.low..=self.high).contains(&level)
    }
}

fn draw(board: &mut Board, panel: &Panel<'_>, corner: Point, unit: &Unit) {
    let axis = Axis::of(panel, corner);
    let name = fit(panel.name, 8.0, true, PANEL - 4.0);
    board.put(Text::new([corner[0] + 1.0, corner[1] + 8.0], Anchor::Start, 8.0, name).strong());
    graduate(board, &axis, unit);
    marked(board, panel, &axis, unit);
    let column = (axis.frame.right - axis.frame.left) / COLUMNS as f64;
    for (index, band) in panel.bands.iter().enumerate() {
        let middle = axis.frame.left + column * (index as f64 + 0.5);
        bar(board, panel, &axis, band, middle, column);
    }
    for (index, band) in panel.bands.iter().enumerate() {
        let middle = axis.frame.left + column * (index as f64 + 0.5);
        label_level(board, panel, &axis, band, middle, column, unit);
    }
}

fn graduate(board: &mut Board, axis: &Axis, unit: &Unit) {
    let per = unit.factor;
    let step = round_step((axis.high - axis.low) / per / 6.0);
    let first = (axis.low / per / step).ceil() as i64;
    let last = (axis.high / per / step).floor() as i64;
    let hair = Stroke::solid(0.3, Tone::Faint);
    for tick in first..=last {
        let y = axis.y(tick as f64 * step * per);
        board
            .scene
            .line(&[[axis.frame.left - 3.0, y], [axis.frame.right, y]], hair);
        let words = level_graduation(tick as f64 * step, step);
        board.put(Text::new([axis.frame.left - 5.0, y], Anchor::End, SMALL, words));
    }
    let at = [axis.frame.left - 5.0, axis.frame.top - 9.0];
    board.put(Text::new(at, Anchor::End, SMALL, unit.symbol));
    let (left, top, bottom) = (axis.frame.left, axis.frame.top, axis.frame.bottom);
    board
        .scene
        .line(&[[left, top], [left, bottom]], Stroke::solid(0.6, Tone::Ink));
}

/// Rim, floor and intake across the panel; what lies lower is told at its foot.
fn marked(board: &mut Board, panel: &Panel<'_>, axis: &Axis, unit: &Unit) {
    let levels = &panel.levels;
    let known = [
        (
            "rim",
            levels.rim.shown.then_some(levels.rim.level),
            Stroke::solid(1.2, Tone::Ink),
        ),
        (
            "intake",
            panel.intake,
            Stroke::solid(0.7, Tone::Ink).dashed_unless(false),
        ),
        (
            "floor",
            levels.floor.shown.then_some(levels.floor.level),
            Stroke::solid(1.2, Tone::Soft),
        ),
    ];
    let mut lower = Vec::new();
    for (name, level, stroke) in known {
        let Some(level) = level else { continue };
        let words = format!("{name} {}", show_level_in(level, unit));
        if axis.shows(level) {
            let y = axis.y(level);
            board
                .scene
                .line(&[[axis.frame.left, y], [axis.frame.right, y]], stroke);
            let across = axis.frame.right - axis.frame.left;
            board
                .taken
                .claim(Bounds::at([axis.frame.left, y - 1.0], [across, 2.0]));
            let size = [width(&words, SMALL, false), SMALL * 1.2];
            let at = [axis.frame.right - size[0] / 2.0, y - 6.0];
            let room = Bounds {
                top: axis.frame.top - 12.0,
                ..axis.frame
            };
            if let Some(found) = board.taken.nearest(at, size, &room) {
                let at = [found.left, f64::midpoint(found.top, found.bottom)];
                board
                    .scene
                    .items
                    .push(super::Item::Text(Text::new(at, Anchor::Start, SMALL, words)));
            }
        } else if level < axis.low {
            lower.push(words);
        }
    }
    if !lower.is_empty() {
        let words = format!("below: {}", lower.join(", "));
        let words = fit(&words, SMALL, false, PANEL - AXIS);
        board.put(Text::new(
            [axis.frame.right, axis.frame.bottom - 5.0],
            Anchor::End,
            SMALL,
            words,
        ));
    }
}

/// A bar from the still level to the level of the case, its own range drawn strong.
fn bar(board: &mut Board, panel: &Panel<'_>, axis: &Axis, band: &Band, x: f64, column: f64) {
    let half = (column * 0.28).min(9.0);
    let still = panel.levels.still.level;
    let (top, bottom) = (axis.y(band.high.max(still)), axis.y(band.low.min(still)));
    let (fill, edge) = if panel.over(band) {
        (Fill::Ink, Stroke::solid(0.6, Tone::Ink))
    } else {
        (Fill::Water, Stroke::solid(0.6, Tone::Accent))
    };
    if bottom - top > 0.4 {
        let corners = [
            [x - half, top],
            [x + half, top],
            [x + half, bottom],
            [x - half, bottom],
        ];
        board.scene.area(&corners, fill, Some(edge));
        board
            .taken
            .claim(Bounds::at([x - half, top], [2.0 * half, bottom - top]));
    }
    for level in [band.low, band.high] {
        let y = axis.y(level);
        board.scene.line(
            &[[x - half - 1.5, y], [x + half + 1.5, y]],
            Stroke::solid(1.6, Tone::Accent),
        );
        let stroke = Bounds::at([x - half - 1.5, y - 1.0], [2.0 * half + 3.0, 2.0]);
        board.taken.claim(stroke);
    }
}

/// The level and the name of a case, clear of every bar and line.
fn label_level(
    board: &mut Board,
    panel: &Panel<'_>,
    axis: &Axis,
    band: &Band,
    x: f64,
    column: f64,
    unit: &Unit,
) {
    let still = panel.levels.still.level;
    let (top, bottom) = (axis.y(band.high.max(still)), axis.y(band.low.min(still)));
    // The axis tells the unit.
    let words = show_level_in(if band.high > still { band.high } else { band.low }, unit);
    let words = words.strip_suffix(unit.symbol).unwrap_or(&words).trim_end();
    let size = [width(words, SMALL, false), SMALL * 1.2];
    let y = if band.high >= still {
        top - 6.0
    } else {
        bottom + 6.0
    };
    let room = Bounds {
        top: axis.frame.top - 14.0,
        ..axis.frame
    };
    if let Some(found) = board.taken.nearest([x, y], size, &room) {
        let at = [found.left, f64::midpoint(found.top, found.bottom)];
        board
            .scene
            .items
            .push(super::Item::Text(Text::new(at, Anchor::Start, SMALL, words)));
    }
    for (line, words) in lines_within(band.name, column - BETWEEN).into_iter().enumerate() {
        let at = [x, axis.frame.bottom + 7.0 + line as f64 * FINE * 1.22];
        board.put(Text::new(at, Anchor::Middle, FINE, words));
    }
}

/// Words in as few lines as a room allows, broken between words and after hyphens only.
fn lines_within(name: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for piece in name.split_inclusive([' ', '-']) {
        match lines.last_mut() {
            Some(line) if width(format!("{line}{piece}").trim_end(), FINE, false) <= room => {
                line.push_str(piece);
            }
            _ => lines.push(piece.to_owned()),
        }
    }
    for line in &mut lines {
        line.truncate(line.trim_end().len());
    }
    lines
}

fn describe(scene: &mut Scene, panels: &[Panel<'_>], unit: &Unit) {
    let said = panels.iter().map(|panel| {
        let bands = panel.bands.iter();
        let each = bands.map(|band| format!("{} {}", band.name, show_level_in(band.high, unit)));
        let rim = if panel.levels.rim.shown {
            format!("; rim {}", show_level_in(panel.levels.rim.level, unit))
        } else {
            String::new()
        };
        format!("{}: {}{rim}.", panel.name, each.collect::<Vec<_>>().join(", "))
    });
    scene.alt = format!(
        "Level of each basin in each case. {}",
        said.collect::<Vec<_>>().join(" ")
    );
    scene.notes.push(format!(
        "{}. Each bar runs from the still level to the level of the case, marked by a stroke.",
        levels_in(unit)
    ));
    if panels
        .iter()
        .any(|panel| panel.bands.iter().any(|band| panel.over(band)))
    {
        scene.notes.push("A black bar stands over the rim: the level the water would reach if the rim were high enough to hold it.".to_owned());
    }
    if panels.len() > 1 {
        scene
            .notes
            .push("Each panel has a scale of its own, enlarged about its levels.".to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::{AXIS, BETWEEN, COLUMNS, EDGE_SETTLED, FINE, PANEL, cases, lines_within, width};

    #[test]
    fn the_name_of_every_case_fits_its_column_uncut() {
        let room = (PANEL - AXIS) / COLUMNS as f64 - BETWEEN;
        for (name, ..) in cases().into_iter().filter(|(name, ..)| *name != EDGE_SETTLED) {
            let lines = lines_within(name, room);
            assert_eq!(lines.concat().replace(' ', ""), name.replace(' ', ""));
            assert!(lines.len() <= 3, "{name} takes {} lines", lines.len());
            for line in &lines {
                assert!(width(line, FINE, false) <= room, "{line} is cut");
            }
        }
    }
}
