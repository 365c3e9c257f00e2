//! What is drawn stands where the plan and the review say: pipes at their depth, basins by their size, the level behind a
//! finding in a line of its own, streams into what they feed; no text too small to read on a site.

use super::{
    super::legend::{FINDING, NAPPE, PIPE},
    FAULTY, Item, LEDGE, METRIC, MINIMAL, PONDS, Point, SERIES, SOUND, STARTER, STREAM, drawn, reviewed,
};
use crate::report::drawing::{
    LiveSection, live,
    scene::{Pattern, Stroke},
};

fn live_sections(text: &str) -> Vec<LiveSection> {
    let (opened, review) = reviewed(text);
    live(&opened.plan, &opened.ledger, &review).sections
}

/// Lines of a section in one stroke.
fn in_stroke(section: &LiveSection, stroke: Stroke) -> Vec<&[Point]> {
    let of = |item| match item {
        &Item::Path {
            ref points,
            stroke: Some(own),
            ..
        } if own == stroke => Some(points.as_slice()),
        _ => None,
    };
    section.scene.items.iter().filter_map(of).collect()
}

/// How deep the pipe runs along grade at its lowest, m from the benchmark; it is dotted where it passes behind a basin.
fn pipe_level(text: &str) -> f64 {
    let sections = live_sections(text);
    let section = &sections[0];
    let behind = Stroke::new(PIPE.weight, PIPE.tone, Pattern::Dotted);
    let along = [PIPE, behind].map(|stroke| in_stroke(section, stroke)).concat();
    // The legend, with a pipe of its own, stands below every floor.
    let floors = section.basins.iter().map(|basin| section.y(basin.walls[0].0));
    let floor = floors.fold(0.0, f64::max);
    let lowest = along
        .into_iter()
        .flat_map(|points| points.windows(2))
        .filter(|pair| (pair[0][0] - pair[1][0]).abs() > 10.0)
        .flat_map(|pair| [pair[0][1], pair[1][1]])
        .filter(|y| *y < floor)
        .fold(0.0, f64::max);
    (section.datum - lowest) / section.points_per_metre
}

#[test]
fn a_pipe_runs_along_grade_at_the_depth_it_is_buried_at() {
    let buried = "\"buried\": \"18 in\"";
    assert!(SOUND.contains(buried));
    let at = |depth: &str| pipe_level(&SOUND.replacen(buried, &format!("\"buried\": \"{depth}\""), 1));
    // Deeper by 12 in is drawn lower by 0.3048 m to the scale of the levels.
    assert!((at("18 in") - at("30 in") - 0.3048).abs() < 0.002);
    assert!((at("6 in") - at("18 in") - 0.3048).abs() < 0.002);
}

#[test]
fn a_longer_basin_is_drawn_wider() {
    let basin = |id: &str, length: &str, level: &str| {
        format!(
            r#""{id}": {{ "kind": "pond", "still": "{level}", "rim": "40 in", "floor": "-60 in",
               "shape": {{ "form": "rectangle", "length": "{length}", "width": "4 ft" }} }}"#
        )
    };
    let plan = format!(
        r#"{{ "format": "bywash plan 1", "basins": {{ {}, {}, {} }} }}"#,
        basin("a", "9 ft", "30 in"),
        basin("b", "30 ft", "20 in"),
        basin("c", "16 ft", "10 in"),
    );
    let sections = live_sections(&plan);
    let width = |id: &str| {
        let mut basins = sections.iter().flat_map(|section| &section.basins);
        let basin = basins
            .find(|basin| basin.place.as_str() == format!("/basins/{id}"))
            .unwrap();
        let (_, [left, right]) = basin.walls.last().unwrap();
        right - left
    };
    assert!(width("a") + 2.0 < width("c") && width("c") + 2.0 < width("b"));
    assert!(
        sections[0].scene.notes[0].contains("across, only which basin is longer"),
        "{:?}",
        sections[0].scene.notes
    );
}

#[test]
fn the_level_behind_a_stop_or_revision_is_a_line_of_its_own() {
    // A rim under its overflow: a storm runs over it.
    let rim = "\"rim\": \"-6 in\"";
    assert!(SOUND.contains(rim));
    let text = SOUND.replacen(rim, "\"rim\": \"-11 in\"", 1);
    let (opened, review) = reviewed(&text);
    let storm = review
        .findings
        .iter()
        .find(|finding| finding.figure.as_deref() == Some("freeboard-storm"))
        .unwrap();
    let sections = live(&opened.plan, &opened.ledger, &review).sections;
    let basin = sections
        .iter()
        .flat_map(|section| section.basins.iter().map(move |basin| (section, basin)))
        .find(|(_, basin)| basin.place == storm.object);
    let (section, basin) = basin.unwrap();
    // The freeboard is what the rim stands over the water.
    let level = basin.rim - storm.found.si.unwrap();
    let drawn = in_stroke(section, FINDING);
    assert!(
        drawn
            .iter()
            .any(|points| (points[0][1] - section.y(level)).abs() < 0.1
                && (points[0][1] - points[1][1]).abs() < 0.01),
        "{drawn:?} and {}",
        section.y(level)
    );
    // A sound plan has no such line.
    assert!(
        live_sections(SOUND)
            .iter()
            .all(|section| in_stroke(section, FINDING).is_empty())
    );
}

#[test]
fn a_stream_ends_over_the_water_of_what_it_feeds() {
    for text in [STREAM, LEDGE] {
        let sections = live_sections(text);
        let (opened, _) = reviewed(text);
        let fed = opened
            .plan
            .streams
            .values()
            .next()
            .unwrap()
            .ends_in
            .value()
            .unwrap()
            .clone();
        let of_fed = |section: &LiveSection| {
            let mut basins = section.basins.iter();
            basins
                .find(|basin| basin.place.as_str() == format!("/basins/{fed}"))
                .cloned()
        };
        let (section, basin) = sections
            .iter()
            .find_map(|section| Some((section, of_fed(section)?)))
            .unwrap();
        let (_, [left, right]) = *basin.walls.last().unwrap();
        let ends = in_stroke(section, NAPPE)
            .into_iter()
            .filter_map(|points| points.last().copied());
        let ends: Vec<Point> = ends.filter(|[x, _]| (left..right).contains(x)).collect();
        assert!(!ends.is_empty(), "nothing ends in {fed}");
        let (floor, _) = basin.walls[0];
        let within = section.y(basin.rim)..=section.y(floor);
        assert!(
            ends.iter().all(|[_, y]| within.contains(y)),
            "{ends:?} in {within:?}"
        );
    }
}

#[test]
fn no_text_is_smaller_than_seven_points() {
    let mut texts = 0;
    for text in [
        SOUND, FAULTY, METRIC, MINIMAL, PONDS, LEDGE, STARTER, STREAM, SERIES,
    ] {
        let (drawings, _) = drawn(text);
        for scene in drawings.scenes() {
            for text in scene.texts() {
                assert!(text.size >= 7.0, "{} in {}", text.text, scene.title);
                texts += 1;
            }
        }
    }
    assert!(texts > 300, "{texts}");
}

#[test]
fn one_bar_alone_is_told_in_a_sentence() {
    let (drawings, _) = drawn(SOUND);
    let [velocity] = drawings.velocities.as_slice() else {
        panic!("one chart")
    };
    assert!(velocity.items.is_empty(), "a bar is drawn");
    assert!(
        velocity.notes[0].starts_with("The velocity in "),
        "{:?}",
        velocity.notes
    );
    // Two runs are compared in bars.
    let (drawings, _) = drawn(PONDS);
    assert!(drawings.velocities.iter().all(|chart| !chart.items.is_empty()));
}
