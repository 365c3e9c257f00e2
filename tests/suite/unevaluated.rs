//! Values that nothing evaluates are told, and every field of the plan is either evaluated somewhere or listed here.

use std::collections::BTreeSet;

use bywash::{
    engine::{Engine, ReviewOptions, SOUND},
    plan::SCHEMA,
    review::SERVE_OTHERWISE,
};
use serde_json::Value;

use super::changed;

const EXAMPLES: [&str; 7] = [
    "courtyard-as-sent",
    "courtyard-retrofit",
    "ledge-run",
    "mill-yard-metric",
    "minimal",
    "starter",
    "two-ponds",
];

/// Fields that no figure rests on, no rule reads and nothing else uses, with what they are for.
const NOT_EVALUATED: &[(&str, &str)] = &[];

/// The values of a plan that its review lists, by place.
fn listed(name: &str, changes: &[&str]) -> Vec<String> {
    let (engine, opened) = changed::example(name, changes);
    let review = engine.review(&opened, ReviewOptions::default());
    let places = review.unevaluated.iter();
    places.map(|value| value.place.as_str().to_owned()).collect()
}

/// Every field of the schema that holds a value, as a pattern.
fn fields(document: &Value, schema: &Value, at: &str, found: &mut BTreeSet<String>) {
    if let Some(to) = schema.get("$ref").and_then(Value::as_str) {
        if to.ends_with("/none") {
            return;
        }
        let inner = document.pointer(to.trim_start_matches('#')).unwrap();
        return fields(document, inner, at, found);
    }
    if let Some(branches) = schema.get("anyOf").and_then(Value::as_array) {
        return branches
            .iter()
            .for_each(|branch| fields(document, branch, at, found));
    }
    let properties = schema.get("properties").and_then(Value::as_object);
    for (key, field) in properties.into_iter().flatten() {
        fields(document, field, &format!("{at}/{key}"), found);
    }
    let by_id = schema.get("additionalProperties").filter(|each| each.is_object());
    if let Some(each) = by_id {
        fields(document, each, &format!("{at}/*"), found);
    }
    if properties.is_none() && by_id.is_none() && at != "/$schema" {
        found.insert(at.to_owned());
    }
}

/// The fields that hold a value in a plan, and those of them that its review lists.
fn evaluated(engine: &Engine, opened: &bywash::engine::Opened) -> (BTreeSet<String>, BTreeSet<String>) {
    let review = engine.review(opened, ReviewOptions::default());
    let listed = review.unevaluated.iter();
    let listed = listed
        .map(|value| engine.book().pattern_of(&value.place))
        .collect();
    let mut held = BTreeSet::new();
    leaves(&opened.tree.root.to_json(), "", &mut |at| {
        held.insert(engine.book().pattern_of(&bywash::read::Place::from_pointer(at)));
    });
    (held, listed)
}

fn leaves(value: &Value, at: &str, tell: &mut impl FnMut(&str)) {
    match value {
        Value::Object(members) => members
            .iter()
            .for_each(|(key, inner)| leaves(inner, &format!("{at}/{key}"), tell)),
        _ => tell(at),
    }
}

#[test]
fn every_field_is_evaluated_somewhere_or_serves_otherwise() {
    let document: Value = serde_json::from_str(SCHEMA).unwrap();
    let mut wanted = BTreeSet::new();
    fields(&document, &document, "", &mut wanted);
    assert!(wanted.len() > 250, "{}", wanted.len());
    let mut read: BTreeSet<String> = BTreeSet::new();
    for name in EXAMPLES {
        let (engine, opened) = changed::example(name, &[]);
        let (held, listed) = evaluated(&engine, &opened);
        read.extend(held.difference(&listed).cloned());
    }
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let source = engine.sources.add("the sound plan", SOUND);
    let cards = engine.library.cards.iter();
    let examples: Vec<_> = cards.flat_map(|card| &card.examples).collect();
    for example in examples {
        let opened = engine
            .open(source, vec![(String::new(), example.patch.clone())])
            .unwrap();
        let (held, listed) = evaluated(&engine, &opened);
        read.extend(held.difference(&listed).cloned());
    }
    let excused: BTreeSet<String> = NOT_EVALUATED
        .iter()
        .map(|(field, _)| (*field).to_owned())
        .collect();
    let missing: Vec<&String> = wanted.iter().filter(|field| !read.contains(*field)).collect();
    let unknown: Vec<&&String> = missing
        .iter()
        .filter(|field| !excused.contains(**field))
        .collect();
    assert!(unknown.is_empty(), "nothing evaluates {unknown:#?}");
    let used: Vec<&String> = excused.iter().filter(|field| read.contains(*field)).collect();
    assert!(used.is_empty(), "{used:#?} are evaluated after all");
}

/// Each field that serves otherwise is one of the schema's.
#[test]
fn what_serves_otherwise_is_in_the_schema() {
    let document: Value = serde_json::from_str(SCHEMA).unwrap();
    let mut known = BTreeSet::new();
    fields(&document, &document, "", &mut known);
    for (field, why) in SERVE_OTHERWISE {
        let plain = field.trim_end_matches("/**").replace("/**", "");
        let found = known.iter().any(|known| {
            if field.starts_with("/**") {
                known.ends_with(&plain)
            } else {
                known.starts_with(&plain)
            }
        });
        assert!(found && !why.is_empty(), "{field}");
    }
}

#[test]
fn what_the_shipped_plans_hold_is_evaluated() {
    let told: Vec<_> = EXAMPLES
        .map(|name| (name, listed(name, &[])))
        .into_iter()
        .collect();
    let listed: Vec<_> = told.iter().filter(|(_, places)| !places.is_empty()).collect();
    assert!(listed.is_empty(), "{listed:#?}");
}

/// A bowl has no ledge: the shelf changes no volume, and the review says so.
#[test]
fn a_shelf_on_a_bowl_is_listed() {
    let shelf = [
        "/basins/pond/shape/form=bowl",
        "/basins/pond/shape/shelves/marginal/level=-24 in",
        "/basins/pond/shape/shelves/marginal/width=12 in",
    ];
    let listed = listed("courtyard-retrofit", &shelf);
    for field in ["level", "width"] {
        let place = format!("/basins/pond/shape/shelves/marginal/{field}");
        assert!(listed.contains(&place), "{listed:?}");
    }
}
