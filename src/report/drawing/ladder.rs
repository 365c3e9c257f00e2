//! The ladder of controls of each pump basin: what stands at which level, to scale, from intake to rim.

use crate::{
    figures::{Control, Ladder, Rung, ladders},
    ledger::Ledger,
    plan::Plan,
    quantity::{Unit, UnitSystem, show_level_in},
    report::drawing::{
        WIDTH,
        board::{Board, LABEL},
        name_of,
        placing::spread,
        scale::{levels_in, unit_of_levels},
        scene::{Anchor, Pattern, Scene, Stroke, Text, Tone},
        text::{LINE_HEIGHT, fit},
    },
    review::Review,
};

/// Ladders side by side on one sheet.
const ABREAST: usize = 3;
/// Rungs drawn of one ladder, at most.
const RUNGS: usize = 20;
/// Room for the name over a ladder, pt.
const TOP: f64 = 16.0;
/// Height of a ladder, at least, pt.
const LEAST: f64 = 96.0;
/// Between two labels, pt.
const LINE: f64 = LABEL * LINE_HEIGHT + 1.0;
/// From the pole to its labels, pt.
const LEADER: f64 = 26.0;

/// The ladders of the basins that pumps draw from, some to a sheet.
pub(super) fn sheets(plan: &Plan, ledger: &Ledger, review: &Review, units: UnitSystem) -> Vec<Scene> {
    let mut all = ladders(plan, ledger);
    all.retain(|ladder| ladder.rungs.len() > 1);
    all.chunks(ABREAST)
        .map(|some| sheet(plan, review, some, units))
        .collect()
}

fn sheet(plan: &Plan, review: &Review, ladders: &[Ladder], units: UnitSystem) -> Scene {
    let levels = ladders
        .iter()
        .flat_map(|ladder| &ladder.rungs)
        .map(|rung| rung.level);
    let unit = unit_of_levels(levels, units);
    let most = ladders.iter().map(|ladder| ladder.rungs.len().min(RUNGS)).max();
    let high = (most.unwrap_or(0) as f64 * LINE).max(LEAST);
    let title = "Controls of the pump basins".to_owned();
    let mut board = Board::new(WIDTH, TOP + high + 6.0, title);
    let wide = WIDTH / ABREAST as f64;
    let mut told = Vec::new();
    for (index, ladder) in ladders.iter().enumerate() {
        let column = Column {
            plan,
            review,
            ladder,
            unit,
            left: index as f64 * wide,
            wide,
            high,
        };
        told.push(column.draw(&mut board));
    }
    board.scene.alt = format!("Levels of the controls, from the lowest up: {}.", told.join("; "));
    board.scene.notes.push(format!("{}.", levels_in(unit)));
    board
        .scene
        .notes
        .push("Dashed: computed, not shown on the plan. Each basin has its own scale.".to_owned());
    if ladders.iter().any(|ladder| ladder.rungs.len() > RUNGS) {
        let note = format!("The lowest {RUNGS} levels of a basin are drawn.");
        board.scene.notes.push(note);
    }
    board.scene
}

/// One ladder in its column of the sheet.
struct Column<'a> {
    plan: &'a Plan,
    review: &'a Review,
    ladder: &'a Ladder,
    unit: &'a Unit,
    left: f64,
    wide: f64,
    high: f64,
}

impl Column<'_> {
    /// Draws the ladder; gives back what it shows in words.
    fn draw(&self, board: &mut Board) -> String {
        let rungs = &self.ladder.rungs[..self.ladder.rungs.len().min(RUNGS)];
        let (low, top) = (rungs[0].level, rungs[rungs.len() - 1].level);
        let (from, to) = (TOP + LINE / 2.0, TOP + self.high - LINE / 2.0);
        let reach = (top - low).max(1e-9);
        let y = |level: f64| to - (level - low) / reach * (to - from);
        let pole = self.left + 10.0;
        let name = self.basin_name();
        let title = fit(&name, LABEL, true, self.wide - 12.0);
        board.put(Text::new([self.left + 2.0, TOP / 2.0], Anchor::Start, LABEL, title).strong());
        let ink = Stroke::solid(0.9, Tone::Ink);
        board
            .scene
            .line(&[[pole, y(low) + 2.0], [pole, y(top) - 2.0]], ink);
        // The higher of two at one level is labelled above.
        let wanted: Vec<f64> = rungs.iter().rev().map(|rung| y(rung.level)).collect();
        let placed = spread(&wanted, LINE, TOP, TOP + self.high);
        let mut told = Vec::new();
        for (rung, middle) in rungs.iter().rev().zip(placed) {
            let at = y(rung.level);
            let words = self.words(rung);
            let (pattern, tone) = match rung.place {
                Some(_) => (Pattern::Solid, Tone::Ink),
                None => (Pattern::Dashed, Tone::Ink),
            };
            let stroke = Stroke::new(0.6, tone, pattern);
            board.scene.line(
                &[[pole - 4.0, at], [pole + 6.0, at], [pole + LEADER - 2.0, middle]],
                stroke,
            );
            let room = self.wide - LEADER - 14.0;
            board.put_in([pole + LEADER, middle], Anchor::Start, &words, room);
            told.push(words);
        }
        told.reverse();
        format!("{name}: {}", told.join(", "))
    }

    fn basin_name(&self) -> String {
        let mut basins = self.plan.basins.iter();
        let found = basins.find(|(_, basin)| basin.place == self.ladder.basin);
        found.map_or_else(String::new, |(id, basin)| name_of(id, &basin.name).to_owned())
    }

    /// What stands there, its level, and the finding that points at it.
    fn words(&self, rung: &Rung) -> String {
        let level = show_level_in(rung.level, self.unit);
        let pump = self
            .pump_name(rung)
            .map_or_else(String::new, |name| format!(" ({name})"));
        let finding = self
            .review
            .findings
            .iter()
            .find(|finding| Some(&finding.place) == rung.place.as_ref());
        let finding = finding.map_or_else(String::new, |finding| format!(", finding {}", finding.number));
        format!("{level} {}{pump}{finding}", name(rung.control))
    }

    /// The name of a rung's pump, where several draw from the basin.
    fn pump_name(&self, rung: &Rung) -> Option<&str> {
        let pump = rung.pump.as_ref()?;
        let others = self
            .ladder
            .rungs
            .iter()
            .any(|other| other.pump.as_ref().is_some_and(|other| other != pump));
        let mut pumps = self.plan.pumps.iter();
        let (id, named) = pumps.find(|(_, named)| named.place == *pump)?;
        others.then(|| name_of(id, &named.name))
    }
}

/// What a level is called on the drawing.
const fn name(control: Control) -> &'static str {
    match control {
        Control::Intake => "intake",
        Control::Cover => "intake covered",
        Control::CutOff => "low-level cut-off",
        Control::LowestOrdinary => "lowest at start-up",
        Control::MakeUp => "make-up",
        Control::Still => "still water",
        Control::SkimmerLip => "skimmer lip",
        Control::Overflow => "overflow",
        Control::Rim => "rim",
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::sheets;
    use crate::{
        engine::{Engine, ReviewOptions, SOUND},
        quantity::UnitSystem,
        report::drawing::{Item, Scene},
    };

    fn drawn(more: &str) -> Scene {
        let (mut engine, loaded) = Engine::new();
        loaded.unwrap();
        let plan = SOUND.replacen("\"pumps\": {", &format!("\"pumps\": {{{more}"), 1);
        let source = engine.sources.add("plan", &plan);
        let opened = engine.open(source, Vec::new()).unwrap();
        let review = engine.review(&opened, ReviewOptions::default());
        let drawn = sheets(&opened.plan, &opened.ledger, &review, UnitSystem::Us);
        drawn.into_iter().next().unwrap()
    }

    /// The courtyard's pond: rim −6 in, overflow −10, still and make-up −12, cut-off −30 where the intake at −36 is covered.
    #[test]
    fn every_control_is_labelled_with_its_level_from_the_rim_down() {
        let scene = drawn("");
        let texts: Vec<&str> = scene.texts().map(|text| text.text.as_str()).collect();
        assert_eq!(
            texts[..5],
            [
                "koi pond",
                "\u{2212}6 in rim",
                "\u{2212}10 in overflow",
                "\u{2212}12 in still water",
                "\u{2212}12 in make-up"
            ]
        );
        assert_eq!(
            texts[6..],
            [
                "\u{2212}30 in low-level cut-off",
                "\u{2212}30 in intake covered",
                "\u{2212}36 in intake"
            ]
        );
        let heights: Vec<f64> = scene.texts().map(|text| text.at[1]).collect();
        assert!(heights.is_sorted(), "{heights:?}");
    }

    /// The levels that the plan gives lie apart on the pole as they do in the basin.
    #[test]
    fn distances_on_the_pole_are_those_of_the_levels() {
        let scene = drawn("");
        let rungs: Vec<f64> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Path { points, .. } if points.len() == 3 => Some(points[0][1]),
                _ => None,
            })
            .collect();
        let (rim, intake) = (rungs[0], rungs[rungs.len() - 1]);
        // From the rim, in: overflow, still water, make-up; cut-off and cover; intake.
        let below = [(1, 4.0), (2, 6.0), (3, 6.0), (5, 24.0), (6, 24.0), (7, 30.0)];
        for (rung, inches) in below {
            let share = (rungs[rung] - rim) / (intake - rim);
            assert!((share - inches / 30.0).abs() < 1e-3, "{rung}: {share}");
        }
    }

    #[test]
    fn labels_never_overlap_however_many_controls_stand_close() {
        let pump = |index: i32| {
            format!(
                "\"p{index}\": {{ \"basin\": \"pond\", \"intake\": \"-3{index} in\", \"low_level_cut_off\": \"-2{index} in\" }}, "
            )
        };
        let pumps: Vec<String> = (0..5).map(pump).collect();
        let scene = drawn(&pumps.concat());
        let boxes = scene.boxes();
        for (index, one) in boxes.iter().enumerate() {
            assert!(one.bottom <= scene.height && one.right <= scene.width);
            assert!(boxes[index + 1..].iter().all(|other| !one.meets(other)));
        }
    }
}
