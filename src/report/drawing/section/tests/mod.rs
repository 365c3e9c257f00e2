#![allow(clippy::unwrap_used, clippy::panic)]

mod clear;
mod to_plan;

use proptest::prelude::*;

use crate::{
    engine::{Engine, Opened, ReviewOptions},
    figures,
    plan::Plan,
    read::{Place, Sources, parse},
    report::drawing::{
        Drawings, Item, Scene, drawings,
        scene::{Bounds, Point},
        section::legend::UNLINED,
    },
    review::Review,
};

const SOUND: &str = include_str!("../../../../../examples/courtyard-retrofit.jsonc");
const FAULTY: &str = include_str!("../../../../../examples/courtyard-as-sent.jsonc");
const METRIC: &str = include_str!("../../../../../examples/mill-yard-metric.jsonc");
const MINIMAL: &str = include_str!("../../../../../examples/minimal.jsonc");
const PONDS: &str = include_str!("../../../../../examples/two-ponds.jsonc");
const LEDGE: &str = include_str!("../../../../../examples/ledge-run.jsonc");
const STARTER: &str = include_str!("../../../../../examples/starter.jsonc");
/// A stream of three reaches, one of unknown drop, from a pool to a stone-filled reservoir with everything on it.
const STREAM: &str = r#"{
  "format": "bywash plan 1",
  "basins": {
    "head": { "name": "head pool", "kind": "pool", "still": "+30 in", "rim": "+34 in", "floor": "+12 in",
      "shape": { "form": "bowl", "length": "6 ft", "width": "4 ft" } },
    "store": { "kind": "reservoir", "still": "-14 in", "rim": "-4 in", "floor": "-48 in",
      "shape": { "form": "rectangle", "length": "10 ft", "width": "7 ft", "side_slope": "0.1:1",
        "shelves": { "ledge": { "level": "-30 in", "width": "1 ft" } } },
      "overflow": { "level": "-8 in" }, "skimmer": { "level": "-16 in" }, "bottom_drain": { "bore": "4 in" } }
  },
  "falls": { "lip": { "from": "head", "to": "brook", "crest": "+30 in" } },
  "streams": { "brook": { "name": "brook", "ends_in": "store", "reaches": {
    "upper": { "length": "9 ft", "drop": "7 in" }, "middle": { "length": "12 ft" }, "lower": { "drop": "9 in" } } } }
}"#;
/// Three basins with gravity lines past each other, a dry pump with one after it in series, and two lines side by side.
const SERIES: &str = r#"{
  "format": "bywash plan 1",
  "basins": {
    "a": { "name": "settling pond", "kind": "pond", "still": "+30 in", "rim": "+36 in", "floor": "-6 in", "overflow": {},
      "skimmer": { "level": "+28 in" } },
    "b": { "name": "filter bed", "kind": "bed", "still": "+18 in", "rim": "+25 in", "floor": "-14 in" },
    "c": { "name": "lower pond", "kind": "pond", "still": "0 in", "rim": "+6 in", "floor": "-48 in" }
  },
  "pumps": {
    "p": { "basin": "c", "mount": "dry", "level": "-10 in", "intake": "-30 in" },
    "q": { "basin": "c", "mount": "dry", "after": "p" },
    "r": { "basin": "c", "intake": "-40 in" }
  },
  "lines": {
    "l": { "name": "feed", "from": "q", "runs": { "trunk": {}, "u": { "after": "trunk", "to": "a" },
      "v": { "after": "trunk", "to": "b" } } },
    "m": { "name": "second line", "from": "r", "runs": { "t": { "to": "a" } } }
  },
  "drains": {
    "d": { "name": "skimmer drain", "from": "a", "to": "b", "mouth": { "form": "skimmer", "level": "+28 in" } },
    "e": { "name": "by-pass", "from": "a", "to": "c", "mouth": { "form": "bottom drain" } }
  }
}"#;

fn reviewed(text: &str) -> (Opened, Review) {
    let (mut engine, cards) = Engine::new();
    cards.unwrap();
    let source = engine.sources.add("plan.jsonc", text);
    let opened = engine.open(source, Vec::new()).unwrap();
    let review = engine.review(&opened, ReviewOptions::default());
    (opened, review)
}

fn drawn(text: &str) -> (Drawings, Review) {
    let (opened, review) = reviewed(text);
    (drawings(&opened.plan, &opened.ledger, &review), review)
}

/// Texts and marks lie inside the sheet and nowhere on each other.
fn overlap(scene: &Scene) -> Option<(Bounds, Bounds)> {
    let sheet = Bounds::at([0.0, 0.0], [scene.width, scene.height]);
    let boxes = scene.boxes();
    boxes.iter().enumerate().find_map(|(index, one)| {
        if !sheet.holds(one) {
            return Some((*one, sheet));
        }
        let other = boxes[index + 1..].iter().find(|other| one.meets(other))?;
        Some((*one, *other))
    })
}

fn texts(scene: &Scene) -> Vec<&str> {
    scene.texts().map(|text| text.text.as_str()).collect()
}

#[test]
fn examples_are_drawn_without_overlap() {
    for text in [
        SOUND,
        FAULTY,
        METRIC,
        MINIMAL,
        PONDS,
        LEDGE,
        STARTER,
        STREAM,
        SERIES,
        "{\"format\": \"bywash plan 1\"}",
    ] {
        let (drawings, _) = drawn(text);
        for scene in drawings.scenes() {
            assert_eq!(overlap(scene), None, "{}", scene.alt);
        }
        for scene in &drawings.sections {
            assert_eq!(scene.struck_out(), None, "{}", scene.alt);
        }
    }
}

#[test]
fn the_sound_plan_shows_its_levels_in_its_units() {
    let (drawings, _) = drawn(SOUND);
    let [section] = drawings.sections.as_slice() else {
        panic!("one section")
    };
    let texts = texts(section);
    for level in [
        "rim +17 in",
        "rim −6 in",
        "crest +10 in",
        "air inlet +7 in",
        "intake −36 in",
        "floor −60 in",
    ] {
        assert!(texts.contains(&level), "{level} in {texts:?}");
    }
    assert!(texts.iter().any(|text| text.starts_with("freeboard ")));
    assert!(section.notes[0].contains("(1:32)") && section.alt.contains("rim −6 in"));
    assert_eq!(drawings.curves.len(), 1);
}

#[test]
fn the_metric_plan_is_drawn_in_metres() {
    let (drawings, _) = drawn(METRIC);
    let section = &drawings.sections[0];
    assert!(texts(section).contains(&"m") && section.notes[0].contains("1:25;"));
}

#[test]
fn what_is_not_shown_is_asked_for_in_the_drawing() {
    let (drawings, _) = drawn(MINIMAL);
    // With the number of the question that asks for it.
    let texts = texts(&drawings.sections[0]);
    assert!(
        texts.iter().any(|text| text.starts_with("floor ? Q")),
        "{texts:?}"
    );
}

#[test]
fn a_stream_is_drawn_reach_by_reach_with_all_that_hangs_on_the_basin_below() {
    let (drawings, _) = drawn(STREAM);
    let [section] = drawings.sections.as_slice() else {
        panic!("one section")
    };
    let texts = texts(section);
    for said in [
        "brook",
        "upper: 9 ft, drop 7 in",
        "middle: 12 ft, drop ?",
        "lower: ?, drop 9 in",
        "shelf −30 in",
        "overflow −8 in",
        "skimmer −16 in",
        "bottom drain",
        "stream, with its reaches",
    ] {
        assert!(texts.contains(&said), "{said} in {texts:?}");
    }
}

#[test]
fn a_pipe_to_another_section_is_named_where_it_leaves_and_where_it_comes_in() {
    let (drawings, _) = drawn(PONDS);
    let [upper, lower] = drawings.sections.as_slice() else {
        panic!("two sections")
    };
    let (upper, lower) = (texts(upper), texts(lower));
    for said in [
        "bed line from pump well",
        "stream line from lower pond",
        "east spillway to lower pond",
    ] {
        assert!(upper.contains(&said), "{said} in {upper:?}");
    }
    for said in [
        "bed line to east bed and west bed",
        "stream line to upper pond",
        "skimmer line",
    ] {
        assert!(lower.contains(&said), "{said} in {lower:?}");
    }
    // The skimmer and the mouth of its line are one level, said once.
    let lips = lower.iter().filter(|text| text.contains("−13.8 in")).count();
    assert_eq!(lips, 1, "{lower:?}");
}

#[test]
fn every_pump_of_a_line_has_its_riser_and_check_valve() {
    let (drawings, _) = drawn(PONDS);
    let section = &drawings.sections[1];
    let pumps: Vec<Point> = section
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Disc { at, radius, .. } if *radius > 4.0 => Some(*at),
            _ => None,
        })
        .collect();
    // Three in the basins and the legend's.
    assert_eq!(pumps.len(), 4);
    for at in &pumps[..3] {
        let starts = section.items.iter().any(|item| match item {
            Item::Path {
                points,
                closed: false,
                ..
            } => points[0] == *at,
            _ => false,
        });
        assert!(starts, "no pipe from the pump at {at:?}");
    }
}

#[test]
fn pumps_in_series_and_lines_side_by_side_are_told_apart() {
    let (drawings, _) = drawn(SERIES);
    let section = &drawings.sections[0];
    let texts = texts(section);
    for said in [
        "pump −10 in",
        "intake −30 in",
        "pump intake",
        "skimmer drain",
        "by-pass to lower pond",
        "by-pass from settling pond",
    ] {
        assert!(texts.contains(&said), "{said} in {texts:?}");
    }
    let named = |name: &str| {
        section.items.iter().find_map(|item| match item {
            Item::Text(text) if text.text == name => Some(text.at),
            _ => None,
        })
    };
    // The lower pipe's name below it, the upper one's above.
    let (upper, lower) = (named("feed").unwrap(), named("second line").unwrap());
    assert!(upper[1] + 14.0 < lower[1], "{upper:?} {lower:?}");
    // The dry pump and the one after it stand beside the basin, the third in it; and the legend's.
    let pumps = section.items.iter().filter(|item| match item {
        Item::Disc { radius, .. } => *radius > 4.0,
        _ => false,
    });
    assert_eq!(pumps.count(), 4);
}

#[test]
fn the_legend_and_the_note_tell_only_what_is_drawn() {
    let (sound, _) = drawn(SOUND);
    assert!(!sound.sections[0].notes[0].contains("Dashed") && !sound.sections[0].notes[0].contains('?'));
    let (gaps, _) = drawn(MINIMAL);
    let section = &gaps.sections[0];
    assert!(section.notes[0].contains("Dashed outlines and “?”"));
    // No wall is drawn unbroken, so the sample is not either.
    let walls = section.items.iter().filter_map(|item| match item {
        Item::Path {
            stroke: Some(stroke), ..
        } if *stroke == UNLINED.dashed_unless(false) => Some(()),
        _ => None,
    });
    assert_eq!(walls.count(), 3);
}

#[test]
fn every_finding_is_marked_or_named_below() {
    let (drawings, review) = drawn(FAULTY);
    let marked: Vec<usize> = drawings
        .sections
        .iter()
        .flat_map(|scene| &scene.items)
        .filter_map(|item| match item {
            Item::Mark(mark) => Some(mark.finding),
            _ => None,
        })
        .collect();
    let notes = drawings.sections.iter().flat_map(|scene| &scene.notes);
    let left_over = notes.last().unwrap();
    assert!(marked.len() > 10);
    for (index, finding) in review.findings.iter().enumerate() {
        let named = left_over
            .trim_start_matches("Not in the section: ")
            .trim_end_matches('.')
            .split(", ")
            .any(|number| number == finding.number);
        assert!(marked.contains(&index) != named, "finding {}", finding.number);
    }
}

/// A plan of many basins in a row, with levels that may be left out, wild names and findings of any number.
fn crowded(levels: &[[Option<i32>; 3]], name: &str) -> String {
    use std::fmt::Write as _;
    let mut basins = String::new();
    let mut falls = String::new();
    let mut streams = String::new();
    let name = name.replace(['"', '\\'], "'");
    for (index, [still, rise, depth]) in levels.iter().enumerate() {
        let mut fields = format!(
            "\"kind\": \"pond\", \"name\": {}",
            serde_json::Value::from(name.as_str())
        );
        if let Some(still) = still {
            write!(fields, ", \"still\": \"{still} in\"").unwrap();
            if let Some(rise) = rise {
                write!(fields, ", \"rim\": \"{} in\", \"overflow\": {{}}", still + rise).unwrap();
            }
            if let Some(depth) = depth {
                let shelf = format!(
                    "{{\"form\": \"ellipse\", \"shelves\": {{\"s\": {{\"level\": \"{} in\"}}}}}}",
                    still - depth / 2
                );
                write!(
                    fields,
                    ", \"floor\": \"{} in\", \"shape\": {shelf}, \"skimmer\": {{}}, \"bottom_drain\": {{}}",
                    still - depth
                )
                .unwrap();
            }
            let below = (index + 1 + index % 2).min(levels.len() - 1);
            if below > index {
                let to = if index % 3 == 0 {
                    format!("s{index}")
                } else {
                    format!("b{below}")
                };
                write!(
                    falls,
                    "\"f{index}\": {{\"from\": \"b{index}\", \"to\": \"{to}\", \"crest\": \"{still} in\"}}, "
                )
                .unwrap();
            }
            if index % 3 == 0 {
                let drop = rise.unwrap_or(7).abs();
                write!(
                    streams,
                    "\"s{index}\": {{\"ends_in\": \"b{below}\", \"reaches\": {{\"{name}\": {{\"drop\": \"{drop} in\"}}, \"{name} r\": {{}}}}}}, "
                )
                .unwrap();
            }
        }
        write!(basins, "\"b{index}\": {{{fields}}}, ").unwrap();
    }
    format!(
        "{{\"format\": \"bywash plan 1\", \"basins\": {{{basins}}}, \"falls\": {{{falls}}}, \
         \"streams\": {{{streams}}}}}"
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn crowded_plans_are_drawn_without_overlap(
        levels in prop::collection::vec(
            [prop::option::of(-200..200i32), prop::option::of(-10..40i32), prop::option::of(-5..300i32)],
            1..8,
        ),
        name in "\\PC{0,60}",
        copies in 1..40usize,
    ) {
        // Straight to the typed plan: a plan that would be refused is drawn too.
        let mut sources = Sources::default();
        let source = sources.add("plan.jsonc", crowded(&levels, &name));
        let plan = Plan::from_tree(&parse(&sources, source).unwrap()).unwrap();
        let ledger = figures::compute(&plan);
        let (_, mut review) = reviewed(FAULTY);
        let faulty = std::mem::take(&mut review.findings);
        let places = ["rim", "still", "floor", "lining/edges", "fish"];
        for (index, finding) in faulty.iter().cycle().take(copies * 9).enumerate() {
            let mut finding = finding.clone();
            finding.object = Place::root().child("basins").child(&format!("b{}", index % levels.len()));
            finding.place = finding.object.join(places[index % places.len()]);
            finding.number = format!("{}.{}", index, index % 13);
            review.findings.push(finding);
        }
        let drawings = drawings(&plan, &ledger, &review);
        for scene in drawings.scenes() {
            prop_assert_eq!(overlap(scene), None);
            let finite = serde_json::to_string(scene).unwrap();
            prop_assert!(!finite.contains("null,null"));
        }
        for scene in &drawings.sections {
            prop_assert_eq!(scene.struck_out(), None);
        }
    }
}
