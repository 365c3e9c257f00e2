//! What comes in is named, and overflows, check valves and the leaders of levels stand clear of each other.

use super::{
    super::{super::scene::Fill, legend::NAPPE},
    Bounds, FAULTY, Item, LEDGE, METRIC, PONDS, Point, drawn, texts,
};

#[test]
fn what_falls_or_streams_in_is_named() {
    let said = |text: &str| {
        let (drawings, _) = drawn(text);
        let all = drawings.sections.iter().flat_map(texts).map(str::to_owned);
        all.collect::<Vec<String>>()
    };
    for (text, words) in [
        (PONDS, "west spillway"),
        (PONDS, "stream from upper pond"),
        (LEDGE, "the run from head pool"),
        (LEDGE, "head fall"),
    ] {
        let said = said(text);
        assert!(said.iter().any(|text| text == words), "{words} in {said:?}");
    }
}

/// The tip of an arrowhead.
fn tip(item: &Item) -> Option<Point> {
    match item {
        Item::Path {
            points,
            fill: Some(Fill::Ink),
            ..
        } if points.len() == 3 => points.last().copied(),
        _ => None,
    }
}

/// A fall or the water of a stream where it comes in.
fn falling(item: &Item) -> Option<&[Point]> {
    match item {
        Item::Path {
            points,
            stroke: Some(stroke),
            ..
        } if *stroke == NAPPE => Some(points),
        _ => None,
    }
}

#[test]
fn an_overflow_stands_clear_of_what_comes_in() {
    let (drawings, _) = drawn(PONDS);
    let section = &drawings.sections[1];
    let falls: Vec<&[Point]> = section.items.iter().filter_map(falling).collect();
    let tips: Vec<Point> = section.items.iter().filter_map(tip).collect();
    // Into the stream, from it and beside it into the pond; and the overflows of two basins.
    assert!(falls.len() >= 3 && tips.len() >= 2);
    for [x, y] in tips {
        let around = Bounds::at([x - 3.0, y - 3.0], [6.0, 6.0]);
        for pair in falls.iter().flat_map(|points| points.windows(2)) {
            assert!(!around.crossed_by(&[pair[0], pair[1]]), "{x} {y} on {pair:?}");
        }
    }
}

#[test]
fn the_level_of_an_intake_leads_to_it_and_touches_no_check_valve() {
    for (text, said) in [(FAULTY, "intake −36 in"), (METRIC, "intake −2.2 m")] {
        let (drawings, _) = drawn(text);
        let section = &drawings.sections[0];
        let leader = section.items.windows(2).find_map(|pair| match pair {
            [Item::Path { points, .. }, Item::Text(text)] if text.text == said => Some(points),
            _ => None,
        });
        let [inner, knee, ..] = leader.unwrap().as_slice() else {
            panic!("a leader with a knee")
        };
        let pumps = section.items.iter().filter_map(|item| match item {
            Item::Disc { at, radius, .. } if *radius > 4.0 => Some(*at),
            _ => None,
        });
        let nearest = pumps
            .map(|[x, y]| (inner[0] - x).hypot(inner[1] - y))
            .fold(f64::MAX, f64::min);
        assert!(nearest < 6.0, "{said} ends {nearest} pt from its pump");
        // The bar or triangle of a check valve.
        let valves = section.items.iter().filter_map(|item| match item {
            Item::Path {
                points,
                fill: Some(Fill::Paper),
                closed: true,
                ..
            } if points.len() == 3 => Some(points[2]),
            _ => None,
        });
        let valves: Vec<Point> = valves.collect();
        assert!(!valves.is_empty());
        for [x, y] in valves {
            let around = Bounds::at([x - 5.0, y - 6.0], [10.0, 12.0]);
            assert!(
                !around.crossed_by(&[*inner, *knee]),
                "{said} crosses a check valve"
            );
        }
    }
}
