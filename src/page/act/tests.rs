use super::*;
use crate::{
    quantity::UnitSystem,
    read::{Sources, parse},
};

const PLAN: &str = r#"{
  "format": "bywash plan 1",
  "basins": { "pond": { "kind": "pond", "still": "-6 in", "rim": "0 in" }, "bed": { "kind": "bed" } },
  "pumps": { "pump": { "basin": "pond" } },
  "lines": { "line": { "from": ["pump"], "runs": {
    "pump": { "to": "bed" }, // the run bears the pump's name
    "two": { "after": "pump", "to": "pond" }
  } } },
  "accepted": { "one": { "rule": "r", "place": "/basins/pond/rim", "reason": "pond", "initials": "A", "until": "2027-01-01" } }
}
"#;

fn with<T>(text: &str, act: impl FnOnce(&Pen<'_>) -> T) -> T {
    let mut sources = Sources::default();
    let source = sources.add("plan", text);
    let tree = parse(&sources, source).unwrap();
    act(&Pen {
        book: crate::plan::schema().book(),
        text,
        tree: &tree,
        units: UnitSystem::Us,
    })
}

fn at(pointer: &str) -> Place {
    Place::from_pointer(pointer)
}

/// A text as JSON, by the project's own reader.
fn json_of(text: &str) -> Json {
    let mut sources = Sources::default();
    let source = sources.add("plan", text);
    parse(&sources, source).unwrap().to_json()
}

#[test]
fn what_names_an_object_follows_when_it_is_renamed() {
    let (text, place) = with(PLAN, |pen| pen.rename(&at("/basins/pond"), "lower / pond")).unwrap();
    assert_eq!(place.as_str(), "/basins/lower ~1 pond");
    let wanted = PLAN
        .replace("\"pond\": {", "\"lower / pond\": {")
        .replace("\"basin\": \"pond\"", "\"basin\": \"lower / pond\"")
        .replace("\"to\": \"pond\"", "\"to\": \"lower / pond\"")
        .replace("/basins/pond/rim", "/basins/lower ~1 pond/rim");
    // The kind and the reason say "pond" too, and name nothing.
    assert_eq!(text, wanted);
}

#[test]
fn a_pump_and_a_run_of_one_name_are_told_apart() {
    let (text, _) = with(PLAN, |pen| pen.rename(&at("/pumps/pump"), "P-1")).unwrap();
    assert!(
        text.contains(r#""from": ["P-1"]"#) && text.contains(r#""after": "pump""#),
        "{text}"
    );
    let (text, _) = with(PLAN, |pen| pen.rename(&at("/lines/line/runs/pump"), "main")).unwrap();
    assert!(
        text.contains(r#""from": ["pump"]"#) && text.contains(r#""after": "main""#),
        "{text}"
    );
}

#[test]
fn names_that_are_taken_or_no_names_are_refused() {
    for id in ["bed", "", " ", "none", "x-mine", "a\u{202e}b"] {
        assert!(
            with(PLAN, |pen| pen.rename(&at("/basins/pond"), id)).is_err(),
            "{id:?}"
        );
        assert!(
            with(PLAN, |pen| pen.add(&at("/basins"), id, "pond")).is_err(),
            "{id:?}"
        );
    }
}

#[test]
fn a_new_object_says_what_is_required_of_it() {
    let (text, place) = with(PLAN, |pen| pen.add(&at("/basins"), "upper", "reservoir")).unwrap();
    assert_eq!(place.as_str(), "/basins/upper");
    assert!(
        text.contains("\"upper\"") && text.contains("\"reservoir\""),
        "{text}"
    );
    // One pump is there, so that is where a new line begins.
    let (text, _) = with(PLAN, |pen| pen.add(&at("/lines"), "second", "")).unwrap();
    let json: Json = json_of(&text);
    assert_eq!(json.pointer("/lines/second/from"), Some(&json!("pump")));
}

#[test]
fn a_copy_gets_a_name_of_its_own() {
    let (text, place) = with(PLAN, |pen| pen.copy(&at("/basins/pond"))).unwrap();
    assert_eq!(place.as_str(), "/basins/pond-2");
    let (text, place) = with(&text, |pen| pen.copy(&at("/basins/pond"))).unwrap();
    assert_eq!(place.as_str(), "/basins/pond-3");
    let json: Json = json_of(&text);
    assert_eq!(json.pointer("/basins/pond-3"), json.pointer("/basins/pond"));
}

#[test]
fn a_level_is_given_as_a_depth_below_another() {
    let below = |text: &str| {
        with(PLAN, |pen| {
            pen.below(&at("/basins/pond/floor"), &at("/basins/pond/still"), text)
        })
    };
    assert!(below("4 ft").unwrap().contains(r#""floor": "-4 ft 6 in""#));
    assert!(below("4").unwrap_err().contains("unit"), "{:?}", below("4"));
    assert!(
        with(PLAN, |pen| pen.below(
            &at("/basins/bed/floor"),
            &at("/basins/bed/rim"),
            "4 ft"
        ))
        .is_err()
    );
}

#[test]
fn dragging_and_arrow_keys_move_a_level_by_the_snap() {
    let text = with(PLAN, |pen| pen.drag(&at("/basins/pond/rim"), 0.0333)).unwrap();
    assert!(text.contains(r#""rim": "+1-1/4 in""#), "{text}");
    let text = with(PLAN, |pen| pen.nudge(&at("/basins/pond/still"), -2)).unwrap();
    assert!(text.contains(r#""still": "-6-1/2 in""#), "{text}");
    for to in [f64::NAN, f64::INFINITY, 1e9] {
        assert!(with(PLAN, |pen| pen.drag(&at("/basins/pond/rim"), to)).is_err());
    }
    assert!(with(PLAN, |pen| pen.drag(&at("/basins/pond/kind"), 0.1)).is_err());
}

#[test]
fn an_object_goes_with_what_was_accepted_in_it() {
    let text = with(PLAN, |pen| pen.forget(&at("/basins/pond"))).unwrap();
    assert!(!text.contains("accepted"), "{text}");
}

#[test]
fn none_is_said_as_each_field_says_it() {
    let none = |place: &str| with(PLAN, |pen| pen.none(&at(place))).unwrap();
    assert!(none("/basins/pond/skimmer").contains(r#""skimmer": "none""#));
    assert!(none("/basins/pond/bathing").contains(r#""bathing": false"#));
    assert!(none("/falls").contains(r#""falls": {}"#));
}

/// As RFC 7396, section 2, has it: members are set, added and taken away, all else stays as it is written.
#[test]
fn a_merge_patch_is_taken_over_and_all_else_stays() {
    let merge = |patch: &str| with(PLAN, |pen| pen.merge(patch));
    let text = merge(r#"{ "basins": { "pond": { "rim": "1 in", "still": null, "gone": null } } }"#).unwrap();
    assert_eq!(
        text,
        PLAN.replace(r#""still": "-6 in", "rim": "0 in""#, r#""rim": "1 in""#)
    );
    for patch in ["5", "[]", "null", "", "{"] {
        assert!(merge(patch).is_err(), "{patch}");
    }
    assert_eq!(merge("{}").unwrap(), PLAN);
}
