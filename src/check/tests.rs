use proptest::prelude::*;
use serde_json::{Value as Json, json};

use super::*;
use crate::quantity::Kind;
use crate::read::{Place, Sources, parse};

/// A small schema in the manner of the plan's.
fn schema() -> Schema {
    Schema::new(
        &json!({
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "$id": "urn:test:plan",
            "type": "object",
            "required": ["format"],
            "properties": {
                "format": {"title": "format", "const": "bywash plan 1"},
                "date": {"title": "date of the plan", "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}$", "examples": ["2026-04"]},
                "ph": {"title": "pH", "type": "number", "minimum": 0, "maximum": 14},
                "basins": {
                    "title": "basins",
                    "type": "object",
                    "additionalProperties": {"$ref": "#/$defs/basin"},
                    "propertyNames": {"type": "string", "minLength": 1, "not": {"enum": ["none"]}}
                },
                "outlet": {"title": "outlet", "anyOf": [
                    {"$ref": "#/$defs/none"},
                    {"type": "object", "required": ["kind"], "additionalProperties": false, "properties": {
                        "kind": {"const": "fall"}, "crest": {"$ref": "#/$defs/length"}}},
                    {"type": "object", "required": ["kind"], "additionalProperties": false, "properties": {
                        "kind": {"const": "pipe"}, "bore": {"$ref": "#/$defs/length"}}}
                ]}
            },
            "patternProperties": {"^x-": true},
            "additionalProperties": false,
            "$defs": {
                "none": {"title": "says there is none", "enum": [false, "none"]},
                "length": {"title": "length", "type": "string", "quantity": "length", "maxLength": 20},
                "mass": {"title": "mass per area", "type": "string", "quantity": "mass-per-area"},
                "basin": {
                    "title": "basin",
                    "type": "object",
                    "required": ["kind"],
                    "properties": {
                        "kind": {"title": "kind", "description": "What it is for.", "enum": ["pond", "bed", "pool"]},
                        "rim": {"title": "rim level", "description": "Lowest edge.", "$ref": "#/$defs/length"},
                        "drop": {"title": "drop", "anyOf": [{"$ref": "#/$defs/none"}, {"$ref": "#/$defs/length"}]},
                        "joint": {"title": "joint", "anyOf": [{"$ref": "#/$defs/none"}, {"enum": ["glued", "threaded"]}]},
                        "layers": {"title": "layers", "type": "array", "minItems": 1, "maxItems": 3, "items": {
                            "type": "object", "title": "layer", "properties": {"fill": {"title": "fill", "type": "string"}}}},
                        "lining": {"title": "lining", "anyOf": [{"$ref": "#/$defs/none"}, {"$ref": "#/$defs/lining"}]}
                    },
                    "patternProperties": {"^x-": true},
                    "additionalProperties": false
                },
                "lining": {
                    "title": "the lining",
                    "type": "object",
                    "properties": {"underlay": {"title": "underlay", "anyOf": [
                        {"$ref": "#/$defs/none"},
                        {"type": "object", "properties": {"mass": {"title": "mass", "$ref": "#/$defs/mass"}}, "additionalProperties": false}
                    ]}},
                    "unevaluatedProperties": false
                }
            }
        })
        .to_string(),
    )
    .unwrap()
}

/// Each problem of a plan as `line:column message [label] (help)`.
fn problems_in(text: &str) -> Vec<String> {
    let mut sources = Sources::default();
    let id = sources.add("plan.json", text);
    let root = parse(&sources, id).unwrap();
    check(&schema(), &root)
        .into_iter()
        .map(|problem| {
            let place = problem.at.map_or_else(String::new, |(span, label)| {
                let (line, column) = sources.line_column(span);
                format!("{line}:{column} `{}` [{label}] ", sources.slice(span))
            });
            let help = problem.help.map_or_else(String::new, |help| format!(" ({help})"));
            format!("{place}{}{help}", problem.message)
        })
        .collect()
}

/// The problems of members of one bed.
fn problems_in_bed(members: &str) -> Vec<String> {
    problems_in(&format!(
        "{{\"format\": \"bywash plan 1\", \"basins\": {{\"bed\": {{\"kind\": \"bed\",\n{members}}}}}}}"
    ))
}

#[test]
fn a_sound_plan_has_no_problems() {
    let plan = r#"{
        "format": "bywash plan 1", "x-job": {"anything": [1, null]}, "ph": 7.5,
        "basins": {"bed": {
            "kind": "bed", "x-tag": 7, "rim": "7-1/2 in", "drop": "none", "joint": false,
            "layers": [{"fill": "stone"}],
            "lining": {"underlay": {"mass": "12 oz/yd2"}}
        }, "pond": {"kind": "pond", "lining": false, "drop": "2 ft"}}
    }"#;
    assert_eq!(problems_in(plan), Vec::<String>::new());
}

#[test]
fn an_unknown_key_is_told_with_the_nearest() {
    assert_eq!(
        problems_in_bed("\"rimm\": \"1 in\", \"colour\": 2"),
        [
            "2:1 `\"rimm\"` [not known here] unknown key `rimm` (did you mean `rim`?)",
            "2:17 `\"colour\"` [not known here] unknown key `colour` (known here: `kind`, `rim`, `drop`, `joint`, \
             `layers` or `lining`; keys that start with `x-` are your own)",
        ]
    );
    assert_eq!(
        problems_in_bed("\"lining\": {\"underly\": {}}"),
        ["2:12 `\"underly\"` [not known here] unknown key `underly` (did you mean `underlay`?)"]
    );
}

#[test]
fn a_missing_key_is_told_at_the_object_that_lacks_it() {
    assert_eq!(
        problems_in("{\"basins\": {\"bed\": {}}}"),
        [
            "1:1 `{` [needs `format`] the key `format` is missing (`format` is \"bywash plan 1\")",
            "1:13 `\"bed\"` [needs `kind`] the key `kind` is missing (`kind` is \"pond\", \"bed\" or \"pool\")",
        ]
    );
}

#[test]
fn a_wrong_type_is_told() {
    assert_eq!(
        problems_in(r#"{"format": "bywash plan 1", "basins": "pond", "ph": "7"}"#),
        [
            "1:39 `\"pond\"` [expected an object] expected an object, found a text",
            "1:53 `\"7\"` [expected a number] expected a number, found a text",
        ]
    );
    assert_eq!(
        problems_in_bed("\"layers\": {}"),
        ["2:1 `\"layers\"` [expected a list] expected a list, found an object"]
    );
    assert_eq!(
        problems_in_bed("\"rim\": null"),
        [
            "2:8 `null` [expected a length] expected a length, found `null` (leave the key out where the plan shows \
             nothing; \"none\" says that there is none)"
        ]
    );
}

#[test]
fn a_bare_number_is_told_the_units_that_fit() {
    for members in ["\"rim\": 7.5", "\"drop\": 7.5"] {
        let problems = problems_in_bed(members);
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(
            problems[0].contains("found the bare number 7.5, expected a length"),
            "{problems:?}"
        );
        for unit in ["in", "ft", "mm", "m"] {
            assert!(problems[0].contains(&format!(" {unit},")), "{unit}: {problems:?}");
        }
    }
}

#[test]
fn a_wrong_quantity_is_told_as_the_quantity_tells_it() {
    for (member, text) in [
        ("rim", "3 gph"),
        ("drop", "3 gph"),
        ("rim", "3 foots"),
        ("rim", "soon"),
    ] {
        let refused = crate::quantity::Quantity::parse(text, Kind::Length).unwrap_err();
        let problems = problems_in_bed(&format!("\"{member}\": \"{text}\""));
        let expected = format!(
            "2:{} `\"{text}\"` [expected a length] {refused} ({})",
            member.len() + 5,
            refused.help()
        );
        assert_eq!(problems, [expected]);
    }
    assert_eq!(
        problems_in_bed(&format!("\"rim\": \"{} in\"", "0".repeat(300))).len(),
        1
    );
}

#[test]
fn a_value_off_the_list_is_told_with_the_list_and_the_nearest() {
    assert_eq!(
        problems_in(
            "{\"format\": \"bywash plan 2\", \"basins\": {\"a\": {\"kind\": \"ponds\"}, \"b\": {\"kind\": 3}}}"
        ),
        [
            "1:12 `\"bywash plan 2\"` [not accepted here] expected \"bywash plan 1\", found \"bywash plan 2\"",
            "1:54 `\"ponds\"` [not accepted here] expected \"pond\", \"bed\" or \"pool\", found \"ponds\" (did you mean \
             \"pond\"?)",
            "1:78 `3` [not accepted here] expected \"pond\", \"bed\" or \"pool\", found 3",
        ]
    );
}

#[test]
fn a_union_tells_the_branch_that_was_meant() {
    assert_eq!(
        problems_in_bed("\"lining\": {\"underlay\": {\"mas\": \"1 oz/yd2\"}}"),
        ["2:25 `\"mas\"` [not known here] unknown key `mas` (did you mean `mass`?)"]
    );
    assert_eq!(
        problems_in_bed("\"lining\": \"nnoe\""),
        [
            "2:11 `\"nnoe\"` [expected an object, `false` or \"none\"] expected an object, `false` or \"none\", found a \
             text (did you mean \"none\"?)"
        ]
    );
    assert_eq!(
        problems_in_bed("\"lining\": true, \"drop\": [1]"),
        [
            "2:11 `true` [expected an object, `false` or \"none\"] expected an object, `false` or \"none\", found `true`",
            "2:17 `\"drop\"` [expected a length, `false` or \"none\"] expected a length, `false` or \"none\", found a list",
        ]
    );
    assert_eq!(
        problems_in_bed("\"joint\": \"glud\""),
        [
            "2:10 `\"glud\"` [not accepted here] expected `false`, \"none\", \"glued\" or \"threaded\", found \"glud\" (did \
             you mean \"glued\"?)"
        ]
    );
}

#[test]
fn a_union_of_kinds_is_told_by_its_kind() {
    let outlet = |members: &str| {
        problems_in(&format!(
            "{{\"format\": \"bywash plan 1\", \"outlet\": {members}}}"
        ))
    };
    assert_eq!(
        outlet(r#"{"kind": "pipe", "bor": "2 in"}"#),
        ["1:56 `\"bor\"` [not known here] unknown key `bor` (did you mean `bore`?)"]
    );
    assert_eq!(
        outlet(r#"{"kind": "fal", "crest": "2 in"}"#),
        [
            "1:48 `\"fal\"` [not accepted here] expected \"fall\" or \"pipe\", found \"fal\" (did you mean \"fall\"?)"
        ]
    );
    assert!(outlet("\"none\"").is_empty());
}

#[test]
fn counts_ranges_forms_and_names_are_told() {
    assert_eq!(
        problems_in_bed("\"layers\": []"),
        ["2:1 `\"layers\"` [needs at least 1 item] 0 items, at least 1 needed"]
    );
    assert_eq!(
        problems_in_bed("\"layers\": [{}, {}, {}, {}]"),
        ["2:1 `\"layers\"` [takes at most 3 items] 4 items, at most 3 accepted"]
    );
    assert_eq!(
        problems_in(
            r#"{"format": "bywash plan 1", "ph": 15, "date": "spring", "basins": {"none": {"kind": "bed"}, "": {"kind": "bed"}}}"#
        ),
        [
            "1:35 `15` [at most 14] 15 is over 14",
            "1:47 `\"spring\"` [not accepted here] \"spring\" does not have the required form (written as \"2026-04\")",
            "1:68 `\"none\"` [choose another name] `none` can’t be a name here",
            "1:93 `\"\"` [choose another name] `` can’t be a name here (it needs at least 1 character)",
        ]
    );
}

#[test]
fn many_problems_are_cut_short_with_a_count() {
    let keys: Vec<String> = (0..60).map(|n| format!("\"odd{n}\": 1")).collect();
    let problems = problems_in_bed(&keys.join(",\n"));
    assert_eq!(problems.len(), 51);
    assert_eq!(problems[50], "and 10 more problems");
    assert!(problems[49].starts_with("51:1 `\"odd49\"`"));
}

#[test]
fn a_schema_that_cannot_be_used_is_refused() {
    assert!(matches!(Schema::new("{"), Err(SchemaError::NotJson(_))));
    for schema in [
        json!({"type": 3}),
        json!({"$ref": "https://example.org/elsewhere.json"}),
        json!({"$ref": "#/$defs/nowhere"}),
        json!({"properties": {"a": {"quantity": "hopefulness"}}}),
        json!({"quantity": 3}),
    ] {
        assert!(
            matches!(
                Schema::new(&schema.to_string()),
                Err(SchemaError::Unusable { .. })
            ),
            "{schema}"
        );
    }
}

#[test]
fn fields_are_described() {
    let schema = schema();
    let book = schema.book();
    let mass = book
        .field(&["basins", "*", "lining", "underlay", "mass"])
        .unwrap();
    assert_eq!(
        (mass.title.as_str(), mass.kind, mass.may_be_none),
        ("mass", Some(Kind::MassPerArea), false)
    );
    let kind = book
        .field_at(&Place::from_pointer("/basins/any pond/kind"))
        .unwrap();
    assert_eq!(kind.values, ["pond", "bed", "pool"]);
    assert_eq!(kind.description.as_deref(), Some("What it is for."));
    let joint = book.field(&["basins", "*", "joint"]).unwrap();
    assert_eq!((joint.values.len(), joint.may_be_none), (2, true));
    let drop = book.field(&["basins", "*", "drop"]).unwrap();
    assert_eq!((drop.kind, drop.may_be_none), (Some(Kind::Length), true));
    assert_eq!(drop.title, "drop");
    let fill = book.field(&["basins", "*", "layers", "*", "fill"]).unwrap();
    assert_eq!(fill.title, "fill");
    assert_eq!(book.field(&["basins", "*", "colour"]), None);
    assert_eq!(book.field(&["nowhere"]), None);
}

#[test]
fn known_keys_are_listed_in_the_order_of_the_schema() {
    let schema = schema();
    assert_eq!(
        schema.book().fields_of(&["basins", "*"]),
        ["kind", "rim", "drop", "joint", "layers", "lining"]
    );
    assert_eq!(schema.book().fields_of(&["outlet"]), ["kind", "crest", "bore"]);
    assert!(schema.book().fields_of(&["basins"]).is_empty());
}

#[test]
fn places_have_readable_names() {
    let schema = schema();
    let named = |pointer: &str| schema.book().title_of(&Place::from_pointer(pointer));
    assert_eq!(
        named("/basins/bed/lining/underlay/mass"),
        "bed / lining / underlay / mass"
    );
    assert_eq!(named("/basins/bed/rim"), "bed / rim level");
    assert_eq!(named("/basins/bed"), "bed");
    assert_eq!(named("/basins"), "basins");
    assert_eq!(named("/basins/bed/layers/1/fill"), "bed / layers / 2 / fill");
    assert_eq!(named("/outlet/bore"), "outlet / length");
    assert_eq!(named("/x-own/thing"), "x-own / thing");
    assert_eq!(named(""), "plan");
}

#[test]
fn schemas_that_refer_to_themselves_are_read() {
    let book = SchemaBook::new(json!({"$ref": "#/$defs/a", "$defs": {
        "a": {"anyOf": [{"$ref": "#/$defs/b"}], "properties": {"next": {"$ref": "#/$defs/a"}}},
        "b": {"$ref": "#/$defs/a"}
    }}));
    assert_eq!(book.fields_of(&["next", "next"]), ["next"]);
    assert_eq!(
        book.title_of(&Place::from_pointer("/next/next/odd")),
        "next / next / odd"
    );
}

fn any_member() -> impl Strategy<Value = Json> {
    let leaf = prop_oneof![
        Just(Json::Null),
        any::<bool>().prop_map(Json::Bool),
        (-20..20i32).prop_map(|n| json!(n)),
        prop::sample::select(vec!["none", "pond", "bed", "3 ft 6 in", "3 gph", "", "pipe"])
            .prop_map(|text| json!(text)),
    ];
    leaf.prop_recursive(5, 40, 5, |inner| {
        let key = prop::sample::select(vec![
            "format", "basins", "bed", "kind", "rim", "drop", "joint", "layers", "lining", "underlay",
            "mass", "outlet", "x-a", "a/b", "none", "0",
        ]);
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Json::Array),
            prop::collection::vec((key, inner), 0..5).prop_map(|members| Json::Object(
                members
                    .into_iter()
                    .map(|(key, value)| (key.to_owned(), value))
                    .collect()
            )),
        ]
    })
}

proptest! {
    #[test]
    fn a_tree_has_problems_just_where_the_validator_refuses_it(member in any_member()) {
        let plan = json!({"format": "bywash plan 1", "basins": member, "outlet": member});
        let mut sources = Sources::default();
        let id = sources.add("plan.json", plan.to_string());
        let root = parse(&sources, id).unwrap();
        let schema = schema();
        let problems = check(&schema, &root);
        prop_assert_eq!(problems.is_empty(), schema.validator.is_valid(&plan));
        for problem in problems {
            if let Some((span, _)) = problem.at {
                prop_assert!(!sources.slice(span).is_empty());
            }
        }
    }
}
