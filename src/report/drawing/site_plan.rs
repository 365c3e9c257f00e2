//! The site plan: basins by outline and position, to one scale, where the plan says where they lie. Without positions there
//! is none: loose outlines side by side would read as a plan of the site.

use crate::{
    ledger::Ledger,
    plan::{Measure, Plan, Position, Shown},
    quantity::{Kind, UnitSystem, natural_unit, show_in},
    report::drawing::{
        WIDTH,
        board::Board,
        outline::{Outline, outlined},
        plan_view::{closed, corners, scale_bar},
        scale::scale,
        scene::{Anchor, Bounds, Fill, Point, Scene, Stroke, Text, Tone},
    },
};

/// Room for the ground, pt.
const TALLEST: f64 = 330.0;
const MARGIN: f64 = 26.0;
/// Digits of a size.
const DIGITS: usize = 3;
/// Farther than this nothing lies, m.
const FARTHEST: f64 = 5000.0;

/// A basin that can be placed.
struct Placed<'a> {
    name: &'a str,
    outline: Outline,
    /// Its middle, m east and north.
    middle: Point,
    /// How far its length is turned from east toward north, radians.
    turned: f64,
}

impl Placed<'_> {
    /// Corners of its rim, m east and north.
    fn rim(&self) -> Vec<Point> {
        let half = [self.outline.length / 2.0, self.outline.width / 2.0];
        let (sin, cos) = self.turned.sin_cos();
        let turn = |[x, y]: Point| {
            [
                self.middle[0] + x * cos - y * sin,
                self.middle[1] + x * sin + y * cos,
            ]
        };
        corners(self.outline.form, [0.0, 0.0], half)
            .into_iter()
            .map(turn)
            .collect()
    }
}

/// Where a position lies, m east and north, and how far it is turned, radians.
fn lies(position: &Shown<Position>) -> Option<(Point, f64)> {
    let position = position.value()?;
    let far = |length: f64| (0.0..=FARTHEST).contains(&length).then_some(length);
    let east = far(position.east.value()?.si())?;
    let north = far(position.north.value()?.si())?;
    let turned = position.turned.value().copied().unwrap_or_default();
    Some(([east, north], turned.to_radians()))
}

/// The site plan of a plan that gives two basins their places at least; none otherwise.
pub(super) fn site_plan(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<Scene> {
    let (mut placed, mut left_out) = (Vec::new(), Vec::new());
    for (basin, name, outline) in outlined(plan, ledger) {
        match outline.zip(lies(&basin.position)) {
            Some((outline, (middle, turned))) => placed.push(Placed {
                name,
                outline,
                middle,
                turned,
            }),
            None => left_out.push(name),
        }
    }
    if placed.len() < 2 {
        return Vec::new();
    }
    vec![draw(&placed, &left_out, units)]
}

fn draw(placed: &[Placed<'_>], left_out: &[&str], units: UnitSystem) -> Scene {
    let rims: Vec<Vec<Point>> = placed.iter().map(Placed::rim).collect();
    let all = || rims.iter().flatten();
    let least = |axis: usize| all().map(|point| point[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| all().map(|point| point[axis]).fold(f64::NEG_INFINITY, f64::max);
    let (west, south) = (least(0), least(1));
    let (wide, high) = (most(0) - west, most(1) - south);
    let room = WIDTH - 2.0 * MARGIN;
    // The scale at which both the width and the height fit.
    let scale = scale(wide.max(high * room / TALLEST), room, units);
    let per = scale.points_per_metre;
    let bottom = MARGIN + high * per;
    let on_sheet = |[east, north]: Point| [MARGIN + (east - west) * per, bottom - (north - south) * per];
    let mut board = Board::new(WIDTH, bottom + 40.0, "Basins where they lie".to_owned());
    let mut outlines = Vec::new();
    for rim in &rims {
        let points: Vec<Point> = rim.iter().map(|point| on_sheet(*point)).collect();
        board
            .scene
            .area(&points, Fill::Water, Some(Stroke::solid(1.2, Tone::Ink)));
        outlines.push(points);
    }
    for points in outlines {
        for side in closed(points).windows(2) {
            board.taken.claim_line(side);
        }
    }
    let frame = Bounds::at([0.0, 0.0], [WIDTH, bottom + 16.0]);
    let unit = natural_unit(wide.max(high), Kind::Length, units);
    let mut said = Vec::new();
    for basin in placed {
        let size = [basin.outline.length, basin.outline.width].map(|m| show_in(m, unit, DIGITS));
        board.put_near(on_sheet(basin.middle), basin.name, &frame);
        said.push(format!("{}, {} by {}", basin.name, size[0], size[1]));
    }
    north(&mut board);
    scale_bar(&mut board, &scale, units, bottom + 22.0);
    board.scene.alt = format!(
        "Site plan to a scale of {}, north up: {}.",
        scale.words,
        said.join("; ")
    );
    board.scene.notes.push(format!(
        "To scale, {}; rims at the positions that the plan gives, north up.",
        scale.words
    ));
    if !left_out.is_empty() {
        board.scene.notes.push(format!(
            "Without a position and a shape, and so not drawn: {}.",
            left_out.join(", ")
        ));
    }
    board.scene
}

/// An arrow to the north at the right edge.
fn north(board: &mut Board) {
    let x = WIDTH - 8.0;
    board
        .scene
        .line(&[[x, 34.0], [x, 12.0]], Stroke::solid(0.8, Tone::Ink));
    let head = [[x - 3.0, 18.0], [x + 3.0, 18.0], [x, 10.0]];
    board.scene.area(&head, Fill::Ink, None);
    board.put(Text::new([x, 5.0], Anchor::Middle, 7.0, "N").strong());
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{engine::Engine, report::drawing::Item};

    fn drawn(text: &str) -> Vec<Scene> {
        let (mut engine, cards) = Engine::new();
        cards.unwrap();
        let source = engine.sources.add("plan.jsonc", text);
        let opened = engine.open(source, Vec::new()).unwrap();
        site_plan(&opened.plan, &opened.ledger, UnitSystem::Si)
    }

    /// The rims on the sheet, in the plan’s order.
    fn outlines(scene: &Scene) -> impl Iterator<Item = &[Point]> {
        scene.items.iter().filter_map(|item| match item {
            Item::Path {
                points,
                fill: Some(Fill::Water),
                ..
            } => Some(points.as_slice()),
            _ => None,
        })
    }

    fn middle(points: &[Point]) -> Point {
        let sum = |axis: usize| points.iter().map(|point| point[axis]).sum::<f64>();
        [0, 1].map(|axis| sum(axis) / points.len() as f64)
    }

    fn plan(place: &str) -> String {
        let shape = "\"shape\": {\"form\": \"rectangle\", \"length\": \"6 m\", \"width\": \"2 m\"}";
        format!(
            "{{\"format\": \"bywash plan 1\", \"basins\": {{
              \"a\": {{\"kind\": \"pond\", {shape}, \"position\": {{\"east\": \"5 m\", \"north\": \"5 m\"}}}},
              \"b\": {{\"kind\": \"pond\", {shape}{place}}}}}}}"
        )
    }

    #[test]
    fn without_places_there_is_no_site_plan() {
        assert_eq!(drawn(&plan("")), Vec::new());
    }

    #[test]
    fn basins_lie_where_the_plan_says_turned_as_it_says() {
        let place = ", \"position\": {\"east\": \"12 m\", \"north\": \"5 m\", \"turned\": 90}";
        let scenes = drawn(&plan(place));
        let outlines: Vec<&[Point]> = outlines(&scenes[0]).collect();
        let extent = |points: &[Point], axis: usize| {
            let values = || points.iter().map(|point| point[axis]);
            (
                values().fold(f64::INFINITY, f64::min),
                values().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let (first, second) = (extent(outlines[0], 0), extent(outlines[1], 0));
        // One metre on the sheet, by the first basin's length.
        let metre = (first.1 - first.0) / 6.0;
        assert!((second.1 - second.0 - 2.0 * metre).abs() < 1e-6, "turned");
        // From the east end of the first, 8 m, to the west side of the second, 11 m.
        assert!((second.0 - first.1 - 3.0 * metre).abs() < 1e-6);
        assert!(scenes[0].alt.contains("6 m by 2 m"), "{}", scenes[0].alt);
    }

    /// Middles that the plan puts 6.5 m apart, to the east and the north, lie so far apart at the scale that is printed; a
    /// point is 1/72 in.
    #[test]
    fn distances_are_those_of_the_plan_at_the_scale_that_is_printed() {
        let place = ", \"position\": {\"east\": \"11 m\", \"north\": \"7.5 m\"}";
        let scene = &drawn(&plan(place))[0];
        let ratio: f64 = scene.notes[0]
            .split_once("1:")
            .and_then(|(_, rest)| rest.split([';', ',', ' ', ')']).next()?.parse().ok())
            .unwrap();
        let middles: Vec<Point> = outlines(scene).map(middle).collect();
        let apart = [middles[1][0] - middles[0][0], middles[0][1] - middles[1][1]];
        let metres = apart.map(|points| points / 72.0 * 0.0254 * ratio);
        assert!(
            (metres[0] - 6.0).abs() < 0.01 && (metres[1] - 2.5).abs() < 0.01,
            "{metres:?}"
        );
    }

    #[test]
    fn names_lie_clear_of_each_other_and_on_the_sheet_however_close_basins_lie() {
        let basins: Vec<String> = (0..9)
            .map(|index| {
                let (east, north) = (index % 3 * 2 + 3, index / 3 * 2 + 3);
                format!(
                    "\"b{index}\": {{\"kind\": \"pond\", \"name\": \"upper reflecting basin {index} by the old wall\",
                       \"shape\": {{\"form\": \"rectangle\", \"length\": \"1.6 m\", \"width\": \"1.2 m\"}},
                       \"position\": {{\"east\": \"{east} m\", \"north\": \"{north} m\"}}}}"
                )
            })
            .collect();
        let text = format!(
            "{{\"format\": \"bywash plan 1\", \"basins\": {{{}}}}}",
            basins.join(",")
        );
        let scene = &drawn(&text)[0];
        let boxes = scene.boxes();
        assert!(
            boxes.len() > 9,
            "each basin, the north arrow and the scale bar have words"
        );
        for (index, one) in boxes.iter().enumerate() {
            assert!(one.left >= 0.0 && one.top >= 0.0, "{one:?}");
            assert!(one.right <= scene.width && one.bottom <= scene.height, "{one:?}");
            assert!(
                boxes[index + 1..].iter().all(|other| !one.meets(other)),
                "{one:?}"
            );
        }
    }
}
