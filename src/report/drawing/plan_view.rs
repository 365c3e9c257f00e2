//! The basins in plan, each from its shape, all to one scale. Where falls and pumps sit is not in a plan of levels
//! and sizes, so it is not drawn.

use crate::{
    ledger::Ledger,
    plan::{Basin as Planned, Form, Plan},
    quantity::{Kind, Unit, UnitSystem, natural_unit, show_in},
    report::drawing::{
        WIDTH,
        board::Board,
        outline::{Outline, outlined},
        scale::{Scale, graduation, length_unit, round_step, scale},
        scene::{Anchor, Fill, Point, Scene, Stroke, Text, Tone},
        text::fit,
    },
};

/// Tallest and widest outline, pt.
const TALLEST: f64 = 120.0;
const WIDEST: f64 = 210.0;
/// Room beside and below an outline for its sizes.
const SIDE: f64 = 46.0;
const BELOW: f64 = 30.0;
const HEAD: f64 = 22.0;
/// Height of a full sheet, pt.
const SHEET: f64 = 520.0;
const CORNERS: u32 = 64;
/// Line that the edge of a floor is drawn with, pt.
const FLOOR_EDGE: f64 = 0.6;
/// Where the scale bar begins, pt.
const BAR: f64 = 6.0;

/// Digits of a side, at least.
const DIGITS: usize = 3;

struct Basin<'a> {
    name: &'a str,
    outline: Outline,
}

/// Plan sketches of the basins whose shape is shown, all to one scale, some to a sheet.
pub(super) fn sketches(plan: &Plan, ledger: &Ledger, units: UnitSystem) -> Vec<Scene> {
    let mut basins = Vec::new();
    let (mut by_areas, mut unknown) = (Vec::new(), Vec::new());
    for (basin, name, outline) in outlined(plan, ledger) {
        match outline {
            Some(outline) => basins.push(Basin { name, outline }),
            None if by_contours(basin) => by_areas.push(name),
            None => unknown.push(name),
        }
    }
    let longest = basins
        .iter()
        .map(|basin| basin.outline.length)
        .fold(0.0, f64::max);
    let widest = basins.iter().map(|basin| basin.outline.width).fold(0.0, f64::max);
    let scale = scale(longest.max(widest * WIDEST / TALLEST), WIDEST, units);
    // One unit for every side, the one of the longest: no side in feet beside one in inches.
    let unit = natural_unit(longest.max(widest), Kind::Length, units);
    let mut scenes: Vec<Scene> = sheets(&basins, &scale)
        .into_iter()
        .map(|places| {
            let mut board = Board::new(WIDTH, 0.0, "Basins in plan".to_owned());
            let mut bottom = 0.0_f64;
            let mut drawn = Vec::new();
            for Placed { basin, corner, size } in places {
                let middle = [corner[0] + 1.0 + size[0] / 2.0, corner[1] + HEAD + size[1] / 2.0];
                one(&mut board, basin, middle, size, share(size) - 6.0, unit);
                bottom = bottom.max(corner[1] + HEAD + size[1] + BELOW);
                drawn.push(basin);
            }
            scale_bar(&mut board, &scale, units, bottom + 8.0);
            board.scene.height = bottom + 26.0;
            describe(&mut board.scene, &drawn, &scale, unit);
            board.scene
        })
        .collect();
    if let Some(last) = scenes.last_mut() {
        last.notes.extend(not_sketched(&by_areas, &unknown));
    }
    scenes
}

/// Whether areas at levels stand for a basin's shape: enough for volumes, but no outline.
fn by_contours(basin: &Planned) -> bool {
    basin
        .contours
        .value()
        .is_some_and(|contours| !contours.is_empty())
}

/// Why basins have no sketch.
fn not_sketched(by_areas: &[&str], unknown: &[&str]) -> Vec<String> {
    let mut said = Vec::new();
    if !by_areas.is_empty() {
        let names = by_areas.join(", ");
        said.push(format!(
            "Not sketched, as areas at levels give a volume but no outline: {names}."
        ));
    }
    if !unknown.is_empty() {
        let names = unknown.join(", ");
        said.push(format!(
            "Not sketched, as the plan shows no form with its sizes: {names}."
        ));
    }
    said
}

/// A sketch and where it stands on its sheet.
struct Placed<'a> {
    basin: &'a Basin<'a>,
    corner: Point,
    size: Point,
}

/// The width a sketch takes with the room beside it, pt.
fn share(size: Point) -> f64 {
    size[0].max(96.0) + SIDE
}

/// The sketches in rows, the rows on sheets.
fn sheets<'a>(basins: &'a [Basin<'a>], scale: &Scale) -> Vec<Vec<Placed<'a>>> {
    let mut sheets: Vec<Vec<Placed<'a>>> = Vec::new();
    let (mut x, mut y, mut high) = (0.0, f64::INFINITY, 0.0_f64);
    for basin in basins {
        let size = [basin.outline.length, basin.outline.width].map(|m| m * scale.points_per_metre);
        if x > 0.0 && x + share(size) > WIDTH {
            (x, y, high) = (0.0, y + high, 0.0);
        }
        if y + HEAD + size[1] + BELOW > SHEET {
            sheets.push(Vec::new());
            (x, y, high) = (0.0, 0.0, 0.0);
        }
        let corner = [x, y];
        if let Some(sheet) = sheets.last_mut() {
            sheet.push(Placed { basin, corner, size });
        }
        x += share(size);
        high = high.max(HEAD + size[1] + BELOW);
    }
    sheets
}

fn one(board: &mut Board, basin: &Basin<'_>, [x, y]: Point, [long, wide]: Point, room: f64, unit: &Unit) {
    let outline = &basin.outline;
    let name = fit(basin.name, 8.0, true, room);
    let left = x - long / 2.0 - 1.0;
    board.put(Text::new([left, y - wide / 2.0 - 12.0], Anchor::Start, 8.0, name).strong());
    let per_metre = long / outline.length;
    let ring = |below: f64| {
        let inset = [
            outline.inset(below, outline.length),
            outline.inset(below, outline.width),
        ];
        let [half_long, half_wide] = [
            long / 2.0 - inset[0] * per_metre,
            wide / 2.0 - inset[1] * per_metre,
        ];
        corners(outline.form, [x, y], [half_long, half_wide])
    };
    board
        .scene
        .area(&ring(0.0), Fill::Water, Some(Stroke::solid(1.2, Tone::Ink)));
    for &(below, _) in &outline.shelves {
        board
            .scene
            .area(&ring(below), Fill::Paper, Some(Stroke::solid(0.4, Tone::Soft)));
        board.scene.area(
            &ring(below + 1e-6),
            Fill::Water,
            Some(Stroke::solid(0.4, Tone::Soft)),
        );
    }
    let thin = Stroke::solid(FLOOR_EDGE, Tone::Soft);
    if let Some(depth) = floor_depth(outline) {
        board.scene.line(&closed(ring(depth)), thin);
        if has_corners(outline) {
            // Where two sloped sides meet, down to the floor: the outer corners of each slope to its inner ones.
            for pair in outline
                .bends(depth)
                .windows(2)
                .filter(|pair| slopes(outline, pair))
            {
                for (upper, lower) in ring(pair[0]).into_iter().zip(ring(pair[1])) {
                    board.scene.line(&[upper, lower], Stroke::solid(0.3, Tone::Soft));
                }
            }
        }
    }
    let length = |m: f64| show_in(m, unit, DIGITS);
    let below = y + wide / 2.0 + 7.0;
    board.dimension([x - long / 2.0, below], [x + long / 2.0, below]);
    board.put(Text::new(
        [x, below + 8.0],
        Anchor::Middle,
        7.0,
        length(outline.length),
    ));
    if outline.form != Form::Circle {
        let beside = x + long / 2.0 + 7.0;
        board.dimension([beside, y - wide / 2.0], [beside, y + wide / 2.0]);
        board.put_in(
            [beside + 4.0, y],
            Anchor::Start,
            &length(outline.width),
            SIDE - 14.0,
        );
    }
}

/// The depth of the floor below the rim where its edge stands in from the outline; a bowl has no edge.
fn floor_depth(outline: &Outline) -> Option<f64> {
    let sloped = outline.slope.is_some_and(|slope| slope > 0.0);
    let depth = outline.depth?;
    (outline.form != Form::Bowl && (sloped || !outline.shelves.is_empty())).then_some(depth)
}

/// Whether sloped sides meet in corners.
fn has_corners(outline: &Outline) -> bool {
    let sloped = outline.slope.is_some_and(|slope| slope > 0.0);
    outline.form == Form::Rectangle && sloped && floor_depth(outline).is_some()
}

/// Whether the side between two depths is a slope, and not a wall or a shelf.
fn slopes(outline: &Outline, depths: &[f64]) -> bool {
    let steps = outline.inset(depths[1], outline.width) - outline.inset(depths[0], outline.width);
    depths[1] - depths[0] > 1e-3 && steps > 1e-3
}

pub(super) fn closed(points: Vec<Point>) -> Vec<Point> {
    let first = points.first().copied();
    points.into_iter().chain(first).collect()
}

pub(super) fn corners(form: Form, [x, y]: Point, [long, wide]: Point) -> Vec<Point> {
    let (long, wide) = (long.max(0.0), wide.max(0.0));
    if form == Form::Rectangle {
        return vec![
            [x - long, y - wide],
            [x + long, y - wide],
            [x + long, y + wide],
            [x - long, y + wide],
        ];
    }
    let turn = |step: u32| f64::from(step) / f64::from(CORNERS) * std::f64::consts::TAU;
    (0..CORNERS)
        .map(|step| [x + long * turn(step).cos(), y + wide * turn(step).sin()])
        .collect()
}

/// A graduated bar.
pub(super) fn scale_bar(board: &mut Board, scale: &Scale, units: UnitSystem, y: f64) {
    let (unit, symbol) = length_unit(units);
    let step = round_step(24.0 / (scale.points_per_metre * unit));
    let long = step * unit * scale.points_per_metre;
    let edge = Some(Stroke::solid(0.4, Tone::Ink));
    for part in 0..4u32 {
        let left = BAR + long * f64::from(part);
        let fill = if part % 2 == 0 { Fill::Ink } else { Fill::Paper };
        let bar = [
            [left, y],
            [left + long, y],
            [left + long, y + 4.0],
            [left, y + 4.0],
        ];
        board.scene.area(&bar, fill, edge);
        let words = graduation(step * f64::from(part), step);
        board.put(Text::new([left, y + 11.0], Anchor::Middle, 7.0, words));
    }
    let words = format!("{} {symbol}", graduation(step * 4.0, step));
    board.put(Text::new(
        [BAR + long * 4.0, y + 11.0],
        Anchor::Middle,
        7.0,
        words,
    ));
}

fn describe(scene: &mut Scene, basins: &[&Basin<'_>], scale: &Scale, unit: &Unit) {
    let said = basins.iter().map(|basin| {
        let outline = &basin.outline;
        let form = match outline.form {
            Form::Rectangle => "rectangle",
            Form::Ellipse => "ellipse",
            Form::Circle => "circle",
            Form::Bowl => "bowl",
        };
        let size = [outline.length, outline.width].map(|m| show_in(m, unit, DIGITS));
        let shelves = match outline.shelves.len() {
            0 => String::new(),
            1 => ", one shelf".to_owned(),
            many => format!(", {many} shelves"),
        };
        format!("{}: {form}, {} by {}{shelves}.", basin.name, size[0], size[1])
    });
    let said: Vec<String> = said.collect();
    scene.alt = format!("Plan sketches to a scale of {}. {}", scale.words, said.join(" "));
    scene.notes.push(format!(
        "Sizes at the rim, to scale, {}{}.",
        scale.words,
        lines(basins)
    ));
    scene.notes.push(
        "Where basins, falls and pumps lie to each other is not in the plan’s data and is not drawn."
            .to_owned(),
    );
}

/// What the lines inside the outlines are, as far as there are any.
fn lines(basins: &[&Basin<'_>]) -> String {
    let any = |is: fn(&Outline) -> bool| basins.iter().any(|basin| is(&basin.outline));
    let kinds = [
        (
            any(|outline| !outline.shelves.is_empty()),
            "white bands are shelves",
        ),
        (
            any(|outline| floor_depth(outline).is_some()),
            "the innermost line is the edge of the floor",
        ),
        (any(has_corners), "slanting lines are the corners of slopes"),
    ];
    let said: Vec<&str> = kinds
        .into_iter()
        .filter_map(|(drawn, words)| drawn.then_some(words))
        .collect();
    if said.is_empty() {
        String::new()
    } else {
        format!("; {}", said.join(", "))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{
        super::scene::{Item, Pattern},
        *,
    };
    use crate::engine::Engine;

    fn basin(form: Form, slope: Option<f64>, shelves: &[(f64, f64)]) -> Basin<'static> {
        let outline = Outline {
            form,
            length: 6.0,
            width: 4.0,
            depth: Some(1.5),
            slope,
            shelves: shelves.to_vec(),
        };
        Basin {
            name: "pool",
            outline,
        }
    }

    #[test]
    fn all_sides_are_told_in_the_unit_of_the_longest() {
        let (mut engine, cards) = Engine::new();
        cards.unwrap();
        let text = include_str!("../../../examples/two-ponds.jsonc");
        let source = engine.sources.add("plan.jsonc", text);
        let opened = engine.open(source, Vec::new()).unwrap();
        let scenes = sketches(&opened.plan, &opened.ledger, UnitSystem::Us);
        let texts = scenes
            .iter()
            .flat_map(|scene| &scene.items)
            .filter_map(|item| match item {
                Item::Text(text) => Some(text.text.as_str()),
                _ => None,
            });
        let texts: Vec<&str> = texts.collect();
        // The pump well's short side, 60 in alone.
        assert!(texts.contains(&"5 ft") && texts.contains(&"30 ft"), "{texts:?}");
        assert!(texts.iter().all(|text| !text.ends_with(" in")), "{texts:?}");
        assert!(
            scenes
                .iter()
                .all(|scene| !scene.alt.contains(" in by") && !scene.alt.contains(" in."))
        );
    }

    #[test]
    fn a_caption_names_only_what_is_drawn() {
        let said = |basin: Basin<'_>| lines(&[&basin]);
        assert_eq!(said(basin(Form::Rectangle, Some(0.0), &[])), "");
        assert_eq!(said(basin(Form::Bowl, None, &[])), "");
        let sloped = said(basin(Form::Rectangle, Some(0.5), &[]));
        assert!(sloped.contains("floor") && sloped.contains("corners") && !sloped.contains("shelves"));
        let round = said(basin(Form::Ellipse, Some(0.5), &[]));
        assert!(round.contains("floor") && !round.contains("corners"));
        let stepped = said(basin(Form::Rectangle, None, &[(0.5, 0.3)]));
        assert!(stepped.contains("shelves") && stepped.contains("floor") && !stepped.contains("corners"));
    }

    #[test]
    fn a_narrow_floor_is_drawn_with_the_slopes_down_to_it() {
        let basin = basin(Form::Rectangle, Some(1.3), &[]);
        let mut board = Board::new(WIDTH, 0.0, String::new());
        one(
            &mut board,
            &basin,
            [100.0, 60.0],
            [90.0, 60.0],
            90.0,
            natural_unit(6.0, Kind::Length, UnitSystem::Si),
        );
        let paths = board.scene.items.iter().filter_map(|item| match item {
            Item::Path { points, stroke, .. } => stroke.map(|stroke| (points.len(), stroke.pattern)),
            _ => None,
        });
        let paths: Vec<(usize, Pattern)> = paths.collect();
        // The floor's edge all round and a line from each corner, none of them dashed.
        assert!(paths.contains(&(5, Pattern::Solid)));
        assert!(paths.iter().filter(|(points, _)| *points == 2).count() >= 4);
        assert!(paths.iter().all(|(_, pattern)| *pattern == Pattern::Solid));
    }

    #[test]
    fn basins_without_a_sketch_are_told_by_what_the_plan_gives() {
        assert!(not_sketched(&[], &[]).is_empty());
        let said = not_sketched(&["mill pond"], &["pool", "sump"]);
        assert_eq!(said.len(), 2);
        assert!(said[0].contains("areas at levels") && said[0].ends_with("mill pond."));
        assert!(said[1].contains("no form") && said[1].ends_with("pool, sump."));
    }
}
