//! Velocity in every run of pipe, as bars against the usual limits.

use crate::{
    ledger::Ledger,
    plan::Plan,
    quantity::{Kind, UnitSystem, agree, natural_unit, show_computed},
    report::drawing::{
        WIDTH,
        board::{Board, LABEL},
        name_of,
        scale::{graduation, round_step},
        scene::{Anchor, Fill, Pattern, Scene, Stroke, Text, Tone},
        text::width,
    },
    review::Review,
};

/// The rules whose limits are drawn, the lower first.
const RULES: [&str; 2] = ["line-velocity", "line-velocity-high"];
/// How the line of each limit is drawn, and the bars that pass it.
const LINES: [(Pattern, &str); 2] = [(Pattern::Dashed, "Dashed"), (Pattern::Solid, "Solid")];
const BARS: [(Fill, &str); 3] = [
    (Fill::Water, "pale"),
    (Fill::Soil, "hatched"),
    (Fill::Ink, "black"),
];
/// Runs on one sheet.
const RUNS: usize = 36;
/// Where the bars begin and end, pt.
const LEFT: f64 = 150.0;
const RIGHT: f64 = WIDTH - 62.0;
const TOP: f64 = 20.0;
const ROW: f64 = 13.0;

/// A run in words and its velocity, m/s.
type RunVelocity = (String, f64);

/// Bars for every run whose velocity is computed, some to a sheet.
pub(super) fn charts(plan: &Plan, ledger: &Ledger, review: &Review, units: UnitSystem) -> Vec<Scene> {
    let runs: Vec<RunVelocity> = plan
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
    let all: usize = plan.lines.values().map(|line| line.runs.len()).sum();
    let limits: Vec<f64> = RULES.iter().filter_map(|rule| limit(review, rule)).collect();
    if let [(name, velocity)] = runs.as_slice()
        && all == 1
    {
        return vec![told(name, *velocity, &limits, units)];
    }
    let mut scenes: Vec<Scene> = runs.chunks(RUNS).map(|runs| draw(runs, &limits, units)).collect();
    if let (Some(last), 1..) = (scenes.last_mut(), all - runs.len()) {
        last.notes.push(match all - runs.len() {
            1 => "One run whose velocity is not computed is not drawn.".to_owned(),
            more => format!("{more} runs whose velocity is not computed are not drawn."),
        });
    }
    scenes
}

/// The limit that a rule was evaluated with, m/s; none where it was not evaluated on this plan.
fn limit(review: &Review, rule: &str) -> Option<f64> {
    let accepted = review.accepted.iter().map(|accepted| &accepted.finding);
    let short = review.findings.iter().chain(accepted);
    let short = short.map(|finding| (&finding.rule, &finding.limit));
    let met = review.met.iter().map(|met| (&met.rule, &met.limit));
    short
        .chain(met)
        .find_map(|(of, limit)| limit.si.filter(|_| of == rule))
}

/// One run alone: a sentence tells as much as a bar.
fn told(name: &str, velocity: f64, limits: &[f64], units: UnitSystem) -> Scene {
    let shown = |si: f64| show_computed(si, Kind::Velocity, units);
    let against: Vec<String> = limits.iter().map(|limit| shown(*limit)).collect();
    let against = match against.as_slice() {
        [] => String::new(),
        [one] => format!("; the limit is {one}"),
        [first, second, ..] => format!("; the limits are {first} and {second}"),
    };
    Scene::sentence(
        "Velocity in each run",
        format!("The velocity in {name} is {}{against}.", shown(velocity)),
    )
}

/// How many of the limits a velocity passes.
fn passed(velocity: f64, limits: &[f64]) -> usize {
    let over = |limit: &&f64| velocity > **limit && !agree(velocity, **limit);
    limits.iter().filter(over).count()
}

/// The bar of a run that passes some of the limits.
fn bar_of(passed: usize, limits: &[f64]) -> (Fill, &'static str) {
    let at = if passed == limits.len() && passed > 0 {
        2
    } else {
        passed
    };
    BARS[at.min(BARS.len() - 1)]
}

fn draw(runs: &[RunVelocity], limits: &[f64], units: UnitSystem) -> Scene {
    let bottom = TOP + runs.len() as f64 * ROW;
    let mut board = Board::new(WIDTH, bottom + 26.0, "Velocity in each run".to_owned());
    let most = runs
        .iter()
        .map(|(_, velocity)| *velocity)
        .chain(limits.iter().copied())
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
        let (fill, _) = bar_of(passed(*velocity, limits), limits);
        board
            .scene
            .area(&bar, fill, Some(Stroke::solid(0.5, Tone::Accent)));
        let words = show_computed(*velocity, Kind::Velocity, units);
        let mut at = right.max(LEFT) + 4.0;
        // Clear of the lines of the limits.
        for limit in limits.iter().map(|limit| x(*limit)) {
            if (at - 2.0..at + width(&words, LABEL, false) + 2.0).contains(&limit) {
                at = limit + 4.0;
            }
        }
        board.put_in([at, y], Anchor::Start, &words, 56.0);
    }
    draw_limits(&mut board, limits, units, x, bottom);
    board
        .scene
        .line(&[[LEFT, TOP], [LEFT, bottom]], Stroke::solid(0.8, Tone::Ink));
    describe(&mut board.scene, runs, limits, units);
    board.scene
}

/// The limits as lines, their values apart even where they stand close.
fn draw_limits(board: &mut Board, limits: &[f64], units: UnitSystem, x: impl Fn(f64) -> f64, bottom: f64) {
    let named: Vec<(f64, String)> = limits
        .iter()
        .map(|limit| (x(*limit), show_computed(*limit, Kind::Velocity, units)))
        .collect();
    let half = |words: &str| width(words, LABEL, true) / 2.0;
    let close =
        matches!(&named[..], [(a, first), (b, second)] if (b - a).abs() < half(first) + half(second) + 3.0);
    // Of two, the greater stands to the right; of like ones the second.
    let swapped = matches!(&named[..], [(a, _), (b, _)] if a > b);
    for (index, ((at, words), (pattern, _))) in named.into_iter().zip(LINES).enumerate() {
        board.scene.line(
            &[[at, TOP - 3.0], [at, bottom]],
            Stroke::new(0.9, Tone::Ink, pattern),
        );
        let (anchor, shift) = match (close, (index == 1) != swapped) {
            (false, _) => (Anchor::Middle, 0.0),
            (true, true) => (Anchor::Start, 1.5),
            (true, false) => (Anchor::End, -1.5),
        };
        board.put(Text::new([at + shift, TOP - 9.0], anchor, LABEL, words).strong());
    }
}

fn describe(scene: &mut Scene, runs: &[RunVelocity], limits: &[f64], units: UnitSystem) {
    let shown = |si: f64| show_computed(si, Kind::Velocity, units);
    let each = runs
        .iter()
        .map(|(name, velocity)| format!("{name} {}", shown(*velocity)));
    let against: Vec<String> = limits
        .iter()
        .map(|limit| format!("limit {}", shown(*limit)))
        .collect();
    scene.alt = format!(
        "Velocity in each run ({}): {}.",
        if against.is_empty() {
            "no limit".to_owned()
        } else {
            against.join(", ")
        },
        each.collect::<Vec<_>>().join(", ")
    );
    let ranks = if limits.len() == 1 {
        ["limit", ""]
    } else if matches!(limits, [first, second] if first > second) {
        ["looser limit", "stricter limit"]
    } else {
        ["stricter limit", "looser limit"]
    };
    for ((limit, rank), (_, line)) in limits.iter().zip(ranks).zip(LINES) {
        scene
            .notes
            .push(format!("{line}: the {rank}, {}.", shown(*limit)));
    }
    for count in 0..=limits.len() {
        if limits.is_empty()
            || !runs
                .iter()
                .any(|(_, velocity)| passed(*velocity, limits) == count)
        {
            continue;
        }
        let (_, look) = bar_of(count, limits);
        scene.notes.push(match (count, limits.len()) {
            (0, 1) => format!("A {look} bar keeps within it."),
            (0, _) => format!("A {look} bar keeps within both."),
            (1, 1) => format!("A {look} bar passes it."),
            (1, _) => format!("A {look} bar passes the stricter."),
            _ => format!("A {look} bar passes both."),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::drawing::scene::Bounds;

    #[test]
    fn limits_however_close_keep_their_values_apart() {
        let runs = [("a run".to_owned(), 1.0), ("another".to_owned(), 1.6)];
        for limits in [
            &[1.524, 1.55][..],
            &[1.524, 1.524],
            &[1.524, 2.4384],
            &[1.524],
            &[],
        ] {
            let scene = draw(&runs, limits, UnitSystem::Us);
            let sheet = Bounds::at([0.0, 0.0], [scene.width, scene.height]);
            let boxes = scene.boxes();
            for (index, one) in boxes.iter().enumerate() {
                assert!(sheet.holds(one), "{one:?}");
                assert!(
                    boxes[index + 1..].iter().all(|other| !one.meets(other)),
                    "{limits:?}"
                );
            }
        }
    }

    #[test]
    fn the_caption_names_only_the_bars_that_are_drawn() {
        let notes =
            |velocity: f64| draw(&[("a run".to_owned(), velocity)], &[1.5, 2.4], UnitSystem::Si).notes;
        assert_eq!(notes(1.0)[2..], ["A pale bar keeps within both."]);
        assert_eq!(notes(1.5)[2..], ["A pale bar keeps within both."]);
        assert_eq!(notes(2.0)[2..], ["A hatched bar passes the stricter."]);
        assert_eq!(notes(3.0)[2..], ["A black bar passes both."]);
    }
}
