use super::*;

const PLAN: &str = r#"// A plan.
{
  "format": "bywash plan 1",
  "basins": {
    // The old one.
    "pond": { "kind": "pond", "still": "-6 in" /* shot */, "rim": "0 in" },
    "bed": {
      "kind": "bed", // upflow
      "shape": { "form": "circle" },
    },
  },
  "pumps": { "a": { "basin": "pond", "curve": [["0 gph", "10 ft"], ["900 gph", "2 ft"]] } }
}
"#;

fn changed(changes: &[Change]) -> Result<String, WriteError> {
    rewrite(PLAN, changes, crate::plan::schema().book())
}

fn place(pointer: &str) -> Place {
    Place::from_pointer(pointer)
}

fn set(pointer: &str, value: &str) -> Change {
    Change::Set(place(pointer), Json::String(value.to_owned()))
}

/// A text as JSON, by the project's own reader.
fn json_of(text: &str) -> Json {
    let mut sources = Sources::default();
    let source = sources.add("plan", text);
    parse(&sources, source).unwrap().to_json()
}

#[test]
fn without_changes_the_text_is_the_same_bytes() {
    for text in [
        PLAN,
        &PLAN.replace('\n', "\r\n"),
        "{}",
        "\u{feff}{ }\n\n",
        "{\t\"a\":1,\r\n\"b\":[ ] , }",
    ] {
        assert_eq!(rewrite(text, &[], crate::plan::schema().book()).unwrap(), text);
    }
}

#[test]
fn a_value_changes_and_all_else_stays() {
    assert_eq!(
        changed(&[set("/basins/pond/still", "-8 in")]).unwrap(),
        PLAN.replace("\"-6 in\"", "\"-8 in\"")
    );
    assert_eq!(
        changed(&[set("/pumps/a/curve/1/0", "950 gph")]).unwrap(),
        PLAN.replace("900 gph", "950 gph")
    );
    // A value set to what it is stays as it is written.
    let escaped = PLAN.replace("pond\", \"still", "p\\u006fnd\", \"still");
    let same = rewrite(
        &escaped,
        &[set("/basins/pond/kind", "pond")],
        crate::plan::schema().book(),
    );
    assert_eq!(same.unwrap(), escaped);
}

#[test]
fn a_new_field_stands_where_the_schema_lists_it() {
    let text = changed(&[
        set("/basins/pond/name", "old pond"),
        set("/basins/pond/floor", "-4 ft"),
    ])
    .unwrap();
    assert!(
        text.contains(
            r#""pond": { "name": "old pond", "kind": "pond", "still": "-6 in" /* shot */, "rim": "0 in", "floor": "-4 ft" }"#
        ),
        "{text}"
    );
    assert!(text.contains("// The old one.") && text.contains("// upflow"));
}

#[test]
fn an_object_on_one_line_stays_on_it() {
    let book = crate::plan::schema().book();
    for (before, change, after) in [
        (
            "{ \"pumps\": { \"p\": {} } }",
            set("/pumps/p/basin", "a"),
            "{ \"pumps\": { \"p\": { \"basin\": \"a\" } } }",
        ),
        (
            "{ \"pumps\": { \"p\": { \"name\": \"x\" /* ours */ } } }",
            set("/pumps/p/basin", "a"),
            "{ \"pumps\": { \"p\": { \"name\": \"x\" /* ours */, \"basin\": \"a\" } } }",
        ),
        (
            "{ \"pumps\": { \"p\": { \"basin\": \"x\", } } }",
            set("/pumps/p/duty/flow", "1 gph"),
            "{ \"pumps\": { \"p\": { \"basin\": \"x\", \"duty\": { \"flow\": \"1 gph\" }, } } }",
        ),
    ] {
        assert_eq!(rewrite(before, &[change], book).unwrap(), after);
    }
}

#[test]
fn what_a_value_stands_in_is_made() {
    let text = changed(&[set("/basins/pond/lining/membrane/material", "EPDM")]).unwrap();
    let json: Json = json_of(&text);
    assert_eq!(
        json.pointer("/basins/pond/lining/membrane/material"),
        Some(&Json::from("EPDM"))
    );
    // A word that says there is one gives way to the object.
    let yes = changed(&[
        Change::Set(place("/basins/bed/clean_out_well"), Json::Bool(true)),
        set("/basins/bed/clean_out_well/bore", "10 in"),
    ]);
    let json: Json = json_of(&yes.unwrap());
    assert_eq!(
        json.pointer("/basins/bed/clean_out_well/bore"),
        Some(&Json::from("10 in"))
    );
}

#[test]
fn rows_are_added_at_the_end_of_a_list_and_nowhere_else() {
    let row = |at: &str| Change::Set(place(at), serde_json::json!(["400 gph", "7 ft"]));
    let text = changed(&[row("/pumps/a/curve/2")]).unwrap();
    assert!(
        text.contains(r#"["900 gph", "2 ft"], ["400 gph", "7 ft"]]"#),
        "{text}"
    );
    assert_eq!(
        changed(&[row("/pumps/a/curve/9")]),
        Err(WriteError::NoPlace(place("/pumps/a/curve/9")))
    );
}

#[test]
fn a_removed_value_takes_its_empty_holder_along_but_no_object_of_a_collection() {
    let text = changed(&[Change::Remove(place("/basins/bed/shape/form"))]).unwrap();
    assert!(!text.contains("shape"), "{text}");
    assert!(text.contains("\"kind\": \"bed\", // upflow"), "{text}");
    let text = changed(&[
        Change::Remove(place("/basins/bed/shape")),
        Change::Remove(place("/basins/bed/kind")),
    ]);
    assert!(text.as_ref().unwrap().contains("\"bed\""), "{text:?}");
    // No pump left is a question again: an empty collection would say that there is none.
    let text = changed(&[Change::Remove(place("/pumps/a"))]).unwrap();
    assert!(!text.contains("pumps"), "{text}");
}

#[test]
fn a_key_changes_unless_another_has_it() {
    let text = changed(&[Change::Rename(place("/basins/pond"), "po\"nd 池".to_owned())]).unwrap();
    assert_eq!(text, PLAN.replace("\"pond\": {", "\"po\\\"nd 池\": {"));
    let taken = changed(&[Change::Rename(place("/basins/pond"), "bed".to_owned())]);
    assert_eq!(taken, Err(WriteError::Taken("bed".to_owned())));
}

#[test]
fn a_text_that_is_broken_is_left_alone() {
    let outcome = rewrite("{ \"a\": ", &[set("/a", "b")], crate::plan::schema().book());
    assert_eq!(outcome, Err(WriteError::Unreadable));
}
