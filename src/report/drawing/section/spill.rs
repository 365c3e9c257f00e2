//! Falls: the lip over the wall of the upper basin, and the water that leaves it.

use super::{
    super::{
        levels::{level, receiver},
        name_of,
        scene::{Anchor, Fill, Point, Stroke, Text, Tone},
        text::fit,
    },
    SMALL, Sheet,
    legend::{Key, NAPPE},
};

impl Sheet<'_> {
    pub(super) fn falls(&mut self) {
        let plan = self.plan;
        for (id, fall) in &plan.falls {
            let from = fall.from.value();
            let to = fall.to.value().and_then(|to| receiver(plan, to));
            let upper = from.and_then(|from| self.basins.iter().position(|shown| shown.id == *from));
            let Some(upper) = upper else { continue };
            let crest = level(&fall.crest);
            let drawn = crest.unwrap_or(self.basins[upper].levels.still.level);
            match crest {
                Some(crest) => self.label(upper, "crest", crest),
                None => self.ask(upper, "crest", drawn),
            }
            let next = self.basins.get(upper + 1).filter(|shown| to == Some(shown.id));
            let wall = self.basins[upper].inside.1;
            let y = self.y(drawn);
            let landing = next.map(|next| (next.inside.0 + 9.0, next.levels.water()));
            if let Some((x, water)) = landing {
                self.nappe([wall, y], [x, self.y(water)]);
            } else {
                self.nappe([wall, y], [wall + 10.0, y + 16.0]);
                let words = format!("{} to {}", name_of(id, &fall.name), to.unwrap_or("?"));
                let words = fit(&words, SMALL, false, 110.0);
                let text = Text::new([0.0, 0.0], Anchor::Start, SMALL, words);
                self.floating.push(([wall + 16.0, y + 22.0], text));
            }
            self.anchors.push((fall.place.clone(), [wall + 6.0, y - 7.0]));
            self.explain(Key::Nappe);
        }
    }

    /// A lip from the wall to over the landing, and the water that leaves it.
    fn nappe(&mut self, [wall, crest]: Point, [x, landing]: Point) {
        let end = (x - 6.0).max(wall + 4.0);
        let lip = [
            [wall - 3.0, crest],
            [end, crest],
            [end, crest + 2.4],
            [wall - 3.0, crest + 2.4],
        ];
        self.scene.area(&lip, Fill::Ink, None);
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
        self.scene.line(&sheet(0.0), NAPPE);
        self.scene.line(&sheet(2.2), Stroke::solid(0.6, Tone::Accent));
    }
}
