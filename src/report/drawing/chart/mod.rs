//! Pump and system curve: what the pump gives, what the system asks, and where they meet.

mod data;

use super::{
    WIDTH,
    board::{Board, LABEL},
    name_of,
    scale::{graduation, round_step},
    scene::{Anchor, Bounds, Fill, Pattern, Point, Scene, Stroke, Text, Tone},
    text::{fit, width},
};
use crate::{
    figures::Ledger,
    plan::Plan,
    quantity::{Kind, Unit, UnitSystem, natural_unit, show, show_pair},
};
use data::Data;

const HEIGHT: f64 = 216.0;
const FRAME: Bounds = Bounds {
    left: 44.0,
    top: 16.0,
    right: WIDTH - 8.0,
    bottom: HEIGHT - 30.0,
};
const CURVE: Stroke = Stroke::solid(1.5, Tone::Ink);
const SYSTEM: Stroke = Stroke::new(1.3, Tone::Accent, Pattern::Dashed);
const STATED: Stroke = Stroke::new(0.8, Tone::Soft, Pattern::DashDotted);
const FOULED: Stroke = Stroke::new(1.1, Tone::Accent, Pattern::Dotted);
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
        let data = Data::of(plan, ledger, id, pump)?;
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
struct Sheet {
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
    let mut sheet = Sheet {
        board: Board::new(WIDTH, HEIGHT, format!("Pump and system curve: {name}")),
        flow: Axis::new(flow, Kind::Flow, units, 8.0),
        head: Axis::new(most(|(_, head)| *head), Kind::Length, units, 6.0),
    };
    sheet.best(data);
    sheet.axes();
    sheet.block_curves(data);
    sheet.curves(data);
    sheet.stated(data, units);
    sheet.duty(data, units);
    sheet.describe(name, data, units);
    sheet.board.scene
}

impl Sheet {
    fn at(&self, (flow, head): (f64, f64)) -> Point {
        [
            FRAME.left + self.flow.share(flow) * (FRAME.right - FRAME.left),
            FRAME.bottom - self.head.share(head) * (FRAME.bottom - FRAME.top),
        ]
    }

    fn put_near(&mut self, point: Point, words: &str) {
        self.board.put_near(point, words, &FRAME);
    }

    /// The flows at which the pump runs near its best, as a pale band.
    fn best(&mut self, data: &Data) {
        let Some(best) = data.best else { return };
        let end = self.flow.unit.to_si(self.flow.end);
        let [low, high] = BEST.map(|share| self.at(((best * share).min(end), 0.0))[0]);
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

    /// Keeps labels off the curves.
    fn block_curves(&mut self, data: &Data) {
        let pump: Vec<Point> = data.curve.iter().map(|&point| self.at(point)).collect();
        for points in [pump, self.system_points(|flow| Self::system(data, flow))] {
            for pair in points.windows(2) {
                for [x, y] in [
                    pair[0],
                    [
                        f64::midpoint(pair[0][0], pair[1][0]),
                        f64::midpoint(pair[0][1], pair[1][1]),
                    ],
                ] {
                    self.board.taken.claim(Bounds::at([x - 1.5, y - 1.5], [3.0, 3.0]));
                }
            }
        }
    }

    fn stated(&mut self, data: &Data, units: UnitSystem) {
        let Some(stated) = data.stated else { return };
        let [x, _] = self.at((stated, 0.0));
        self.board
            .scene
            .line(&[[x, FRAME.top], [x, FRAME.bottom]], STATED);
        self.board
            .taken
            .claim(Bounds::at([x - 1.0, FRAME.top], [2.0, FRAME.bottom - FRAME.top]));
        if let Some([cx, cy]) = data.head_at(stated).map(|head| self.at((stated, head))) {
            let diamond = [[cx - 4.0, cy], [cx, cy - 4.0], [cx + 4.0, cy], [cx, cy + 4.0]];
            self.board
                .scene
                .area(&diamond, Fill::Paper, Some(Stroke::solid(1.0, Tone::Ink)));
        }
        let words = format!("claimed flow {}", show(stated, Kind::Flow, units));
        let half = width(&words, LABEL, false) / 2.0;
        self.put_near([x + half + 5.0, FRAME.top + 8.0], &words);
    }

    fn curves(&mut self, data: &Data) {
        let points: Vec<Point> = data.curve.iter().map(|&point| self.at(point)).collect();
        self.board.scene.line(&points, CURVE);
        for &point in &data.points {
            let at = self.at(point);
            self.board
                .disc(at, 2.0, Stroke::solid(0.8, Tone::Ink), Fill::Paper);
        }
        if let Some([x, y]) = points.get(points.len() / 5).copied() {
            self.put_near([x + 20.0, y - 12.0], "pump curve");
        }
        let system = self.system_points(|flow| Self::system(data, flow));
        if system.len() > 1 {
            self.board.scene.line(&system, SYSTEM);
            if let Some([x, y]) = system.get(system.len() / 4).copied() {
                self.put_near([x, y + 12.0], "system curve, approximate");
            }
        }
        if let Some((fouled, lift)) = data.fouled.zip(data.lift) {
            let points = self.system_points(|flow| Self::through(fouled, lift, flow));
            self.board.scene.line(&points, FOULED);
            // Beyond the operating point, clear of its guides.
            if let Some([x, y]) = points.get(points.len() * 9 / 10).copied() {
                self.put_near([x - 24.0, y - 10.0], "fouled");
            }
            let at = self.at(fouled);
            self.board
                .disc(at, 2.6, Stroke::solid(1.0, Tone::Accent), Fill::Paper);
        }
    }

    fn duty(&mut self, data: &Data, units: UnitSystem) {
        let Some((flow, head)) = data.duty else { return };
        let at = self.at((flow, head));
        let hair = Stroke::new(0.5, Tone::Ink, Pattern::Dotted);
        self.board
            .scene
            .line(&[[FRAME.left, at[1]], at, [at[0], FRAME.bottom]], hair);
        self.board.disc(at, 3.2, Stroke::solid(1.0, Tone::Ink), Fill::Ink);
        let words = format!(
            "operating point {} at {}",
            show(flow, Kind::Flow, units),
            show(head, Kind::Length, units)
        );
        self.put_near([at[0] + 10.0, at[1] - 16.0], &words);
    }

    fn describe(&mut self, name: &str, data: &Data, units: UnitSystem) {
        let flow = |si| show(si, Kind::Flow, units);
        let head = |si| show(si, Kind::Length, units);
        let name = fit(name, LABEL, false, 400.0);
        let mut said = vec![format!("Head against flow of the {name}.")];
        if let (Some(first), Some(last)) = (data.points.first(), data.points.last()) {
            said.push(format!(
                "Its curve falls from {} at {} to {} at {}.",
                head(first.1),
                flow(first.0),
                head(last.1),
                flow(last.0)
            ));
        }
        match data.duty {
            Some((q, h)) => said.push(format!("It runs at {} and {}.", flow(q), head(h))),
            None => said.push("No operating point was found on it.".to_owned()),
        }
        if let Some(stated) = data.stated {
            said.push(format!("The plan counts on {}.", flow(stated)));
            let told = data.head_at(stated).zip(Self::system(data, stated));
            if let Some((given, asked)) = told {
                let (given, asked) = show_pair(given, asked, Kind::Length, units);
                self.board.scene.notes.push(format!(
                    "At the claimed flow (diamond) the pump gives {given} where the system asks {asked}."
                ));
            }
        }
        if let Some(best) = data.best {
            let note = format!(
                "The pale band is 70 to 120 % of the best-efficiency flow of {}.",
                flow(best)
            );
            said.push(note.clone());
            self.board.scene.notes.push(note);
        }
        if let Some((q, h)) = data.fouled {
            said.push(format!("Fouled, it runs at {} and {}.", flow(q), head(h)));
        }
        self.board.scene.alt = said.join(" ");
        self.board
            .scene
            .notes
            .push("The pump curve passes through the plan's points (rings) by monotone cubics.".to_owned());
        if let Some(lift) = data.lift {
            self.board.scene.notes.push(format!(
                "The system curve is an approximation through the operating point, which was solved in full: \
                 h = h_s + (H − h_s)·(Q/Q_0)², with the lift h_s = {} to the highest outlet.",
                head(lift)
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn data() -> Data {
        Data {
            curve: vec![(0.0, 2.5), (5e-4, 1.9), (9e-4, 0.6)],
            points: vec![(0.0, 2.5), (5e-4, 1.9), (9e-4, 0.6)],
            duty: Some((6e-4, 1.6)),
            lift: Some(0.6),
            stated: Some(7e-4),
            best: Some(6.5e-4),
            fouled: Some((4.5e-4, 2.0)),
        }
    }

    #[test]
    fn the_system_curve_starts_at_the_lift_and_passes_the_operating_point() {
        assert!((Sheet::system(&data(), 0.0).unwrap() - 0.6).abs() < 1e-12);
        assert!((Sheet::system(&data(), 6e-4).unwrap() - 1.6).abs() < 1e-12);
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
