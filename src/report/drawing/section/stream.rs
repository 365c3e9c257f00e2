//! Streams: the bed reach by reach from the fall that feeds it to the water it ends in, levels true, lengths schematic.

use crate::{
    ledger::Ledger,
    plan::{Given, Measure, Plan, Stream, connections::leaving},
    quantity::{Kind, show},
    report::drawing::{
        levels::{BasinLevels, level},
        name_of,
        scene::{Anchor, Bounds, Fill, Point, Stroke, Text, Tone},
        section::{
            Floating, HEAD, NAME, SMALL, SectionDrawing, layout,
            legend::{Key, LINING, STILL},
        },
        text::{fit, leading},
    },
};

/// What a reach drops where neither the plan nor what is left of the height tells it, m: for the drawing only.
const NOMINAL_DROP: f64 = 0.1;
/// Water and stone over the bed, pt.
const WATER: f64 = 2.4;
const STONE: f64 = 5.0;
/// Room kept at both ends of a stream's share, pt.
const END: f64 = 10.0;

/// A stream of the section and where it stands.
pub(super) struct Course<'a> {
    pub id: &'a str,
    pub stream: &'a Given<Stream>,
    /// Its share of the sheet, pt.
    pub share: (f64, f64),
    /// Bed levels from its head to its end: one more than it has reaches.
    pub bed: Vec<f64>,
    /// Whether each reach's drop is shown.
    certain: Vec<bool>,
}

impl<'a> Course<'a> {
    /// The bed upward from the water it ends in by the drops; what is not shown is shared out over what is left.
    pub fn of(plan: &'a Plan, ledger: &Ledger, id: &'a str, share: (f64, f64)) -> Option<Self> {
        let stream = plan.streams.get(id)?;
        let crest = plan
            .falls
            .values()
            .filter(|fall| fall.to.value().is_some_and(|to| to == id))
            .find_map(|fall| level(&fall.crest));
        let foot = leaving(plan, id).map_or(&stream.end, |fall| &fall.crest);
        let foot = level(&stream.end).or(level(foot));
        let end = foot.or_else(|| {
            let id = stream.ends_in.value()?;
            let basin = plan.basins.get(id)?;
            let levels = BasinLevels::of(basin, ledger, &layout::crests(plan, id));
            Some(levels.water())
        });
        let drops: Vec<Option<f64>> = stream
            .reaches
            .values()
            .map(|reach| {
                reach
                    .drop
                    .value()
                    .map(|drop| drop.si())
                    .filter(|drop| (0.0..1e3).contains(drop))
            })
            .collect();
        let drops = if drops.is_empty() { vec![None] } else { drops };
        let known: f64 = drops.iter().flatten().sum();
        let asked = drops.iter().filter(|drop| drop.is_none()).count() as f64;
        let left = crest.zip(end).map(|(crest, end)| (crest - end - known) / asked);
        let each = left
            .filter(|left| left.is_finite())
            .map_or(NOMINAL_DROP, |left| left.max(0.0));
        let total = known + each * asked;
        // Where the drops use up more than there is, the crest is kept and the end lies too low.
        let by_end = end.map(|end| end + total);
        let head = match (by_end, crest) {
            (Some(head), Some(crest)) => head.min(crest),
            (head, crest) => head.or(crest).unwrap_or(total),
        };
        let mut bed = vec![head];
        for drop in &drops {
            let upper = bed.last().copied().unwrap_or(head);
            bed.push(upper - drop.unwrap_or(each));
        }
        let certain = drops.iter().map(Option::is_some).collect();
        Some(Self {
            id,
            stream,
            share,
            bed,
            certain,
        })
    }

    /// Where each end of a reach stands across, pt.
    fn across(&self) -> Vec<f64> {
        let (left, right) = (self.share.0 + END, self.share.1 - END);
        let reaches = self.bed.len().saturating_sub(1).max(1);
        (0..=reaches)
            .map(|at| left + (right - left) * at as f64 / reaches as f64)
            .collect()
    }
}

impl SectionDrawing<'_> {
    pub(super) fn streams(&mut self) {
        for course in std::mem::take(&mut self.courses) {
            self.stream(&course);
            self.courses.push(course);
        }
    }

    /// The head of a stream of this section: where a fall lands.
    pub(super) fn stream_head(&self, id: &str) -> Option<Point> {
        let course = self.courses.iter().find(|course| course.id == id)?;
        Some([*course.across().first()?, self.y(*course.bed.first()?) - WATER])
    }

    fn stream(&mut self, course: &Course<'_>) {
        let across = course.across();
        let points: Vec<Point> = across
            .iter()
            .zip(&course.bed)
            .map(|(&x, &z)| [x, self.y(z)])
            .collect();
        let under = |dy: f64| points.iter().map(move |[x, y]| [*x, *y + dy]);
        let band = |upper: f64, lower: f64| -> Vec<Point> {
            under(upper)
                .chain(under(lower).collect::<Vec<_>>().into_iter().rev())
                .collect()
        };
        self.scene
            .area(&band(STONE + 2.4, STONE + 7.4), Fill::Ground, None);
        self.scene.area(
            &band(0.0, STONE),
            Fill::Stone,
            Some(Stroke::solid(0.3, Tone::Soft)),
        );
        self.scene.area(&band(-WATER, 0.0), Fill::Water, None);
        for (index, pair) in points.windows(2).enumerate() {
            let certain = course.certain.get(index).copied().unwrap_or(false);
            let lower = |dy: f64| [[pair[0][0], pair[0][1] + dy], [pair[1][0], pair[1][1] + dy]];
            self.ink(&lower(STONE + 1.4), LINING.dashed_unless(certain));
            self.ink(&lower(-WATER), STILL.dashed_unless(certain));
            // The edge of a reach, so that a reader can count them.
            if index > 0 {
                let [x, y] = pair[0];
                let edge = [[x, y - WATER - 5.0], [x, y + STONE + 5.0]];
                self.ink(&edge, Stroke::solid(0.4, Tone::Soft));
            }
        }
        self.keep_off(&points);
        self.stream_end(course, points.last().copied());
        self.reach_names(course, &points);
        let middle = points[points.len() / 2];
        self.anchors
            .push((course.stream.place.clone(), [middle[0], middle[1]]));
        self.explain_as(Key::Stream, course.certain.iter().any(|certain| *certain));
        self.dashed |= course.certain.iter().any(|certain| !certain);
        let name = fit(
            name_of(course.id, &course.stream.name),
            NAME,
            true,
            course.share.1 - course.share.0 - 8.0,
        );
        let at = [f64::midpoint(course.share.0, course.share.1), HEAD - 14.0];
        self.put(Text::new(at, Anchor::Middle, NAME, name).strong());
    }

    /// Keeps words and marks off the water and its bed.
    fn keep_off(&mut self, points: &[Point]) {
        const EVERY: f64 = 6.0;
        for pair in points.windows(2) {
            let steps = ((pair[1][0] - pair[0][0]) / EVERY).ceil().max(1.0);
            let mut share = 0.0;
            while share <= 1.0 {
                let x = pair[0][0] + (pair[1][0] - pair[0][0]) * share;
                let y = pair[0][1] + (pair[1][1] - pair[0][1]) * share;
                let [wide, high] = [EVERY, WATER + STONE + 3.0];
                self.taken
                    .claim(Bounds::at([x - wide / 2.0, y - WATER - 1.0], [wide, high]));
                share += 1.0 / steps;
            }
        }
    }

    /// From the last reach over the wall of the basin it ends in.
    fn stream_end(&mut self, course: &Course<'_>, last: Option<Point>) {
        let Some([x, y]) = last else { return };
        let leaving = leaving(self.plan, course.id).and_then(|fall| fall.to.value());
        let ends_in = leaving.or(course.stream.ends_in.value());
        let basin = self.basins.iter().find(|shown| {
            ends_in.is_some_and(|id| id == shown.id) && (shown.share.0 - course.share.1).abs() < 1.0
        });
        if let Some(basin) = basin {
            let (wall, water) = (basin.inside.0, self.y(basin.levels.water()));
            let end = [wall + 3.0, y.min(water) - WATER];
            // Level past the labels of the basin.
            let way = [[x, y - WATER], [x + 6.0, end[1]], end];
            self.ink(&way, Stroke::solid(1.4, Tone::Accent));
            // At its beginning: the labels of the basin stand nearer the wall.
            let words = self.stream_in_words(course);
            self.float([x + 12.0, end[1] + 20.0], [x + 8.0, end[1]], &words);
            if y + 2.0 < water {
                self.nappe(end, [wall + 12.0, water]);
            }
        } else {
            let words = format!("to {}", ends_in.map_or("?", |id| self.called(id)));
            self.float([x - 12.0, y + 20.0], [x + 2.0, y - WATER], &words);
            let way = [[x, y - WATER], [x + END, y - WATER]];
            self.ink(&way, Stroke::solid(1.4, Tone::Accent));
        }
    }

    /// A stream by its name and by what feeds it, where a fall does.
    fn stream_in_words(&self, course: &Course<'_>) -> String {
        let name = name_of(course.id, &course.stream.name);
        let mut falls = self.plan.falls.values();
        let feeding = falls.find(|fall| fall.to.value().is_some_and(|to| to == course.id));
        let from = feeding.and_then(|fall| fall.from.value());
        from.map_or_else(
            || name.to_owned(),
            |from| format!("{name} from {}", self.called(from)),
        )
    }

    /// Each reach by its id, its length and its drop.
    fn reach_names(&mut self, course: &Course<'_>, points: &[Point]) {
        let length = |si: Option<f64>| si.map_or("?".to_owned(), |si| show(si, Kind::Length, self.units));
        let mut named = Vec::new();
        for ((id, reach), pair) in course.stream.reaches.iter().zip(points.windows(2)) {
            let middle = [
                f64::midpoint(pair[0][0], pair[1][0]),
                f64::midpoint(pair[0][1], pair[1][1]),
            ];
            let long = length(reach.length.value().map(|length| length.si()));
            let drop = length(reach.drop.value().map(|drop| drop.si()));
            let words = format!("{}: {long}, drop {drop}", leading(id));
            named.push((reach.place.clone(), middle, fit(&words, SMALL, false, 110.0)));
        }
        for (place, [x, y], words) in named {
            self.anchors.push((place, [x, y]));
            let text = Text::new([0.0, 0.0], Anchor::Start, SMALL, words);
            self.floating.push(Floating {
                near: [x + 34.0, y - 12.0],
                of: [x, y - WATER],
                led: true,
                text,
            });
        }
    }
}
