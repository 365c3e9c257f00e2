//! The published schema of a plan and the typed plan are one contract.

mod typed;

use bywash::{
    check::check,
    plan::{Plan, SCHEMA, schema},
    read::{Place, Sources, parse},
};
use serde_json::{Map, Value, json};

fn document() -> Value {
    serde_json::from_str(SCHEMA).unwrap()
}

/// What a `$ref` leads to.
fn resolved<'a>(document: &'a Value, schema: &'a Value) -> &'a Value {
    match schema.get("$ref").and_then(Value::as_str) {
        Some(to) => resolved(document, document.pointer(to.trim_start_matches('#')).unwrap()),
        None => schema,
    }
}

/// A value that fits a schema, as full as it can be.
fn filled(document: &Value, schema: &Value) -> Value {
    if let Some(constant) = schema.get("const") {
        return constant.clone();
    }
    if let Some(first) = schema.get("enum").and_then(|list| list.get(0)) {
        return first.clone();
    }
    if let Some(branches) = schema.get("anyOf").and_then(Value::as_array) {
        // The last branch is the fullest: an object rather than `none`.
        let branch = branches
            .iter()
            .max_by_key(|branch| filled(document, branch).to_string().len())
            .unwrap();
        return filled(document, branch);
    }
    let inner = resolved(document, schema);
    if !std::ptr::eq(inner, schema) {
        return filled(document, inner);
    }
    if let Some(example) = schema.get("examples").and_then(|list| list.get(0)) {
        return example.clone();
    }
    match schema.get("type").and_then(Value::as_str) {
        Some("object") => {
            let mut members = Map::new();
            for (key, field) in schema
                .get("properties")
                .and_then(Value::as_object)
                .into_iter()
                .flatten()
            {
                members.insert(key.clone(), filled(document, field));
            }
            if let Some(each) = schema.get("additionalProperties").filter(|each| each.is_object()) {
                members.insert("one".to_owned(), filled(document, each));
            }
            Value::Object(members)
        }
        Some("array") => match schema.get("prefixItems").and_then(Value::as_array) {
            Some(items) => Value::Array(items.iter().map(|item| filled(document, item)).collect()),
            None => json!([
                filled(document, &schema["items"]),
                filled(document, &schema["items"])
            ]),
        },
        Some("integer" | "number") => json!(1),
        Some("boolean") => json!(true),
        _ => json!("text"),
    }
}

/// Whether the schema accepts a plan, and whether the types do.
fn accepted(plan: &Value) -> (Vec<String>, Result<(), String>) {
    let mut sources = Sources::default();
    let source = sources.add("plan.json", plan.to_string());
    let tree = parse(&sources, source).unwrap();
    let refused = check(schema(), &tree)
        .into_iter()
        .map(|problem| problem.message)
        .collect();
    (refused, types_take(plan))
}

/// Whether the types take a plan.
fn types_take(plan: &Value) -> Result<(), String> {
    let mut sources = Sources::default();
    let source = sources.add("plan.json", plan.to_string());
    let tree = parse(&sources, source).unwrap();
    Plan::from_tree(&tree)
        .map(drop)
        .map_err(|problem| problem.message)
}

/// Every leaf of a value, by pointer.
fn leaves(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => members
            .iter()
            .for_each(|(key, inner)| leaves(inner, &format!("{at}/{key}"), found)),
        Value::Array(items) => {
            items
                .iter()
                .enumerate()
                .for_each(|(index, inner)| leaves(inner, &format!("{at}/{index}"), found));
        }
        _ => found.push(at.to_owned()),
    }
}

#[test]
fn a_plan_with_every_field_filled_is_accepted_by_both() {
    let plan = filled(&document(), &document());
    let mut found = Vec::new();
    leaves(&plan, "", &mut found);
    assert!(found.len() > 250, "only {} fields are filled", found.len());
    assert_eq!(accepted(&plan), (Vec::new(), Ok(())));
}

/// A number, which no field of a plan but counts and pH takes, in place of each value in turn.
#[test]
fn a_wrong_value_anywhere_is_refused_by_the_schema() {
    let plan = filled(&document(), &document());
    let mut found = Vec::new();
    leaves(&plan, "", &mut found);
    for pointer in found {
        let mut wrong = plan.clone();
        let place = wrong.pointer_mut(&pointer).unwrap();
        *place = if place.is_number() {
            json!("text")
        } else {
            json!(-7.5)
        };
        assert!(!accepted(&wrong).0.is_empty(), "{pointer} takes a wrong value");
    }
}

/// What the types can't take the schema refuses: nothing that passes the schema is told without its own words.
#[test]
fn what_the_types_cannot_take_the_schema_refuses() {
    let plan = filled(&document(), &document());
    let mut found = Vec::new();
    leaves(&plan, "", &mut found);
    let slips = [
        json!(null),
        json!(true),
        json!("none"),
        json!("3 furlongs"),
        json!(1.5),
        json!([[]]),
        json!({}),
    ];
    let mut refused = 0;
    // Fields share a few definitions, so one slip for each field reaches every slip of every definition.
    for (pointer, slip) in found.iter().zip(slips.iter().cycle()) {
        let mut wrong = plan.clone();
        wrong.pointer_mut(pointer).unwrap().clone_from(slip);
        if types_take(&wrong).is_err() {
            refused += 1;
            assert!(
                !accepted(&wrong).0.is_empty(),
                "{pointer}: {slip} passes the schema and no type"
            );
        }
    }
    assert!(refused > 150, "only {refused} slips were tried");
}

/// A word that is none of the listed ones, or no quantity, is refused by both.
#[test]
fn words_and_quantities_are_refused_by_both() {
    let plan = filled(&document(), &document());
    let mut found = Vec::new();
    leaves(&plan, "", &mut found);
    let mut tried = 0;
    for pointer in found {
        let field = schema().book().field_at(&Place::from_pointer(&pointer)).unwrap();
        if pointer == "/format" || (field.kind.is_none() && field.values.is_empty()) {
            continue;
        }
        tried += 1;
        let mut wrong = plan.clone();
        *wrong.pointer_mut(&pointer).unwrap() = json!("3 furlongs");
        let (refused, typed) = accepted(&wrong);
        assert!(
            !refused.is_empty() && typed.is_err(),
            "{pointer} takes `3 furlongs`: {refused:?}, {typed:?}"
        );
    }
    assert!(tried > 150, "only {tried} fields were tried");
}

#[test]
fn every_field_has_a_title_and_a_description_for_an_editor_to_show() {
    let document = document();
    let definitions = document["$defs"].as_object().unwrap().iter();
    for (name, schema) in definitions.chain([(&"plan".to_owned(), &document)]) {
        for (key, field) in schema
            .get("properties")
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
        {
            for word in ["title", "description"] {
                assert!(
                    field.get(word).is_some_and(Value::is_string),
                    "{name}/{key} has no {word}"
                );
            }
        }
    }
}
