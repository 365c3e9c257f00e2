//! A drawing in the making: what stands fast is set first, then words go where there is room.

use super::{
    placing::Taken,
    scene::{Anchor, Bounds, Fill, Item, Point, Scene, Stroke, Text, Tone},
    text::{LINE_HEIGHT, fit, width},
};

/// Type size of labels, pt.
pub(super) const LABEL: f64 = 7.0;

/// The least length of a leader, pt.
const LEAD: f64 = 5.0;

/// A scene and the places on it that are taken.
#[derive(Debug, Default)]
pub(super) struct Board {
    pub scene: Scene,
    pub taken: Taken,
    /// Marks by middle and radius, pt: a leader to one of them touches no other.
    pub marks: Vec<(Point, f64)>,
}

impl Board {
    /// An empty sheet.
    pub fn new(width: f64, height: f64, title: String) -> Self {
        Self {
            scene: Scene {
                width,
                height,
                title,
                ..Scene::default()
            },
            ..Self::default()
        }
    }

    /// Sets a text down where it is and takes its place.
    pub fn put(&mut self, text: Text) {
        self.taken.claim(text.bounds());
        self.scene.items.push(Item::Text(text));
    }

    /// Sets a text, cut to its room, down where it is.
    pub fn put_in(&mut self, at: Point, anchor: Anchor, words: &str, room: f64) {
        self.put(Text::new(at, anchor, LABEL, fit(words, LABEL, false, room)));
    }

    /// Sets words as near to a point as there is room within a frame; leaves them out where there is none.
    pub fn put_near(&mut self, point: Point, words: &str, frame: &Bounds) {
        let size = [width(words, LABEL, false) + 4.0, LABEL * LINE_HEIGHT];
        if let Some(found) = self.taken.nearest(point, size, frame) {
            let at = [found.left + 2.0, f64::midpoint(found.top, found.bottom)];
            self.scene
                .items
                .push(Item::Text(Text::new(at, Anchor::Start, LABEL, words)));
        }
    }

    /// Sets words beside one of some points of a line or mark and leads a hairline from it to them: over nothing that
    /// stands there, else at least over no words and no other mark, else, where two marks are one to the eye, over no
    /// words. Leaves them out where there is no room. `clear` is the radius of what is marked, pt.
    pub fn put_led(&mut self, points: &[Point], clear: f64, words: &str, frame: &Bounds) {
        let size = [width(words, LABEL, false) + 4.0, LABEL * LINE_HEIGHT];
        let texts = self.scene.boxes();
        let over_no_words =
            |leader, _| along(leader).all(|point| !texts.iter().any(|text| text.meets(&square(point, 1.6))));
        let over_nothing = |leader, to: Point| {
            along(leader)
                .filter(|point| distance(*point, to) > clear + 2.0)
                .all(|point| self.taken.free(&square(point, 1.6)))
        };
        let found = self
            .led_room(points, clear, size, frame, |leader, to| {
                self.past_other_marks(leader, to) && over_nothing(leader, to)
            })
            .or_else(|| {
                self.led_room(points, clear, size, frame, |leader, to| {
                    self.past_other_marks(leader, to) && over_no_words(leader, to)
                })
            })
            .or_else(|| self.led_room(points, clear, size, frame, over_no_words));
        let Some((room, leader)) = found else { return };
        self.scene.line(&leader, Stroke::solid(0.4, Tone::Ink));
        for point in along(leader) {
            self.taken.claim(square(point, 1.6));
        }
        self.taken.claim(room);
        let at = [room.left + 2.0, f64::midpoint(room.top, room.bottom)];
        let text = Text::new(at, Anchor::Start, LABEL, words);
        self.scene.items.push(Item::Text(text));
    }

    /// Whether a leader to a point touches no mark but the one that stands there.
    fn past_other_marks(&self, leader: [Point; 2], to: Point) -> bool {
        const SAME: f64 = 0.1;
        const APART: f64 = 0.6;
        let others = self.marks.iter().filter(|(at, _)| distance(*at, to) > SAME);
        others
            .into_iter()
            .all(|(at, radius)| distance(*at, nearest_on(leader, *at)) > radius + APART)
    }

    /// The free room nearest to one of some points, with its leader, which must go a way that fits.
    fn led_room(
        &self,
        points: &[Point],
        clear: f64,
        size: Point,
        frame: &Bounds,
        fits: impl Fn([Point; 2], Point) -> bool,
    ) -> Option<(Bounds, [Point; 2])> {
        const STEP: f64 = 4.0;
        const RINGS: u32 = 24;
        let free = |room: &Bounds| frame.holds(room) && self.taken.free(room);
        (0..RINGS).find_map(|ring| {
            let reach = clear + LEAD + f64::from(ring) * STEP;
            points.iter().find_map(|&to| {
                beside(to, reach, size).filter(free).find_map(|room| {
                    let leader = lead(to, clear, &room);
                    fits(leader, to).then_some((room, leader))
                })
            })
        })
    }

    /// Takes the places along a line, so that no words are set on it.
    pub fn claim_along(&mut self, points: &[Point]) {
        let between = points.windows(2).flat_map(|pair| along([pair[0], pair[1]]));
        for point in points.iter().copied().chain(between) {
            self.taken.claim(square(point, 3.0));
        }
    }

    /// Draws a circle.
    pub fn disc(&mut self, at: Point, radius: f64, stroke: Stroke, fill: Fill) {
        self.scene.items.push(Item::Disc {
            at,
            radius,
            stroke,
            fill: Some(fill),
        });
    }

    /// A dimension line with slashes at its ends.
    pub fn dimension(&mut self, from: Point, to: Point) {
        let thin = Stroke::solid(0.5, Tone::Ink);
        self.scene.line(&[from, to], thin);
        for [x, y] in [from, to] {
            self.scene.line(&[[x - 1.8, y + 1.8], [x + 1.8, y - 1.8]], thin);
        }
    }
}

/// Rooms of a size round a point, some way from it, upward and to the right first.
fn beside(to: Point, reach: f64, size: Point) -> impl Iterator<Item = Bounds> {
    const TURNS: u32 = 24;
    (0..TURNS).map(move |step| {
        let turn = f64::from(step) / f64::from(TURNS) * std::f64::consts::TAU - 0.8;
        let corner = |axis: usize, way: f64| to[axis] + way * (reach + size[axis] / 2.0) - size[axis] / 2.0;
        Bounds::at([corner(0, turn.cos()), corner(1, turn.sin())], size)
    })
}

/// The line from a mark of a radius to the nearest of a box.
fn lead(to: Point, clear: f64, room: &Bounds) -> [Point; 2] {
    let end = [
        to[0].clamp(room.left, room.right),
        to[1].clamp(room.top, room.bottom),
    ];
    let long = distance(end, to).max(1e-6);
    let share = (clear / long).min(1.0);
    let start = [to[0] + share * (end[0] - to[0]), to[1] + share * (end[1] - to[1])];
    [start, end]
}

fn distance(one: Point, other: Point) -> f64 {
    (one[0] - other[0]).hypot(one[1] - other[1])
}

/// The point of a straight line nearest to another point.
fn nearest_on([from, to]: [Point; 2], [x, y]: Point) -> Point {
    let [wide, high] = [to[0] - from[0], to[1] - from[1]];
    let square = (wide * wide + high * high).max(1e-12);
    let share = (((x - from[0]) * wide + (y - from[1]) * high) / square).clamp(0.0, 1.0);
    [from[0] + share * wide, from[1] + share * high]
}

/// Points along a straight line, two points apart, its ends left out.
fn along([from, to]: [Point; 2]) -> impl Iterator<Item = Point> {
    let long = distance(to, from);
    let count = (long / 2.0).ceil().clamp(1.0, 2000.0) as u32;
    (1..count).map(move |step| {
        let share = f64::from(step) / f64::from(count);
        [
            from[0] + share * (to[0] - from[0]),
            from[1] + share * (to[1] - from[1]),
        ]
    })
}

fn square([x, y]: Point, side: f64) -> Bounds {
    Bounds::at([x - side / 2.0, y - side / 2.0], [side, side])
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Bounds = Bounds {
        left: 0.0,
        top: 0.0,
        right: 200.0,
        bottom: 100.0,
    };

    fn leaders(board: &Board) -> Vec<Vec<Point>> {
        let lines = board.scene.items.iter().filter_map(|item| match item {
            Item::Path { points, .. } => Some(points.clone()),
            _ => None,
        });
        lines.collect()
    }

    #[test]
    fn a_leader_joins_its_words_to_the_edge_of_what_they_name() {
        let mut board = Board::default();
        board.put_led(&[[100.0, 50.0]], 3.0, "a name", &FRAME);
        let leader = leaders(&board)[0].clone();
        assert!(((leader[0][0] - 100.0).hypot(leader[0][1] - 50.0) - 3.0).abs() < 1e-9);
        let room = board.scene.boxes()[0];
        let [x, y] = leader[1];
        assert!(room.left - 2.1 <= x && x <= room.right + 2.1);
        assert!(room.top - 0.1 <= y && y <= room.bottom + 0.1);
    }

    #[test]
    fn words_and_leaders_keep_off_a_curve_that_passes_their_point() {
        let mut board = Board::default();
        let curve = [[0.0, 90.0], [200.0, 10.0]];
        board.claim_along(&curve);
        board.put_led(&[[100.0, 50.0]], 1.0, "below or above", &FRAME);
        let side = |[x, y]: Point| (y - (90.0 - 0.4 * x)).signum();
        let room = board.scene.boxes()[0];
        let corners = [
            [room.left, room.top],
            [room.right, room.top],
            [room.right, room.bottom],
            [room.left, room.bottom],
        ];
        assert!(corners.iter().all(|corner| side(*corner) == side(corners[0])));
    }

    #[test]
    fn words_with_no_room_are_left_out() {
        let mut board = Board::default();
        board.taken.claim(FRAME);
        board.put_led(&[[100.0, 50.0]], 3.0, "a name", &FRAME);
        assert!(board.scene.items.is_empty());
    }
}
