//! Velocity in every run of pipe, as bars against the usual limits.

use super::{
    WIDTH,
    board::{Board, LABEL},
    name_of,
    scale::{graduation, round_step},
    scene::{Anchor, Fill, Pattern, Scene, Stroke, Text, Tone},
    text::width,
};
use crate::{
    figures::Ledger,
    plan::Plan,
    quantity::{Kind, UnitSystem, natural_unit, show_computed},
    review::Review,
};

/// The rules whose limits are drawn, with their usual limit, m/s: 5 and 8 ft/s.
const LIMITS: [(&str, f64); 2] = [("line-velocity", 1.524), ("line-velocity-high", 2.4384)];
/// Runs on one sheet.
const RUNS: usize = 36;
/// Where the bars begin and end, pt.
const LEFT: f64 = 150.0;
const RIGHT: f64 = WIDTH - 62.0;
const TOP: f64 = 20.0;
const ROW: f64 = 13.0;

/// Bars for every run whose velocity is computed, some to a sheet.
pub(super) fn charts(plan: &Plan, ledger: &Ledger, review: &Review, units: UnitSystem) -> Vec<Scene> {
    let runs: Vec<(String, f64)> = plan
        .lines
        .iter()
        .flat_map(|(id, line)| {
            let name = name_of(id, &line.name);
            let single = line.runs.len() == 1;
            line.runs.iter().filter_map(move |(run_id, run)| {
                let velocity = ledger.quantity(&run.place, "run-velocity")?;
                let words = if single {
                    name.to_owned()
                } else {
                    format!("{name}, {run_id}")
                };
                Some((words, velocity))
            })
        })
        .collect();
    let limits = LIMITS.map(|(rule, usual)| {
        let judged = review.findings.iter().find(|finding| finding.rule == rule);
        judged.and_then(|finding| finding.limit.si).unwrap_or(usual)
    });
    runs.chunks(RUNS).map(|runs| draw(runs, limits, units)).collect()
}

fn draw(runs: &[(String, f64)], limits: [f64; 2], units: UnitSystem) -> Scene {
    let bottom = TOP + runs.len() as f64 * ROW;
    let mut board = Board::new(WIDTH, bottom + 26.0, "Velocity in each run".to_owned());
    let most = runs
        .iter()
        .map(|(_, velocity)| *velocity)
        .chain(limits)
        .fold(0.0, f64::max);
    let unit = natural_unit(most, Kind::Velocity, units);
    let step = round_step(unit.from_si(most) / 8.0);
    let end = (unit.from_si(most) * 1.02 / step).ceil().max(1.0) * step;
    let x = |si: f64| LEFT + unit.from_si(si) / end * (RIGHT - LEFT);
    let ticks = (end / step).round() as u32;
    for tick in 0..=ticks {
        let value = f64::from(tick) * step;
        let at = LEFT + value / end * (RIGHT - LEFT);
        board
            .scene
            .line(&[[at, TOP], [at, bottom + 3.0]], Stroke::solid(0.3, Tone::Faint));
        board.put(Text::new(
            [at, bottom + 9.0],
            Anchor::Middle,
            LABEL,
            graduation(value, step),
        ));
    }
    let words = format!("velocity, {}", unit.symbol);
    board.put(Text::new(
        [f64::midpoint(LEFT, RIGHT), bottom + 19.0],
        Anchor::Middle,
        LABEL,
        words,
    ));
    for (row, (name, velocity)) in runs.iter().enumerate() {
        let y = TOP + (row as f64 + 0.5) * ROW;
        board.put_in([LEFT - 6.0, y], Anchor::End, name, LEFT - 8.0);
        let (right, half) = (x(*velocity), ROW * 0.3);
        let bar = [
            [LEFT, y - half],
            [right, y - half],
            [right, y + half],
            [LEFT, y + half],
        ];
        let fill = match *velocity {
            v if v > limits[1] => Fill::Ink,
            v if v > limits[0] => Fill::Soil,
            _ => Fill::Water,
        };
        board
            .scene
            .area(&bar, fill, Some(Stroke::solid(0.5, Tone::Accent)));
        let words = show_computed(*velocity, Kind::Velocity, units);
        let mut at = right.max(LEFT) + 4.0;
        // Clear of the lines of the limits.
        for limit in limits.map(&x) {
            if (at - 2.0..at + width(&words, LABEL, false) + 2.0).contains(&limit) {
                at = limit + 4.0;
            }
        }
        board.put_in([at, y], Anchor::Start, &words, 56.0);
    }
    for (limit, pattern) in limits.into_iter().zip([Pattern::Dashed, Pattern::Solid]) {
        let at = x(limit);
        board.scene.line(
            &[[at, TOP - 3.0], [at, bottom]],
            Stroke::new(0.9, Tone::Ink, pattern),
        );
        let words = show_computed(limit, Kind::Velocity, units);
        board.put(Text::new([at, TOP - 9.0], Anchor::Middle, LABEL, words).strong());
    }
    board
        .scene
        .line(&[[LEFT, TOP], [LEFT, bottom]], Stroke::solid(0.8, Tone::Ink));
    describe(&mut board.scene, runs, limits, units);
    board.scene
}

fn describe(scene: &mut Scene, runs: &[(String, f64)], limits: [f64; 2], units: UnitSystem) {
    let shown = |si: f64| show_computed(si, Kind::Velocity, units);
    let each = runs
        .iter()
        .map(|(name, velocity)| format!("{name} {}", shown(*velocity)));
    scene.alt = format!(
        "Velocity in each run against limits of {} and {}: {}.",
        shown(limits[0]),
        shown(limits[1]),
        each.collect::<Vec<_>>().join(", ")
    );
    scene.notes.push(format!(
        "Pale bars keep within {}, hatched ones pass it, black ones pass {}.",
        shown(limits[0]),
        shown(limits[1])
    ));
}
