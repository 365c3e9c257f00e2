//! Sheets and strips as they are cut from the roll, some to a drawing.

use crate::{
    papers::Layout,
    quantity::{Kind, UnitSystem, show_computed},
    report::drawing::{
        WIDTH,
        board::LABEL,
        scene::{Anchor, Fill, Item, Pattern, Scene, Stroke, Text, Tone},
        text::{LINE_HEIGHT, fit},
    },
};

/// Layouts side by side.
const ABREAST: usize = 2;
/// Room for a layout, pt.
const ROOM: (f64, f64) = (WIDTH / ABREAST as f64 - 26.0, 118.0);
/// Room for its title over it and its sizes under it, pt.
const TOP: f64 = 24.0;
const UNDER: f64 = 16.0;

/// Layouts, two to a drawing.
pub(super) fn roll_layouts(layouts: &[Layout], units: UnitSystem) -> Vec<Scene> {
    let sheets = layouts.chunks(ABREAST).enumerate();
    let count = layouts.len().div_ceil(ABREAST);
    sheets
        .map(|(index, some)| {
            let mut scene = Scene {
                width: WIDTH,
                title: match count {
                    1 => "Layout on the roll".to_owned(),
                    _ => format!("Layout on the roll, {} of {count}", index + 1),
                },
                ..Scene::default()
            };
            let mut told = Vec::new();
            for (column, layout) in some.iter().enumerate() {
                let left = column as f64 * (WIDTH / ABREAST as f64);
                told.push(draw(&mut scene, layout, left, units));
            }
            scene.alt = format!("{}.", told.join("; "));
            if index + 1 == count {
                scene
                    .notes
                    .push("Each to a scale of its own; hatched: laps.".to_owned());
            }
            scene
        })
        .collect()
}

/// Draws a layout with its left edge there; gives back what it shows in words.
fn draw(scene: &mut Scene, layout: &Layout, left: f64, units: UnitSystem) -> String {
    // The longer side lies across the sheet.
    let turned = layout.width > layout.length;
    let (long, short) = if turned {
        (layout.width, layout.length)
    } else {
        (layout.length, layout.width)
    };
    let points = (ROOM.0 / long.max(1e-6)).min(ROOM.1 / short.max(1e-6));
    let (wide, high) = (long * points, short * points);
    let at = |along: f64, across: f64| {
        let (x, y) = if turned { (across, along) } else { (along, across) };
        [left + x * points, TOP + y * points]
    };
    let corners = |along: f64, across: f64, length: f64, width: f64| {
        [
            at(along, across),
            at(along + length, across),
            at(along + length, across + width),
            at(along, across + width),
        ]
    };
    let title = fit(&layout.title, LABEL, true, ROOM.0 + 16.0);
    scene.items.push(Item::Text(
        Text::new([left, LABEL], Anchor::Start, LABEL, title).strong(),
    ));
    let outline = Stroke::new(0.5, Tone::Soft, Pattern::Dashed);
    scene.area(
        &corners(0.0, 0.0, layout.length, layout.width),
        Fill::Paper,
        Some(outline),
    );
    let edge = Stroke::solid(0.7, Tone::Ink);
    for (index, piece) in layout.pieces.iter().enumerate() {
        let fill = Fill::Paper;
        scene.area(
            &corners(piece.along, piece.across, piece.length, piece.width),
            fill,
            Some(edge),
        );
        if layout.lap > 0.0 && index > 0 {
            let lap = corners(piece.along, piece.across, piece.length, layout.lap);
            scene.area(&lap, Fill::Soil, Some(Stroke::solid(0.4, Tone::Soft)));
        }
    }
    for (index, piece) in layout.pieces.iter().enumerate() {
        let lap = if index > 0 { layout.lap } else { 0.0 };
        // The next strip lies over this one's edge.
        let is_last = index + 1 == layout.pieces.len();
        let seen = piece.width - lap - if is_last { 0.0 } else { layout.lap };
        let (along, across) = (piece.length * points, seen * points);
        let (room, free) = if turned {
            (across - 4.0, along)
        } else {
            (along - 4.0, across)
        };
        if free < LABEL * LINE_HEIGHT {
            continue;
        }
        let (long, wide) = (length(piece.length, units), length(piece.width, units));
        let size = format!("{long} × {wide}");
        let middle = at(piece.along + piece.length / 2.0, piece.across + lap + seen / 2.0);
        // On one line where there is room, else the name over the size, else each length on a line of its own.
        let line = format!("{}: {size}", piece.name);
        let has_room = |lines: usize| free >= lines as f64 * LABEL * LINE_HEIGHT;
        let lines = if fit(&line, LABEL, false, room) == line || !has_room(2) {
            vec![line]
        } else if fit(&size, LABEL, false, room) == size || !has_room(3) {
            vec![piece.name.clone(), size]
        } else {
            vec![piece.name.clone(), format!("{long} ×"), wide]
        };
        let first = middle[1] - (lines.len() - 1) as f64 / 2.0 * LABEL * LINE_HEIGHT;
        for (index, line) in lines.iter().enumerate() {
            let at = [middle[0], first + index as f64 * LABEL * LINE_HEIGHT];
            let words = fit(line, LABEL, false, room);
            scene
                .items
                .push(Item::Text(Text::new(at, Anchor::Middle, LABEL, words)));
        }
    }
    let sizes = format!(
        "{} along, {} across",
        length(layout.length, units),
        length(layout.width, units)
    );
    let under = [left, TOP + high + 8.0];
    let words = fit(&sizes, LABEL, false, ROOM.0.max(wide));
    scene
        .items
        .push(Item::Text(Text::new(under, Anchor::Start, LABEL, words)));
    scene.height = scene.height.max(TOP + high + UNDER);
    format!("{}: {sizes}", layout.title)
}

fn length(si: f64, units: UnitSystem) -> String {
    show_computed(si, Kind::Length, units)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::Piece;

    /// Four strips of 26.3 ft under laps of 12 in: each label is whole, and lies where no lap covers its strip.
    #[test]
    fn labels_of_narrow_strips_are_whole_and_clear_of_laps() {
        let foot = 0.3048;
        let pieces: Vec<Piece> = (0..4)
            .map(|strip| Piece {
                name: format!("strip {}", strip + 1),
                along: 0.0,
                across: f64::from(strip) * 11.5 * foot,
                length: 26.3 * foot,
                width: 12.5 * foot,
            })
            .collect();
        let layout = Layout {
            title: "underlay".to_owned(),
            width: 47.0 * foot,
            length: 26.3 * foot,
            pieces,
            lap: foot,
        };
        let scenes = roll_layouts(&[layout], UnitSystem::Us);
        let points = (ROOM.0 / 47.0).min(ROOM.1 / 26.3);
        let names = scenes[0].items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text),
            _ => None,
        });
        let names: Vec<&Text> = names.collect();
        assert!(names.iter().all(|text| !text.text.contains('…')), "{names:?}");
        let middles: Vec<f64> = names
            .iter()
            .filter(|text| text.text.starts_with("strip"))
            .map(|text| text.at[0])
            .collect();
        // Seen are 0 to 11.5, 12.5 to 23, 24 to 34.5 and 35.5 to 47 ft.
        for (middle, seen) in middles.iter().zip([5.75, 17.75, 29.25, 41.25]) {
            assert!((middle - seen * points).abs() < 1e-6, "{middle} for {seen}");
        }
        assert_eq!(middles.len(), 4);
    }
}
