//! Pump and system curve: what the pump gives, what the system asks, and where they meet.

mod data;
mod words;

use crate::{
    ledger::Ledger,
    plan::Plan,
    quantity::{Kind, Unit, UnitSystem, natural_unit},
    report::drawing::{
        WIDTH,
        board::{Board, LABEL},
        name_of,
        scale::{graduation, round_step},
        scene::{Anchor, Bounds, Fill, Pattern, Point, Scene, Stroke, Text, Tone},
    },
};
use data::Data;

const HEIGHT: f64 = 216.0;
const FRAME: Bounds = Bounds {
    left: 44.0,
    top: 16.0,
    right: WIDTH - 14.0,
    bottom: HEIGHT - 30.0,
};
const CURVE: Stroke = Stroke::solid(1.5, Tone::Ink);
const SYSTEM: Stroke = Stroke::new(1.3, Tone::Accent, Pattern::Dashed);
const STATED: Stroke = Stroke::new(0.8, Tone::Soft, Pattern::DashDotted);
const FOULED: Stroke = Stroke::new(1.3, Tone::Accent, Pattern::Dotted);
const GUIDE: Stroke = Stroke::solid(0.4, Tone::Ink);
/// Radius of the rings of the plan's points and, about, of all other marks, pt.
const RING: f64 = 2.0;
const MARK: f64 = 3.2;
const STEPS: u32 = 64;
/// Share of its best-efficiency flow that a pump should run at (ANSI/HI 9.6.3).
const BEST: [f64; 2] = [0.7, 1.2];

/// Axes from zero: value to paper.
struct Axis {
    unit: &'static Unit,
    step: f64,
    /// End of the axis in its unit.
    end: f64,
}

/// A chart for each pump whose curve is shown.
pub(super) fn curves(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<Scene> {
    let charts = plan.pumps.iter().filter_map(|(id, pump)| {
        let data = Data::of(ledger, pump)?;
        Some(draw(name_of(id, &pump.name), &data, units))
    });
    charts.collect()
}

impl Axis {
    fn new(most: f64, kind: Kind, units: UnitSystem, ticks: f64) -> Self {
        let unit = natural_unit(most, kind, units);
        let most = unit.from_si(most).max(1e-9);
        let step = round_step(most / ticks);
        let end = ((most * 1.04 / step).ceil() * step).max(step);
        Self { unit, step, end }
    }

    fn share(&self, si: f64) -> f64 {
        self.unit.from_si(si) / self.end
    }

    /// Graduations with their share of the axis.
    fn ticks(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let count = (self.end / self.step).round() as u32;
        (0..=count).map(|tick| {
            let value = f64::from(tick) * self.step;
            (value, value / self.end)
        })
    }
}

/// A chart being drawn.
struct PumpChart {
    board: Board,
    flow: Axis,
    head: Axis,
}

fn draw(name: &str, data: &Data, units: UnitSystem) -> Scene {
    let most = |pick: fn(&(f64, f64)) -> f64| {
        let all = data.curve.iter().chain(&data.duty).map(pick);
        all.fold(0.0, f64::max)
    };
    let flow = most(|(flow, _)| *flow).max(data.stated.unwrap_or(0.0));
    let mut sheet = PumpChart {
        board: Board::new(WIDTH, HEIGHT, format!("Pump and system curve: {name}")),
        flow: Axis::new(flow, Kind::Flow, units, 8.0),
        head: Axis::new(most(|(_, head)| *head), Kind::Length, units, 6.0),
    };
    sheet.best(data);
    sheet.axes();
    sheet.guides(data);
    sheet.curves(data);
    sheet.marks(data);
    sheet.names(data);
    sheet.describe(name, data);
    sheet.board.scene
}

impl PumpChart {
    fn at(&self, (flow, head): (f64, f64)) -> Point {
        [
            FRAME.left + self.flow.share(flow) * (FRAME.right - FRAME.left),
            FRAME.bottom - self.head.share(head) * (FRAME.bottom - FRAME.top),
        ]
    }

    /// Where the flows begin and end at which the pump runs near its best, as far as the axis reaches.
    fn band(&self, data: &Data) -> Option<[f64; 2]> {
        let best = data.best?;
        let end = self.flow.unit.to_si(self.flow.end);
        let [low, high] = BEST.map(|share| self.at(((best * share).min(end), 0.0))[0]);
        (high - low > 1.0).then_some([low, high])
    }

    /// The same as a pale band.
    fn best(&mut self, data: &Data) {
        let Some([low, high]) = self.band(data) else {
            return;
        };
        let corners = [
            [low, FRAME.top],
            [high, FRAME.top],
            [high, FRAME.bottom],
            [low, FRAME.bottom],
        ];
        self.board.scene.area(&corners, Fill::Water, None);
    }

    fn axes(&mut self) {
        let hair = Stroke::solid(0.3, Tone::Faint);
        let flows: Vec<_> = self.flow.ticks().collect();
        for (value, share) in flows {
            let x = FRAME.left + share * (FRAME.right - FRAME.left);
            self.board
                .scene
                .line(&[[x, FRAME.top], [x, FRAME.bottom + 3.0]], hair);
            let words = graduation(value, self.flow.step);
            self.board
                .put(Text::new([x, FRAME.bottom + 9.0], Anchor::Middle, LABEL, words));
        }
        let heads: Vec<_> = self.head.ticks().collect();
        for (value, share) in heads {
            let y = FRAME.bottom - share * (FRAME.bottom - FRAME.top);
            self.board
                .scene
                .line(&[[FRAME.left - 3.0, y], [FRAME.right, y]], hair);
            let words = graduation(value, self.head.step);
            self.board
                .put(Text::new([FRAME.left - 5.0, y], Anchor::End, LABEL, words));
        }
        let corner = [FRAME.left, FRAME.bottom];
        let axis = Stroke::solid(0.8, Tone::Ink);
        self.board.scene.line(
            &[[FRAME.left, FRAME.top], corner, [FRAME.right, FRAME.bottom]],
            axis,
        );
        let middle = f64::midpoint(FRAME.left, FRAME.right);
        let words = format!("flow, {}", self.flow.unit.symbol);
        self.board
            .put(Text::new([middle, HEIGHT - 6.0], Anchor::Middle, LABEL, words));
        let words = format!("head, {}", self.head.unit.symbol);
        self.board
            .put(Text::new([FRAME.left - 20.0, 5.0], Anchor::Start, LABEL, words));
    }

    /// What the system asks at a flow, approximately.
    fn system(data: &Data, flow: f64) -> Option<f64> {
        Self::through(data.duty?, data.lift?, flow)
    }

    /// The parabola from the lift through a point.
    fn through((duty_flow, duty_head): (f64, f64), lift: f64, flow: f64) -> Option<f64> {
        let head = lift + (duty_head - lift) * (flow / duty_flow).powi(2);
        head.is_finite().then_some(head)
    }

    fn system_points(&self, ask: impl Fn(f64) -> Option<f64>) -> Vec<Point> {
        let end = self.flow.unit.to_si(self.flow.end);
        let top = self.head.unit.to_si(self.head.end);
        (0..=STEPS)
            .filter_map(|step| {
                let flow = end * f64::from(step) / f64::from(STEPS);
                let head = ask(flow)?;
                (head <= top).then(|| self.at((flow, head)))
            })
            .collect()
    }

    /// What the system asks over all flows, where it can be drawn.
    fn system_line(&self, data: &Data) -> Vec<Point> {
        self.system_points(|flow| Self::system(data, flow))
    }

    /// The same once fouled.
    fn fouled_line(&self, data: &Data) -> Vec<Point> {
        let known = data.fouled.zip(data.lift);
        self.system_points(|flow| known.and_then(|(fouled, lift)| Self::through(fouled, lift, flow)))
    }

    fn pump_line(&self, data: &Data) -> Vec<Point> {
        data.curve.iter().map(|&point| self.at(point)).collect()
    }

    fn curves(&mut self, data: &Data) {
        let lines = [
            (self.pump_line(data), CURVE),
            (self.system_line(data), SYSTEM),
            (self.fouled_line(data), FOULED),
        ];
        for (points, stroke) in lines.into_iter().filter(|(points, _)| points.len() > 1) {
            self.board.scene.line(&points, stroke);
            self.board.claim_along(&points);
        }
    }

    /// The line of the stated flow and the guides of the operating point.
    fn guides(&mut self, data: &Data) {
        let mut lines = Vec::new();
        if let Some(stated) = data.stated {
            let [x, _] = self.at((stated, 0.0));
            lines.push((vec![[x, FRAME.top], [x, FRAME.bottom]], STATED));
        }
        if let Some(at) = data.duty.map(|duty| self.at(duty)) {
            lines.push((vec![[FRAME.left, at[1]], at, [at[0], FRAME.bottom]], GUIDE));
        }
        for (points, stroke) in lines {
            self.board.scene.line(&points, stroke);
            self.board.claim_along(&points);
        }
    }

    /// The plan's points as rings, the stated flow as a diamond, the fouled point as a square, the operating point as
    /// a dot: each tells apart without colour.
    fn marks(&mut self, data: &Data) {
        let ink = Stroke::solid(1.0, Tone::Ink);
        for &point in &data.points {
            let at = self.at(point);
            self.board
                .disc(at, RING, Stroke::solid(0.8, Tone::Ink), Fill::Paper);
            self.board.claim_along(&[at]);
            self.board.marks.push((at, RING));
        }
        if let Some([x, y]) = self.fouled_at(data) {
            let r = MARK - 0.6;
            let square = [[x - r, y - r], [x + r, y - r], [x + r, y + r], [x - r, y + r]];
            self.mark(&square, Fill::Paper, ink);
            self.board.marks.push(([x, y], MARK));
        }
        if let Some([x, y]) = self.stated_at(data) {
            let r = MARK + 1.0;
            let diamond = [[x - r, y], [x, y - r], [x + r, y], [x, y + r]];
            self.mark(&diamond, Fill::Paper, ink);
            self.board.marks.push(([x, y], r));
        }
        if let Some(at) = data.duty.map(|duty| self.at(duty)) {
            self.board.disc(at, MARK, ink, Fill::Ink);
            self.board.marks.push((at, MARK));
            self.board
                .taken
                .claim(Bounds::at([at[0] - MARK, at[1] - MARK], [2.0 * MARK; 2]));
        }
    }

    fn mark(&mut self, corners: &[Point; 4], fill: Fill, stroke: Stroke) {
        self.board.scene.area(corners, fill, Some(stroke));
        self.board.claim_along(corners);
    }

    /// Where the fouled system meets the pump curve, where it is drawn.
    fn fouled_at(&self, data: &Data) -> Option<Point> {
        data.fouled.zip(data.lift).map(|(fouled, _)| self.at(fouled))
    }

    /// The stated flow on the pump curve.
    fn stated_at(&self, data: &Data) -> Option<Point> {
        let stated = data.stated?;
        data.head_at(stated).map(|head| self.at((stated, head)))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::report::drawing::Item;

    fn data() -> Data {
        Data {
            curve: vec![(0.0, 2.5), (5e-4, 1.9), (9e-4, 0.6)],
            points: vec![(0.0, 2.5), (5e-4, 1.9), (9e-4, 0.6)],
            duty: Some((6e-4, 1.6)),
            lift: Some(0.6),
            stated: Some(7e-4),
            best: Some(6.5e-4),
            fouled: Some((4.5e-4, 2.0)),
            count: 1,
        }
    }

    #[test]
    fn the_system_curve_starts_at_the_lift_and_passes_the_operating_point() {
        assert!((PumpChart::system(&data(), 0.0).unwrap() - 0.6).abs() < 1e-12);
        assert!((PumpChart::system(&data(), 6e-4).unwrap() - 1.6).abs() < 1e-12);
    }

    #[test]
    fn all_that_is_drawn_is_named_and_no_two_curves_share_a_pattern() {
        let scene = draw("pump", &data(), UnitSystem::Si);
        let texts: Vec<&str> = scene.texts().map(|text| text.text.as_str()).collect();
        let names = [
            "operating point",
            "once fouled",
            "stated flow",
            "pump curve",
            "system curve",
            "system curve, fouled",
            "near its best flow",
        ];
        for name in names {
            assert!(texts.iter().any(|text| text.starts_with(name)), "{name}");
        }
        let curves = [CURVE, SYSTEM, STATED, FOULED];
        for (index, one) in curves.iter().enumerate() {
            assert!(
                curves[index + 1..]
                    .iter()
                    .all(|other| one.pattern != other.pattern)
            );
        }
    }

    #[test]
    fn the_caption_tells_no_more_than_is_drawn() {
        let bare = Data {
            duty: None,
            lift: None,
            stated: None,
            best: None,
            fouled: None,
            ..data()
        };
        let notes = draw("pump", &bare, UnitSystem::Us).notes.join(" ");
        for word in ["Dashed", "Dotted", "Dash-dotted", "band", "dot", "diamond"] {
            assert!(!notes.contains(word), "{word} in {notes}");
        }
        let far = Data {
            stated: Some(5e-3),
            best: Some(1.0),
            ..data()
        };
        let notes = draw("pump", &far, UnitSystem::Us).notes.join(" ");
        assert!(notes.contains("outside the pump’s curve") && !notes.contains("diamond"));
        assert!(!notes.contains("band"));
    }

    #[test]
    fn heads_are_told_in_the_unit_of_their_axis() {
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let scene = draw("pump", &data(), units);
            let mut words = scene.texts().map(|text| &text.text);
            let axis = words.find_map(|text| text.strip_prefix("head, ")).unwrap();
            let mut words = scene.texts().map(|text| &text.text);
            let point = words.find(|text| text.starts_with("operating")).unwrap();
            assert!(point.ends_with(&format!(" {axis}")), "{point}");
        }
    }

    /// The ends of the leader of words: the one at its mark and the one at the words.
    fn leader_to(scene: &Scene, words: &str) -> [Point; 2] {
        let before_words = scene.items.windows(2).find_map(|pair| match pair {
            [Item::Path { points, .. }, Item::Text(text)] if text.text.starts_with(words) => {
                points.as_slice().try_into().ok()
            }
            _ => None,
        });
        before_words.unwrap()
    }

    #[test]
    fn no_leader_ends_at_the_dot_but_the_one_of_the_operating_point() {
        let (mut engine, cards) = crate::engine::Engine::new();
        cards.unwrap();
        let text = include_str!("../../../../examples/two-ponds.jsonc");
        let source = engine.sources.add("plan.jsonc", text);
        let opened = engine.open(source, Vec::new()).unwrap();
        // The first pump states a flow that is nearly the one it runs at.
        let scene = &curves(&opened.plan, &opened.ledger, UnitSystem::Us)[0];
        let [x, y] = scene
            .items
            .iter()
            .find_map(|item| match item {
                Item::Disc {
                    at,
                    fill: Some(Fill::Ink),
                    ..
                } => Some(*at),
                _ => None,
            })
            .unwrap();
        let dot = Bounds::at([x - 2.5, y - 2.5], [5.0, 5.0]);
        for words in ["stated flow", "once fouled"] {
            assert!(!dot.crossed_by(&leader_to(scene, words)), "{words}");
        }
    }

    #[test]
    fn no_text_lies_on_another_or_leaves_the_sheet() {
        for stated in [None, Some(6e-4), Some(6.1e-4), Some(3e-3), Some(1e-5)] {
            for units in [UnitSystem::Us, UnitSystem::Si] {
                let scene = draw("pump", &Data { stated, ..data() }, units);
                let sheet = Bounds::at([0.0, 0.0], [scene.width, scene.height]);
                let boxes = scene.boxes();
                for (index, one) in boxes.iter().enumerate() {
                    assert!(sheet.holds(one), "{one:?}");
                    assert!(boxes[index + 1..].iter().all(|other| !one.meets(other)));
                }
            }
        }
    }
}
