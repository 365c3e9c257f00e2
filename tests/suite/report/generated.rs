//! Generated plans through the whole report. Every one is drawn and handed to the template's data; a few are typeset,
//! which takes seconds each in a debug build: `BYWASH_TYPESET=300` sets how many.

use bywash::{
    engine::{Engine, ReviewOptions},
    quantity::UnitSystem,
    report::{
        drawing::{Bounds, Drawings, Item, Scene, Tone, drawings},
        json,
        pdf::{Job, Paper, render},
    },
};
use lopdf::Document;

use super::reviewed_in;

/// A small generator of numbers, the same on every machine (Knuth's constants).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u32) -> i64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i64::from((self.0 >> 33) as u32 % most)
    }

    fn often(&mut self) -> bool {
        self.below(4) > 0
    }

    fn pick<'a>(&mut self, from: &[&'a str]) -> &'a str {
        from[self.below(from.len() as u32) as usize]
    }

    /// A field, three times in four.
    fn field(&mut self, fields: &mut Vec<String>, name: &str, value: impl FnOnce(&mut Self) -> String) {
        if self.often() {
            let value = value(self);
            fields.push(format!("\"{name}\": {value}"));
        }
    }
}

fn text(value: impl std::fmt::Display) -> String {
    format!("\"{value}\"")
}

fn object(fields: &[String]) -> String {
    format!("{{ {} }}", fields.join(", "))
}

fn basin(dice: &mut Dice, at: i64) -> String {
    let mut fields = vec![format!(
        "\"kind\": \"{}\"",
        dice.pick(&["pond", "bed", "reservoir", "pool"])
    )];
    let depth = 12 + dice.below(60);
    fields.push(format!("\"still\": \"{at} in\""));
    dice.field(&mut fields, "rim", |dice| {
        text(format!("{} in", at + 2 + dice.below(8)))
    });
    dice.field(&mut fields, "floor", |_| text(format!("{} in", at - depth)));
    dice.field(&mut fields, "name", |dice| {
        text(dice.pick(&[
            "koi pond",
            "a very long name for a basin that no column holds",
            "Ø",
        ]))
    });
    dice.field(&mut fields, "shape", |dice| {
        let form = dice.pick(&["rectangle", "ellipse", "circle", "bowl"]);
        let shelf = at - depth / 2;
        format!(
            r#"{{ "form": "{form}", "length": "{} ft", "width": "{} ft", "side_slope": "0.{}:1",
            "shelves": {{ "ledge": {{ "level": "{shelf} in", "width": "9 in" }} }} }}"#,
            6 + dice.below(30),
            5 + dice.below(9),
            dice.below(5)
        )
    });
    dice.field(&mut fields, "overflow", |dice| {
        format!(r#"{{ "level": "{} in" }}"#, at + dice.below(3))
    });
    dice.field(&mut fields, "skimmer", |_| {
        format!(r#"{{ "level": "{} in" }}"#, at - 3)
    });
    dice.field(&mut fields, "layers", |dice| {
        let layers = (0..=dice.below(4)).map(|layer| {
            let fill = dice.pick(&["stone", "modules", "soil"]);
            format!(
                r#""l{layer}": {{ "fill": "{fill}", "thickness": "{} in", "largest": "2 in" }}"#,
                1 + dice.below(12)
            )
        });
        format!("{{ {} }}", layers.collect::<Vec<_>>().join(", "))
    });
    object(&fields)
}

/// A plan of up to five basins that spill into each other, with pumps, lines and streams, full of gaps.
fn plan(seed: u64) -> String {
    let mut dice = Dice(seed);
    let count = 1 + dice.below(5);
    let mut parts = [const { Vec::new() }; 5];
    let [basins, falls, streams, pumps, lines] = &mut parts;
    for index in 0..count {
        let at = 60 - 24 * index;
        basins.push(format!("\"b{index}\": {}", basin(&mut dice, at)));
        if index + 1 < count {
            let below = index + 1;
            let to = if dice.below(3) == 0 {
                streams.push(format!(
                    r#""s{index}": {{ "ends_in": "b{below}", "reaches": {{ "one": {{ "drop": "5 in" }}, "two": {{}} }} }}"#
                ));
                format!("s{index}")
            } else {
                format!("b{below}")
            };
            falls.push(format!(
                r#""f{index}": {{ "from": "b{index}", "to": "{to}", "crest": "{at} in", "width": "{} in", "edge": "thin lip" }}"#,
                6 + dice.below(40)
            ));
        }
    }
    if count > 1 {
        let last = count - 1;
        pumps.push(format!(
            r#""p": {{ "basin": "b{last}", "curve": [["0 gph", "{} ft"], ["3000 gph", "2 ft"]], "best_flow": "2000 gph", "stated_flow": "{} gph" }}"#,
            6 + dice.below(20),
            500 + dice.below(4000)
        ));
        lines.push(format!(
            r#""l": {{ "from": "p", "runs": {{ "r": {{ "pipe": {{ "size": "2 in", "class": "sch 40", "material": "PVC" }}, "length": "{} ft", "to": "b0" }} }} }}"#,
            5 + dice.below(90)
        ));
    }
    let groups = ["basins", "falls", "streams", "pumps", "lines"];
    let body = groups
        .iter()
        .zip(&parts)
        .map(|(name, members)| format!("\"{name}\": {}", object(members)));
    let units = if dice.below(2) == 0 { "US" } else { "SI" };
    format!(
        r#"{{ "format": "bywash plan 1", "project": {{ "units": "{units}" }}, {} }}"#,
        body.collect::<Vec<_>>().join(", ")
    )
}

/// Two boxes of a drawing that lie on each other, or one that leaves the sheet.
fn collision(scene: &Scene) -> Option<(Bounds, Bounds)> {
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

/// Whether a drawing has words that begin so.
fn says(scene: Option<&Scene>, start: &str) -> bool {
    scene.is_some_and(|scene| {
        scene.items.iter().any(|item| match item {
            Item::Text(text) => text.text.starts_with(start),
            _ => false,
        })
    })
}

/// A text that a line runs through: hairlines to read along don't count, paper stands under the text.
fn struck(scene: &Scene) -> Option<&str> {
    let texts = || {
        scene.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text),
            _ => None,
        })
    };
    scene.items.iter().find_map(|item| {
        let Item::Path {
            points,
            stroke: Some(stroke),
            closed,
            ..
        } = item
        else {
            return None;
        };
        if stroke.tone == Tone::Faint {
            return None;
        }
        let last = points.first().filter(|_| *closed);
        let round: Vec<[f64; 2]> = points.iter().chain(last).copied().collect();
        let hit = texts().find(|text| {
            let room = text.bounds();
            let inked = Bounds {
                left: room.left + 1.0,
                top: room.top + 1.0,
                right: room.right - 1.0,
                bottom: room.bottom - 1.0,
            };
            round.windows(2).any(|pair| inked.crossed_by(&[pair[0], pair[1]]))
        });
        hit.map(|text| text.text.as_str())
    })
}

/// The wall of a bed that a mark stands on.
fn walled(scene: &Scene) -> Option<&str> {
    let walls = scene.items.iter().filter_map(|item| match item {
        Item::Path {
            points,
            closed: false,
            stroke: Some(stroke),
            ..
        } if [1.4, 2.4].contains(&stroke.weight) && points.len() > 3 => Some(points),
        _ => None,
    });
    walls.flat_map(|wall| wall.windows(2)).find_map(|pair| {
        scene.items.iter().find_map(|item| match item {
            Item::Mark(mark) if mark.bounds().crossed_by(&[pair[0], pair[1]]) => Some(mark.number.as_str()),
            _ => None,
        })
    })
}

/// The units that levels are given in on a drawing.
fn level_units(scene: &Scene) -> Vec<&str> {
    const LED: [&str; 10] = [
        "rim",
        "settled rim",
        "end",
        "floor",
        "intake",
        "inlet",
        "well",
        "crest",
        "running",
        "still",
    ];
    let texts = scene.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text.text.as_str()),
        _ => None,
    });
    let mut units: Vec<&str> = texts
        .filter_map(|text| {
            let rest = LED.iter().find_map(|word| text.strip_prefix(word))?;
            let (level, unit) = rest.trim_start().split_once(' ')?;
            level.starts_with(['+', '−', '0']).then_some(unit)
        })
        .collect();
    units.sort_unstable();
    units.dedup();
    units
}

/// Holds the drawings of a plan to what a reader needs: no line through words, one unit of levels.
fn assert_readable(drawn: &Drawings, of: &str) {
    for section in &drawn.sections {
        let units = level_units(section);
        assert!(units.len() <= 1, "{of}: {}: {units:?}", section.title);
    }
    let levels = drawn.beds.iter().chain(&drawn.cases).chain(&drawn.courses);
    for scene in levels {
        let units = level_units(scene);
        assert!(units.len() <= 1, "{of}: {}: {units:?}", scene.title);
        assert_eq!(struck(scene), None, "{of}: {}", scene.title);
    }
    for scene in &drawn.beds {
        assert_eq!(walled(scene), None, "{of}: {}", scene.title);
    }
    for scene in drawn.curves.iter().chain(&drawn.velocities) {
        assert_eq!(struck(scene), None, "{of}: {}", scene.title);
    }
}

/// What a page leaves for a drawing under its headings, on the lower of the two sheets, pt.
const PAGE: f64 = 590.0;

#[test]
fn every_example_is_drawn_on_its_page_without_collision() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut drawn = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "jsonc") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let (_, drawings) = reviewed_in(&text, Some(units));
            assert_readable(&drawings, &path.display().to_string());
            for scene in drawings.scenes() {
                assert_eq!(collision(scene), None, "{}: {}", path.display(), scene.title);
                assert!(scene.height < PAGE, "{}: {}", path.display(), scene.title);
                drawn += 1;
            }
            for section in &drawings.sections {
                let of = path.display();
                assert_eq!(section.struck_out(), None, "{of}: {}", section.title);
            }
        }
    }
    assert!(drawn >= 60);
}

#[test]
fn three_hundred_generated_plans_go_through_the_report() {
    let (mut engine, library) = Engine::new();
    library.unwrap();
    let asked = std::env::var("BYWASH_TYPESET")
        .ok()
        .and_then(|count| count.parse().ok());
    let typeset = asked.unwrap_or(2);
    let mut done = 0;
    for seed in 0..300 {
        let text = plan(seed);
        let source = engine.sources.add("plan.jsonc", text.clone());
        let opened = match engine.open(source, Vec::new()) {
            Ok(opened) => opened,
            Err(problems) => panic!("seed {seed}: {:?}\n{text}", problems[0].message),
        };
        let options = ReviewOptions {
            // Followed in time for some: that takes longest.
            cases: seed % 6 == 0,
            ..ReviewOptions::default()
        };
        let review = engine.review(&opened, options);
        let drawn = drawings(&opened.plan, &opened.ledger, &review);
        done += 1;
        assert!(!drawn.sections.is_empty());
        for section in &drawn.sections {
            assert_eq!(section.struck_out(), None, "seed {seed}: {}", section.title);
        }
        // The line runs from the last basin to the first: on two sheets, it is named on both.
        if drawn.sections.len() > 1 && text.contains("\"l\":") {
            assert!(says(drawn.sections.first(), "l from "), "seed {seed}");
            assert!(says(drawn.sections.last(), "l to "), "seed {seed}");
        }
        assert_readable(&drawn, &format!("seed {seed}"));
        for scene in drawn.scenes() {
            assert_eq!(collision(scene), None, "seed {seed}: {}", scene.title);
            assert!(
                scene.height < PAGE,
                "seed {seed}: {} leaves its page",
                scene.title
            );
            assert!(
                !scene.alt.is_empty() && scene.height.is_finite(),
                "seed {seed}: {}",
                scene.title
            );
            let numbers = scene.items.iter().filter_map(|item| match item {
                Item::Path { points, .. } => Some(points),
                _ => None,
            });
            assert!(
                numbers.flatten().flatten().all(|number| number.is_finite()),
                "seed {seed}: {}",
                scene.title
            );
        }
        assert!(json::render(&review).unwrap().ends_with("}\n"));
        if done <= typeset {
            let job = Job {
                review: &review,
                drawings: &drawn,
                plan: &text,
                paper: if seed % 2 == 0 { Paper::Letter } else { Paper::A4 },
                photographs: &[],
                full: true,
            };
            let pdf = Document::load_mem(&render(&job).unwrap()).unwrap();
            assert!(pdf.get_pages().len() > 1, "seed {seed}");
        }
    }
    assert_eq!(done, 300);
}
