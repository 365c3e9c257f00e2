//! Falls: the lip over the wall of the upper basin, and the water that leaves it.

use super::{
    super::{
        levels::level,
        name_of,
        scene::{Anchor, Fill, Point, Stroke, Text, Tone},
        text::fit,
    },
    Floating, HEAD, SMALL, SectionDrawing, Shown,
    legend::{Key, NAPPE},
};
use crate::plan::{Fall, Given, Plan};

/// Crests of other sections that spill into these basins, m, as far as they add less than half to its height.
pub(super) fn arriving(plan: &Plan, basins: &[Shown<'_>], (low, high): (f64, f64)) -> Vec<f64> {
    let is_here = |id: &crate::plan::Shown<String>| {
        id.value()
            .is_some_and(|id| basins.iter().any(|shown| shown.id == *id))
    };
    let falls = plan
        .falls
        .values()
        .filter(|fall| is_here(&fall.to) && !is_here(&fall.from));
    falls
        .filter_map(|fall| level(&fall.crest))
        .filter(|crest| *crest < high + (high - low) / 2.0)
        .collect()
}

impl SectionDrawing<'_> {
    pub(super) fn falls(&mut self) {
        let plan = self.plan;
        for (id, fall) in &plan.falls {
            let from = fall.from.value();
            let upper = from.and_then(|from| self.basins.iter().position(|shown| shown.id == *from));
            match upper {
                Some(upper) => self.fall_from(upper, id, fall),
                None => self.fall_into(id, fall),
            }
        }
    }

    /// A fall over the wall of a basin of this section, to where it lands where that stands beside it.
    fn fall_from(&mut self, upper: usize, id: &str, fall: &Given<Fall>) {
        let to = fall.to.value();
        let crest = level(&fall.crest);
        let drawn = crest.unwrap_or(self.basins[upper].levels.still.level);
        self.label_or_ask(upper, "crest", crest, (drawn, &fall.place.child("crest")));
        let wall = self.basins[upper].inside.1;
        let y = self.y(drawn);
        let right = self.basins[upper].share.1;
        let beside = self.basins.get(upper + 1);
        // A basin across a stream is not beside.
        let beside = beside.filter(|next| to == Some(&next.id.to_owned()) && next.share.0 <= right + 1.0);
        let basin = beside.map(|next| [next.inside.0 + 9.0, self.y(next.levels.water())]);
        let stream = to.and_then(|to| self.stream_head(to)).filter(|[x, _]| *x > wall);
        if let Some(landing) = basin.or(stream) {
            self.nappe([wall, y], landing);
            let over = f64::midpoint(wall, landing[0]);
            self.float([over, y - 8.0], [over, y], name_of(id, &fall.name));
        } else {
            self.nappe([wall, y], [wall + 8.0, y + 12.0]);
            let to = to.map_or("?", |to| self.called(to));
            let words = format!("{} to {to}", name_of(id, &fall.name));
            self.float([wall + 16.0, y + 22.0], [wall + 9.0, y + 12.0], &words);
        }
        self.anchors.push((fall.place.clone(), [wall + 6.0, y - 7.0]));
        self.explain(Key::Nappe);
    }

    /// What falls into a stream of this section from a basin elsewhere.
    fn fall_into_stream(&mut self, id: &str, fall: &Given<Fall>) {
        let Some([x, y]) = fall.to.value().and_then(|to| self.stream_head(to)) else {
            return;
        };
        let crest = level(&fall.crest).map_or(y, |crest| self.y(crest).min(y).max(HEAD));
        self.nappe([x - 9.0, crest], [x, y]);
        let from = fall.from.value().map_or("?", |from| self.called(from));
        let words = format!("{} from {from}", name_of(id, &fall.name));
        self.float([x + 10.0, crest - 12.0], [x - 4.0, crest], &words);
        self.anchors.push((fall.place.clone(), [x - 6.0, crest]));
        self.explain(Key::Nappe);
    }

    /// What falls into a basin of this section from elsewhere.
    fn fall_into(&mut self, id: &str, fall: &Given<Fall>) {
        self.fall_into_stream(id, fall);
        let lower = fall
            .to
            .value()
            .and_then(|to| self.basins.iter().position(|shown| shown.id == *to));
        let Some(lower) = lower else { return };
        let (wall, water) = (
            self.basins[lower].inside.0,
            self.y(self.basins[lower].levels.water()),
        );
        let rim = self.y(self.basins[lower].levels.rim.level).min(water) - 9.0;
        let rim = level(&fall.crest).map_or(rim, |crest| self.y(crest).min(water).max(HEAD));
        let from = fall.from.value().map_or("?", String::as_str);
        // A stream of this section is drawn down to the water itself.
        if !self.courses.iter().any(|course| course.id == from) {
            self.nappe([wall - 8.0, rim], [wall + 9.0, water]);
            let words = format!("{} from {}", name_of(id, &fall.name), self.called(from));
            self.float([wall - 2.0, rim - 8.0], [wall - 2.0, rim], &words);
            self.explain(Key::Nappe);
        }
        self.anchors.push((fall.place.clone(), [wall - 4.0, rim]));
    }

    /// Words that go where there is room near a point, and what they name.
    pub(super) fn float(&mut self, near: Point, of: Point, words: &str) {
        let words = fit(words, SMALL, false, 130.0);
        let text = Text::new([0.0, 0.0], Anchor::Start, SMALL, words);
        self.floating.push(Floating {
            near,
            of,
            led: false,
            text,
        });
    }

    /// A lip from the wall to over the landing, and the water that leaves it.
    pub(super) fn nappe(&mut self, [wall, crest]: Point, [x, landing]: Point) {
        let end = (x - 6.0).max(wall + 4.0);
        let lip = [
            [wall - 3.0, crest],
            [end, crest],
            [end, crest + 2.4],
            [wall - 3.0, crest + 2.4],
        ];
        self.scene.area(&lip, Fill::Ink, None);
        self.taken.claim_line(&[lip[0], lip[1]]);
        self.taken.claim_line(&[lip[3], lip[2]]);
        let sheet = |out: f64| {
            // A falling sheet: level over the lip, then ever steeper.
            let reach = (x - end).max(2.0) + out;
            let mut points = vec![[wall - 3.0, crest - 1.0 - out * 0.4]];
            points.extend((0..=8).map(|step| {
                let share = f64::from(step) / 8.0;
                let drop = (landing - crest).max(2.0);
                [
                    end + reach * share.sqrt(),
                    crest - 1.0 - out * 0.4 + (drop + 1.0) * share,
                ]
            }));
            points
        };
        self.ink(&sheet(0.0), NAPPE);
        self.ink(&sheet(2.2), Stroke::solid(0.6, Tone::Accent));
    }
}
