//! The words of a review: a reader's own units first, and what is required said as a requirement.

use bywash::{
    engine::{Engine, ReviewOptions},
    figures::catalogue,
    quantity::{Kind, UnitSystem, own_first},
    review::Review,
};

const EXAMPLES: [&str; 7] = [
    "courtyard-as-sent",
    "courtyard-retrofit",
    "ledge-run",
    "mill-yard-metric",
    "minimal",
    "starter",
    "two-ponds",
];

fn reviewed(name: &str, units: Option<UnitSystem>) -> Review {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let path = format!("{}/examples/{name}.jsonc", env!("CARGO_MANIFEST_DIR"));
    let source = engine.sources.add(name, std::fs::read_to_string(path).unwrap());
    let opened = engine.open(source, Vec::new()).unwrap();
    let options = ReviewOptions {
        units,
        ..ReviewOptions::default()
    };
    engine.review(&opened, options)
}

/// Every text of a review but its sources, which are cited as they were written.
fn texts(value: &serde_json::Value, out: &mut Vec<String>) {
    match value {
        serde_json::Value::String(text) => out.push(text.clone()),
        serde_json::Value::Array(values) => values.iter().for_each(|value| texts(value, out)),
        serde_json::Value::Object(members) => members
            .iter()
            .filter(|(key, _)| !key.starts_with("source"))
            .for_each(|(_, value)| texts(value, out)),
        _ => {}
    }
}

#[test]
fn a_value_in_both_systems_is_printed_with_the_readers_own_first() {
    for name in EXAMPLES {
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let mut printed = Vec::new();
            texts(
                &serde_json::to_value(reviewed(name, Some(units))).unwrap(),
                &mut printed,
            );
            assert!(printed.len() > 1000, "{name}: {}", printed.len());
            for text in printed {
                assert_eq!(own_first(&text, units), text, "{name}");
            }
        }
    }
    let first = |units| {
        let review = reviewed("courtyard-as-sent", Some(units));
        let clean = review
            .findings
            .into_iter()
            .find(|f| f.rule == "lining-subgrade-clean");
        clean.unwrap().headline
    };
    let told = |size| format!("stone over {size} is left where there is no underlay");
    assert_eq!(first(UnitSystem::Us), told("3/8 in (10 mm)"));
    assert_eq!(first(UnitSystem::Si), told("10 mm (3/8 in)"));
}

#[test]
fn no_mark_of_a_manuscript_is_printed() {
    for name in EXAMPLES {
        let mut printed = Vec::new();
        let mut review = serde_json::to_value(reviewed(name, None)).unwrap();
        // The plan itself is kept as it was written.
        review.as_object_mut().unwrap().remove("plan");
        texts(&review, &mut printed);
        for text in printed {
            assert!(!text.contains(['`', '“', '”']), "{name}: {text}");
            let letters: Vec<char> = text.chars().collect();
            let straight = letters
                .windows(3)
                .any(|three| three[0].is_alphabetic() && three[1] == '\'' && three[2].is_alphabetic());
            assert!(!straight, "{name}: {text}");
        }
    }
    for definition in catalogue() {
        for text in [
            definition.title,
            definition.words,
            definition.source,
            definition.range,
        ] {
            assert!(!text.contains('`'), "{}: {text}", definition.name);
        }
    }
}

/// Whether a text gives an inch or a foot without its millimetres or metres.
fn has_lone_inches(text: &str) -> bool {
    let words: Vec<&str> = text.split(' ').collect();
    words.windows(2).enumerate().any(|(index, pair)| {
        let number = pair[0].trim_start_matches('(');
        let inches = number.starts_with(|c: char| c.is_ascii_digit())
            && matches!(pair[1].trim_end_matches([',', ';', ')']), "in" | "ft" | "ft/s");
        let other_follows = words.get(index + 2).is_some_and(|next| next.starts_with('('));
        let other_leads = pair[0].starts_with('(') && index > 0;
        inches && !other_follows && !other_leads
    })
}

#[test]
fn no_figure_is_named_or_written_in_inches_alone() {
    for definition in catalogue() {
        for text in [definition.title, definition.symbols] {
            assert!(!has_lone_inches(text), "{}: {text}", definition.name);
        }
    }
    assert!(has_lone_inches("freeboard with an edge settled 1 in"));
    assert!(!has_lone_inches("freeboard with an edge settled 1 in (25 mm)"));
}

#[test]
fn a_title_names_the_quantity() {
    for definition in catalogue() {
        assert!(!definition.title.starts_with("what "), "{}", definition.title);
    }
}

#[test]
fn a_ratio_is_named_as_what_it_is() {
    let ratios = catalogue().filter(|figure| matches!(figure.kind, Some(Kind::Ratio | Kind::Share)));
    let mut seen = 0;
    for figure in ratios {
        let title = figure
            .title
            .replace("water over the suction mouth", "water at the suction mouth");
        assert!(!title.contains(" over "), "{}: {}", figure.name, figure.title);
        seen += 1;
    }
    assert!(seen > 30, "{seen}");
}

#[test]
fn what_is_required_reads_as_a_requirement() {
    let review = reviewed("courtyard-as-sent", None);
    let required = |rule: &str| {
        let finding = review.findings.iter().find(|finding| finding.rule == rule);
        finding.unwrap().limit.text.clone()
    };
    assert_eq!(required("line-air-inlet"), "air inlet");
    assert_eq!(required("bed-stone-washed"), "stone washed");
    assert_eq!(
        required("lining-subgrade-clean"),
        "subgrade raked clean and free of large stone"
    );
    assert_eq!(required("bed-stone-not-angular"), "round or subangular");
    let changes = ["/walls/pond-side=null", "/basins/pond/frame=none"];
    let (engine, steep) = super::changed::example("courtyard-retrofit", &changes);
    let steep = engine.review(&steep, ReviewOptions::default());
    assert_eq!(
        steep.findings[0].limit.text,
        "sides held by a wall, frame or fill, or no steeper than 1:1"
    );
}

#[test]
fn a_complete_plan_leaves_no_figure_waiting_for_a_value() {
    for name in ["courtyard-retrofit", "ledge-run", "mill-yard-metric", "two-ponds"] {
        for figure in reviewed(name, None).figures {
            let gap = figure.gap.unwrap_or_default();
            assert!(!gap.starts_with("not shown"), "{name}: {}: {gap}", figure.name);
        }
    }
}

#[test]
fn a_limit_of_the_other_system_is_told_to_three_digits() {
    let limit = |units| {
        let review = reviewed("courtyard-as-sent", Some(units));
        let fast = review
            .findings
            .into_iter()
            .find(|f| f.rule == "line-velocity")
            .unwrap();
        (fast.found.text, fast.limit.text)
    };
    let pair = |found: &str, limit: &str| (found.to_owned(), limit.to_owned());
    assert_eq!(limit(UnitSystem::Us), pair("5.11 ft/s", "at most 5 ft/s"));
    assert_eq!(limit(UnitSystem::Si), pair("1.56 m/s", "at most 1.52 m/s"));
}
