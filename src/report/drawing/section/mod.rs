//! The section of the water system: levels true to a stated scale, everything sideways schematic.

mod basin;
mod drain;
mod equipment;
mod labels;
mod layout;
mod legend;
mod live;
mod marks;
mod piping;
mod profile;
mod pumps;
mod spill;
mod stops;
mod stream;
#[cfg(test)]
mod tests;

pub use self::live::{LiveBasin, LiveSection};
pub(super) use self::{
    basin::hatch,
    layout::crests,
    marks::{Open, mark, point_at, size_of as mark_size},
};
use crate::{
    ledger::Ledger,
    papers::SetUps,
    plan::{Basin, Given, Plan},
    quantity::{Unit, UnitSystem},
    read::Place,
    report::drawing::{
        WIDTH,
        levels::BasinLevels,
        name_of,
        placing::Taken,
        scale::{Scale, graduation, length_unit, round_step, scale, unit_of_levels},
        scene::{Anchor, Bounds, Fill, Item, Pattern, Point, Scene, Stroke, Text, Tone},
        text::{LINE_HEIGHT, fit},
    },
    review::Review,
};
use profile::BasinProfile;

/// Left edge of the first basin's share; before it stands the staff.
const LEFT: f64 = 34.0;
/// Height kept for the names of the basins.
const HEAD: f64 = 20.0;
/// Most height for the levels.
const TALLEST: f64 = 216.0;
/// Width of a column of level labels.
const COLUMN: f64 = 82.0;
/// Room beside a basin for what passes it.
const CORRIDOR: f64 = 15.0;
/// Widest basin.
const WIDEST: f64 = 170.0;
/// How far words stand from what they name without a leader, pt.
const FAR: f64 = 14.0;
/// Room kept about words that find their own place, pt.
const AIR: f64 = 1.5;
/// Type sizes.
const NAME: f64 = 8.0;
const SMALL: f64 = 7.0;

/// A section being drawn.
struct SectionDrawing<'a> {
    plan: &'a Plan,
    units: UnitSystem,
    /// The unit that all its levels are given in.
    level_unit: &'static Unit,
    /// Set-ups of an instrument, whose rod readings stand for levels on the labels.
    set_ups: Option<&'a SetUps>,
    scene: Scene,
    taken: Taken,
    scale: Scale,
    /// Highest level of the drawing, m.
    top: f64,
    /// Lowest level of the drawing, m.
    bottom: f64,
    basins: Vec<Shown<'a>>,
    courses: Vec<stream::Course<'a>>,
    findings: &'a [crate::review::Finding],
    /// What the review asks for: the missing place and the question's number.
    questions: &'a [crate::review::Question],
    /// What the legend explains, and whether any of it is drawn unbroken.
    legend: Vec<(legend::Key, bool)>,
    /// Whether a pipe passes behind a basin.
    passes_behind: bool,
    /// Whether anything is dashed because the plan does not show it.
    dashed: bool,
    /// Where the findings' objects stand: by place in the plan, innermost last.
    anchors: Vec<(Place, Point)>,
    /// Where lines end in a basin, by their discharge.
    mouths: Vec<(Place, Point)>,
    /// Texts that go where there is room, once all that stand fast are set.
    floating: Vec<Floating>,
    /// Layers to be named inside: the basin, the levels below and above, the words.
    layer_names: Vec<(usize, (f64, f64), String)>,
    /// Arrowheads, check valves and pumps in series, which go over the pipes they stand on.
    heads: Vec<[Point; 3]>,
    valves: Vec<(Point, piping::Toward)>,
    /// Where intakes stand: the basin and the point.
    intakes: Vec<(usize, Point)>,
    boosters: Vec<Point>,
    /// Room below the lowest level for labels that find none beside it, pt.
    under: f64,
    /// Lowest point used so far, pt.
    depth: f64,
}

/// A text that goes where there is room.
struct Floating {
    /// Where it is wanted.
    near: Point,
    /// What it names: a leader tells where it stands far from that.
    of: Point,
    /// Whether a leader leads to it however near it stands.
    led: bool,
    text: Text,
}

/// A basin of the section and where it stands.
struct Shown<'a> {
    id: &'a str,
    basin: &'a Given<Basin>,
    levels: BasinLevels,
    profile: BasinProfile,
    /// Its share of the sheet, pt.
    share: (f64, f64),
    /// Its inside from wall to wall, pt.
    inside: (f64, f64),
    /// Whether its labels stand to its left.
    labels_left: bool,
    labels: Vec<labels::Label>,
    /// How far the pipes beside its left and right wall stand out, pt.
    piped: (f64, f64),
}

/// The sections of a plan: a few basins each, as even as can be.
pub(super) fn sections(
    plan: &Plan,
    ledger: &Ledger,
    review: &Review,
    drawn_in: (UnitSystem, Option<&SetUps>),
) -> Vec<Scene> {
    let live = live_sections(plan, ledger, review, drawn_in);
    live.into_iter().map(|section| section.scene).collect()
}

/// The sections with where everything stands on them.
pub(super) fn live_sections(
    plan: &Plan,
    ledger: &Ledger,
    review: &Review,
    (units, set_ups): (UnitSystem, Option<&SetUps>),
) -> Vec<LiveSection> {
    let groups = layout::groups(plan);
    let mut marks = marks::Marks::of(review);
    let mut sections = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        let mut sheet = SectionDrawing::new(plan, ledger, (units, set_ups), review, group);
        sheet.draw(&mut marks);
        sheet.scene.title = match groups.len() {
            1 => "Section of the water system".to_owned(),
            many => format!("Section of the water system, {} of {many}", index + 1),
        };
        sections.push(sheet.into_live());
    }
    if let Some(last) = sections.last_mut() {
        last.scene.notes.extend(marks.left_over());
    }
    sections
}

impl<'a> SectionDrawing<'a> {
    fn new(
        plan: &'a Plan,
        ledger: &'a Ledger,
        (units, set_ups): (UnitSystem, Option<&'a SetUps>),
        review: &'a Review,
        group: &[layout::FlowItem<'a>],
    ) -> Self {
        let placed = layout::placed(plan, group);
        let basins = layout::basins(plan, ledger, &placed);
        let courses = layout::courses(plan, ledger, &placed);
        let beds = courses.iter().flat_map(|course| course.bed.iter().copied());
        let own = layout::range(basins.iter().flat_map(Shown::extent).chain(beds));
        let (bottom, top) = layout::range(
            [own.0, own.1]
                .into_iter()
                .chain(spill::arriving(plan, &basins, own))
                .chain(stops::levels(review, &basins)),
        );
        let scale = scale(top - bottom, TALLEST, units);
        Self {
            plan,
            units,
            level_unit: unit_of_levels([bottom, top].into_iter(), units),
            set_ups,
            scene: Scene {
                width: WIDTH,
                ..Scene::default()
            },
            taken: Taken::default(),
            scale,
            top,
            bottom,
            basins,
            courses,
            findings: &review.findings,
            questions: &review.questions,
            legend: Vec::new(),
            anchors: Vec::new(),
            mouths: Vec::new(),
            floating: Vec::new(),
            passes_behind: false,
            dashed: false,
            layer_names: Vec::new(),
            heads: Vec::new(),
            valves: Vec::new(),
            intakes: Vec::new(),
            boosters: Vec::new(),
            under: 0.0,
            depth: 0.0,
        }
    }

    fn draw(&mut self, marks: &mut marks::Marks) {
        self.under = self.room_under();
        self.depth = self.y(self.bottom);
        self.datum();
        for index in 0..self.basins.len() {
            self.ground(index);
        }
        for index in 0..self.basins.len() {
            self.basin(index);
        }
        self.levels_behind_findings();
        self.lines();
        self.drains();
        self.streams();
        self.falls();
        self.overflows();
        self.staff();
        self.names();
        self.level_labels();
        self.layer_names();
        self.floating();
        self.settle();
        self.place_marks(marks);
        self.say_scale();
        self.draw_legend();
        self.scene.height = self.depth;
        self.describe();
    }

    /// The height of a level on the sheet, pt.
    fn y(&self, level: f64) -> f64 {
        HEAD + 10.0 + (self.top - level) * self.scale.points_per_metre
    }

    /// The benchmark's level, where it lies in the drawing and what fills a basin does not hide it.
    fn datum(&mut self) {
        if self.bottom > 0.0 || 0.0 > self.top {
            return;
        }
        let y = self.y(0.0);
        let mut stretches = Vec::new();
        let mut left = LEFT - 8.0;
        for index in 0..self.basins.len() {
            let levels = &self.basins[index].levels;
            if (levels.floor.level..=levels.water().max(levels.filled)).contains(&0.0) {
                let walls = self.walls_at(index, 0.0);
                stretches.push((left, walls.0));
                left = walls.1;
            }
        }
        stretches.push((left, WIDTH));
        let stroke = Stroke::new(0.4, Tone::Soft, Pattern::DashDotted);
        for (left, right) in stretches {
            self.ink(&[[left, y], [right, y]], stroke);
        }
        self.explain(legend::Key::Datum);
    }

    /// A levelling staff at the left edge: the scale bar, graduated from the benchmark.
    fn staff(&mut self) {
        let (unit, symbol) = length_unit(self.units);
        let least = 15.0 / (self.scale.points_per_metre * unit);
        let step = round_step(least.max(0.1));
        let first = (self.bottom / unit / step - 1e-6).ceil() as i64;
        let last = (self.top / unit / step + 1e-6).floor() as i64;
        let (left, right) = (LEFT - 13.0, LEFT - 8.0);
        let edge = Some(Stroke::solid(0.4, Tone::Ink));
        for tick in first..=last {
            let value = tick as f64 * step;
            let y = self.y(value * unit);
            if tick < last {
                let next = self.y((value + step) * unit);
                let fill = if tick.rem_euclid(2) == 0 {
                    Fill::Ink
                } else {
                    Fill::Paper
                };
                self.scene
                    .area(&[[left, y], [right, y], [right, next], [left, next]], fill, edge);
            }
            let text = Text::new([left - 2.5, y], Anchor::End, SMALL, graduation(value, step));
            self.put(if tick == 0 { text.strong() } else { text });
        }
        self.put(Text::new([2.0, 6.0], Anchor::Start, SMALL, symbol).strong());
    }

    fn names(&mut self) {
        for index in 0..self.basins.len() {
            let shown = &self.basins[index];
            let (left, right) = (shown.share.0 + 4.0, shown.share.1 - 4.0);
            let name = fit(name_of(shown.id, &shown.basin.name), NAME, true, right - left);
            let half = super::text::width(&name, NAME, true) / 2.0;
            // Over the basin, as far as its share of the sheet lets it.
            let middle = f64::midpoint(shown.inside.0, shown.inside.1);
            let middle = middle.min(right - half).max(left + half);
            self.put(Text::new([middle, 6.0], Anchor::Middle, NAME, name).strong());
        }
    }

    /// Sets a text down where it is and takes its place.
    fn put(&mut self, text: Text) {
        self.taken.claim(text.bounds());
        self.depth = self.depth.max(text.bounds().bottom);
        self.scene.items.push(Item::Text(text));
    }

    /// Sets floating texts as near to where they belong as there is room; leaves out what finds none.
    fn floating(&mut self) {
        let frame = self.frame();
        for Floating { near, of, led, text } in std::mem::take(&mut self.floating) {
            let [wide, high] = size(&text);
            let words = self.words();
            let clear = |bounds: &Bounds| {
                let leader = [of, bounds.nearest_to(of)];
                !words.iter().any(|word| word.crossed_by(&leader))
            };
            let room = [wide + 2.0 * AIR, high + AIR];
            // Where no leader keeps clear of words, the text stands without one.
            let bare = |taken: &mut Taken| {
                let low = [near[0], frame.bottom - high];
                let found = taken.nearest(near, room, &frame);
                found.or_else(|| taken.nearest(low, room, &frame))
            };
            let reached = self.taken.nearest_where(near, room, &frame, clear);
            let with_leader = reached.is_some();
            let Some(found) = reached.or_else(|| bare(&mut self.taken)) else {
                continue;
            };
            self.depth = self.depth.max(found.bottom);
            let end = found.nearest_to(of);
            if with_leader
                && (led || (end[0] - of[0]).hypot(end[1] - of[1]) > FAR || self.taken.parted(of, end))
            {
                self.ink(&[of, end], Stroke::solid(0.25, Tone::Ink));
            }
            // The end towards what it names stands where it is reckoned to, however narrow the words are set.
            let (x, anchor) = if of[0] > found.right {
                (found.right - AIR, Anchor::End)
            } else {
                (found.left + AIR, Anchor::Start)
            };
            let at = [x, f64::midpoint(found.top, found.bottom)];
            self.scene.items.push(Item::Text(Text { at, anchor, ..text }));
        }
    }

    /// The words set so far, which no leader may strike out.
    fn words(&self) -> Vec<Bounds> {
        let words = self.scene.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text.bounds()),
            _ => None,
        });
        words.collect()
    }

    /// Where texts and marks may stand.
    fn frame(&self) -> Bounds {
        Bounds {
            left: LEFT,
            top: 0.0,
            right: WIDTH,
            bottom: self.deep(0) + 25.0,
        }
    }

    /// What a basin or stream is called.
    fn called<'b>(&'b self, id: &'b str) -> &'b str {
        let basin = self.plan.basins.get(id).map(|basin| &basin.name);
        let stream = self.plan.streams.get(id).map(|stream| &stream.name);
        basin.or(stream).map_or(id, |name| name_of(id, name))
    }

    fn explain(&mut self, key: legend::Key) {
        self.explain_as(key, true);
    }

    /// Explains what is drawn dashed unless it is certain.
    fn explain_as(&mut self, key: legend::Key, certain: bool) {
        self.dashed |= !certain;
        match self.legend.iter_mut().find(|(known, _)| *known == key) {
            Some((_, unbroken)) => *unbroken |= certain,
            None => self.legend.push((key, certain)),
        }
    }

    /// Draws a line that words and marks keep clear of.
    fn ink(&mut self, points: &[Point], stroke: Stroke) {
        self.taken.claim_line(points);
        self.scene.line(points, stroke);
    }

    /// What stands for values that the plan does not show, where any of it is drawn.
    fn gaps(&self) -> &'static str {
        let asks = |item: &Item| match item {
            Item::Text(text) => text.text.split([' ', ',', ':']).any(|word| word == "?"),
            _ => false,
        };
        match (self.dashed, self.scene.items.iter().any(asks)) {
            (true, true) => " Dashed outlines and “?” stand for what the plan does not show.",
            (true, false) => " Dashed outlines stand for what the plan does not show.",
            (false, true) => " “?” stands for what the plan does not show.",
            (false, false) => "",
        }
    }

    /// What the section shows, in words.
    fn describe(&mut self) {
        let names: Vec<&str> = self
            .basins
            .iter()
            .map(|shown| name_of(shown.id, &shown.basin.name))
            .collect();
        let mut parts = vec![format!(
            "Section through {} in the order water flows, levels to a scale of {}, sideways schematic.",
            if names.is_empty() {
                "no basin".to_owned()
            } else {
                names.join(", ")
            },
            self.scale.words
        )];
        for shown in &self.basins {
            let said: Vec<String> = shown.labels.iter().map(labels::Label::text).collect();
            parts.push(format!(
                "{}: {}.",
                name_of(shown.id, &shown.basin.name),
                said.join(", ")
            ));
        }
        self.scene.alt = parts.join(" ");
        self.scene.notes.insert(
            0,
            format!(
                "{}Levels to scale, {}; across, only which basin is longer. Pipes run at their depth below grade{}. The \
                 staff counts from the benchmark.{}",
                self.labels_note(),
                self.scale.words,
                if self.passes_behind {
                    ", dotted behind a basin"
                } else {
                    ""
                },
                self.gaps()
            ),
        );
    }
}

/// Width and height a text takes.
fn size(text: &Text) -> Point {
    [
        super::text::width(&text.text, text.size, text.strong),
        text.size * LINE_HEIGHT,
    ]
}

impl Shown<'_> {
    /// Every level that is drawn of it, m.
    fn extent(&self) -> [f64; 6] {
        let levels = &self.levels;
        [
            levels.rim.level,
            levels.floor.level,
            levels.highest_water(),
            levels.ground.level,
            levels.still.level,
            levels.filled,
        ]
    }
}
