//! Questions, and what needs no answer to be judged.

use bywash::{
    engine::{Engine, ReviewOptions},
    review::Review,
};

use super::changed;

/// The review of the sound plan under changes.
fn under(changes: &[&str]) -> Review {
    let (engine, opened) = changed::example("courtyard-retrofit", changes);
    engine.review(&opened, ReviewOptions::default())
}

fn asked<'r>(review: &'r Review, place: &str) -> Vec<&'r str> {
    let question = review
        .questions
        .iter()
        .find(|question| question.places().any(|asked| asked.as_str() == place));
    question
        .map(|question| question.rules.iter().map(String::as_str).collect())
        .unwrap_or_default()
}

const VOIDS: &str = "/basins/bed/layers/modules/void_ratio";

/// The voids of modules lie between 90 and 97 %: the running levels hardly care, the load that the modules carry does.
#[test]
fn a_rule_that_comes_out_the_same_over_the_plausible_range_is_judged_and_not_asked() {
    let review = under(&[&format!("{VOIDS}=null")]);
    let settled = review
        .settled
        .iter()
        .find(|settled| settled.rule == "basin-freeboard-running")
        .unwrap();
    assert!(settled.meets);
    assert_eq!(settled.range, "from 90 % to 97 %");
    assert!(review.met.iter().any(|met| met.rule == "basin-freeboard-running"));
    assert!(!asked(&review, VOIDS).contains(&"basin-freeboard-running"));
}

/// Whether somebody is kept from harm is never taken as met unseen.
#[test]
fn a_rule_to_stop_for_is_not_met_by_what_is_plausible() {
    let review = under(&[&format!("{VOIDS}=null")]);
    assert!(
        asked(&review, VOIDS).contains(&"basin-water-over-rim"),
        "{:?}",
        asked(&review, VOIDS)
    );
}

/// A crest of 30 ft carries a film of water: no tolerance that a crew can keep is a quarter of it.
#[test]
fn a_rule_that_falls_short_whatever_is_plausible_is_a_finding_that_says_so() {
    let tolerance = "/falls/spillway/level_tolerance";
    let review = under(&[&format!("{tolerance}=null"), "/falls/spillway/width=120 ft"]);
    let finding = review
        .findings
        .iter()
        .find(|finding| finding.rule == "falls-crest-tolerance")
        .unwrap();
    assert_eq!(finding.place.as_str(), tolerance);
    let note = "spillway / level tolerance is not shown; the rule is not met at any plausible value, from 0.0625 in to 0.375 in";
    assert_eq!(finding.note.as_deref(), Some(note));
    assert!(asked(&review, tolerance).is_empty());
}

#[test]
fn a_rule_that_the_value_decides_is_asked() {
    let mass = "/basins/bed/lining/cushion/mass";
    assert_eq!(
        asked(&under(&[&format!("{mass}=null")]), mass),
        ["lining-cushion-mass"]
    );
}

/// What a plan says it has none of is an answer: a pond without pump or electricity is asked for neither.
#[test]
fn a_pond_without_pump_and_electricity_is_asked_for_neither() {
    let plan = r#"{ "format": "bywash plan 1", "project": { "name": "pond" }, "pumps": {}, "electrical": "none",
        "basins": { "pond": { "kind": "pond", "still": "-4 in", "rim": "0 in", "fish": "none" } } }"#;
    let (engine, opened) = changed::plan("pond", plan, &[]);
    let review = engine.review(&opened, ReviewOptions::default());
    for place in ["/pumps", "/electrical", "/electrical/circuits"] {
        assert!(
            asked(&review, place).is_empty(),
            "{place}: {:?}",
            asked(&review, place)
        );
    }
    let left_out = plan.replace("\"pumps\": {}, \"electrical\": \"none\",", "");
    let (engine, opened) = changed::plan("pond", &left_out, &[]);
    let review = engine.review(&opened, ReviewOptions::default());
    for place in ["/pumps", "/electrical"] {
        assert!(!asked(&review, place).is_empty(), "{place}");
    }
}

/// One line for the same value of several objects, and one for all details that only suggestions wait for.
#[test]
fn what_several_objects_lack_is_asked_once_with_a_way_to_answer() {
    let review = under(&[
        "/basins/pond/lining/underlay=null",
        "/basins/bed/lining/underlay=null",
    ]);
    let question = &review.questions[0];
    let places: Vec<&str> = question.places().map(bywash::read::Place::as_str).collect();
    assert_eq!(
        places,
        ["/basins/bed/lining/underlay", "/basins/pond/lining/underlay"]
    );
    assert_eq!(
        question.place_name,
        "bed / lining, pond / lining / underlay below"
    );
    assert_eq!(review.questions.len(), 1);
    let review = under(&["/lines/feed/union=null", "/falls/spillway/splash_margin=null"]);
    let [details] = review.questions.as_slice() else {
        panic!("{:#?}", review.questions)
    };
    assert_eq!(details.place_name, "details");
    assert_eq!(details.rules, ["falls-splash-margin", "line-service-union"]);
    let review = under(&["/lines/feed/union=null"]);
    assert_eq!(
        review.questions[0].answer.as_deref(),
        Some("\"union\": true, or false")
    );
}

/// A starter plan shows what a first sketch shows; no more comes back than fits two pages.
#[test]
fn the_starter_plan_raises_few_questions() {
    let (engine, opened) = changed::example("starter", &[]);
    let review = engine.review(&opened, ReviewOptions::default());
    assert!(review.questions.len() <= 25, "{:#?}", review.questions);
}

/// A field of a form is known by its name: what is filled in under a name that stands twice could not be read back.
#[test]
fn no_form_asks_for_a_value_twice_under_one_number() {
    for folder in ["examples", "tests/plans", "tests/plans/faults"] {
        let folder = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "jsonc") {
                continue;
            }
            let (mut engine, loaded) = Engine::new();
            loaded.unwrap();
            let text = std::fs::read_to_string(&path).unwrap();
            let source = engine.sources.add("plan.jsonc", &text);
            // Folders also hold patches over plans.
            let Ok(opened) = engine.open(source, Vec::new()) else {
                continue;
            };
            let options = ReviewOptions {
                cures: true,
                ..ReviewOptions::default()
            };
            let review = engine.review(&opened, options);
            let units = review.subject.units;
            let form = bywash::answers::Form::of(&review, &opened.tree.root, engine.book(), units);
            let mut seen = std::collections::HashSet::new();
            for row in form.items.iter().flat_map(|item| &item.rows) {
                assert!(seen.insert(&row.name), "{}: {}", path.display(), row.name);
            }
        }
    }
}
