//! What a pump chart says: the names on it and its caption, in the units of its axes.

use super::{
    super::{
        board::LABEL,
        scene::{Bounds, Point},
        text::{fit, width},
    },
    Data, FRAME, MARK, PumpChart,
};
use crate::quantity::{show_computed_in, show_in};

/// Digits of a value of the plan's own, at least.
const DIGITS: usize = 3;

impl PumpChart {
    /// Names of all that is drawn, the weightiest first, each led to what it names.
    pub(super) fn names(&mut self, data: &Data) {
        if let Some(duty) = data.duty {
            let words = format!("operating point {}", self.flow_at_head(duty));
            self.board.put_led(&[self.at(duty)], MARK, &words, &FRAME);
        }
        if let Some((at, fouled)) = self.fouled_at(data).zip(data.fouled) {
            let words = format!("once fouled {}", self.flow_at_head(fouled));
            self.board.put_led(&[at], MARK, &words, &FRAME);
        }
        if let Some(stated) = data.stated {
            let words = format!("stated flow {}", self.flow_given(stated));
            let [x, _] = self.at((stated, 0.0));
            let at = self.stated_at(data).unwrap_or([x, FRAME.top + 14.0]);
            self.board.put_led(&[at], MARK + 1.0, &words, &FRAME);
        }
        // Each curve where it stands apart from the others.
        let curves = [
            (
                self.pump_line(data),
                [0.2, 0.3, 0.4, 0.1, 0.9, 0.5, 0.6],
                "pump curve",
            ),
            (
                self.system_line(data),
                [0.85, 0.95, 0.75, 0.98, 0.65, 0.55, 0.4],
                "system curve",
            ),
            (
                self.fouled_line(data),
                [0.93, 0.98, 0.88, 0.8, 0.7, 0.6, 0.5],
                "system curve, fouled",
            ),
        ];
        for (points, shares, words) in curves {
            let of = |share: f64| points.get((points.len() as f64 * share) as usize).copied();
            let ends: Vec<Point> = shares.into_iter().filter_map(of).collect();
            self.board.put_led(&ends, 0.8, words, &FRAME);
        }
        self.name_band(data);
    }

    /// The band's name within it, else led to it.
    fn name_band(&mut self, data: &Data) {
        const NAME: &str = "near its best flow";
        let Some([left, right]) = self.band(data) else {
            return;
        };
        let foot = [f64::midpoint(left, right), FRAME.bottom - 8.0];
        if right - left > width(NAME, LABEL, false) + 6.0 {
            let within = Bounds { left, right, ..FRAME };
            self.board.put_near(foot, NAME, &within);
        } else {
            self.board.put_led(&[foot], 0.8, NAME, &FRAME);
        }
    }

    /// A flow of the plan's own, with the digits it was written with.
    fn flow_given(&self, flow: f64) -> String {
        show_in(flow, self.flow.unit, DIGITS)
    }

    /// A point of the plan's own.
    fn given(&self, (flow, head): (f64, f64)) -> String {
        let head = show_in(head, self.head.unit, DIGITS);
        format!("{} at {head}", self.flow_given(flow))
    }

    /// A computed point.
    fn flow_at_head(&self, (flow, head): (f64, f64)) -> String {
        let flow = show_computed_in(flow, self.flow.unit);
        format!("{flow} at {}", self.head_text(head))
    }

    fn head_text(&self, head: f64) -> String {
        show_computed_in(head, self.head.unit)
    }

    /// What is drawn, in words; everything in the units of the axes.
    pub(super) fn describe(&mut self, name: &str, data: &Data) {
        let name = fit(name, LABEL, false, 400.0);
        let mut said = vec![format!("Head against flow of the {name}.")];
        if let (Some(&first), Some(&last)) = (data.points.first(), data.points.last()) {
            said.push(format!(
                "Its curve falls from {} to {}.",
                self.given(first),
                self.given(last)
            ));
        }
        said.push(match data.duty {
            Some(duty) => format!("It runs at {}.", self.flow_at_head(duty)),
            None => "No operating point was found on it.".to_owned(),
        });
        if let Some(stated) = data.stated {
            said.push(format!("The plan counts on {}.", self.flow_given(stated)));
            said.push(self.stated_told(data, stated));
        }
        if let Some(fouled) = data.fouled {
            said.push(format!("Fouled, it runs at {}.", self.flow_at_head(fouled)));
        }
        let notes = self.notes(data);
        said.extend(
            self.band(data)
                .and(notes.iter().find(|note| note.starts_with("Pale")).cloned()),
        );
        self.board.scene.alt = said.join(" ");
        self.board.scene.notes = notes;
    }

    /// The caption: every line and mark that is drawn, and no other.
    fn notes(&self, data: &Data) -> Vec<String> {
        let together = match data.count {
            1 => String::new(),
            count => format!(", for {count} pumps together"),
        };
        let mut notes = vec![format!("Rings: the plan’s points of the pump curve{together}.")];
        match (data.duty, data.lift) {
            (None, _) => notes.push("No operating point was found on it.".to_owned()),
            (Some(_), None) => notes.push("Dot: the operating point; thin lines lead to its flow and head.".to_owned()),
            (Some(_), Some(lift)) => notes.push(format!(
                "Dashed: the head the system requires, rising from its lift of {} with the square of the flow, through the \
                 operating point (dot), which was solved in full; thin lines lead to its flow and head.",
                self.head_text(lift)
            )),
        }
        if self.fouled_at(data).is_some() {
            notes.push("Dotted: the same with lines and beds fouled (square).".to_owned());
        }
        notes.extend(data.stated.map(|stated| self.stated_told(data, stated)));
        if let (Some(best), Some(_)) = (data.best, self.band(data)) {
            notes.push(format!(
                "Pale band: 70 to 120 % of the best-efficiency flow, {}.",
                self.flow_given(best)
            ));
        }
        notes
    }

    /// What the pump gives and the system asks at the stated flow.
    fn stated_told(&self, data: &Data, stated: f64) -> String {
        const LINE: &str = "Dash-dotted: the stated flow";
        match (data.head_at(stated), Self::system(data, stated)) {
            (Some(given), Some(required)) => {
                let [given, required] = self.heads_apart([given, required]);
                format!("{LINE}; there (diamond) the pump gives {given}, the system requires {required}.")
            }
            (Some(given), None) => {
                let given = self.head_text(given);
                format!("{LINE}; there (diamond) the pump gives {given}.")
            }
            (None, _) => format!("{LINE}, outside the pump’s curve."),
        }
    }

    /// Two heads with digits enough to tell them apart.
    fn heads_apart(&self, heads: [f64; 2]) -> [String; 2] {
        let shown = |digits| heads.map(|head| show_in(head, self.head.unit, digits));
        let apart = (DIGITS..DIGITS + 3).map(shown).find(|[one, other]| one != other);
        apart.unwrap_or_else(|| shown(DIGITS))
    }
}
