use proptest::prelude::*;
use serde_json::{Value as Json, json};

use super::*;
use crate::read::{SourceId, parse};

/// The tree of any JSON value; the wrapping object lets it be a bare one.
fn node(sources: &mut Sources, name: &str, json: &Json) -> Node {
    let id = sources.add(name, json!({ "whole": json }).to_string());
    parse(sources, id).unwrap().get("whole").unwrap().clone()
}

fn merged(base: &Json, patch: &Json) -> Json {
    let mut sources = Sources::default();
    let mut tree = node(&mut sources, "plan.json", base);
    let patch = node(&mut sources, "patch.json", patch);
    merge(&mut tree, patch);
    tree.to_json()
}

/// The example test cases of RFC 7396, appendix A: original, patch, result.
#[test]
fn reference_rfc_7396_appendix_a() {
    let cases = [
        (json!({"a": "b"}), json!({"a": "c"}), json!({"a": "c"})),
        (json!({"a": "b"}), json!({"b": "c"}), json!({"a": "b", "b": "c"})),
        (json!({"a": "b"}), json!({"a": null}), json!({})),
        (json!({"a": "b", "b": "c"}), json!({"a": null}), json!({"b": "c"})),
        (json!({"a": ["b"]}), json!({"a": "c"}), json!({"a": "c"})),
        (json!({"a": "c"}), json!({"a": ["b"]}), json!({"a": ["b"]})),
        (
            json!({"a": {"b": "c"}}),
            json!({"a": {"b": "d", "c": null}}),
            json!({"a": {"b": "d"}}),
        ),
        (json!({"a": [{"b": "c"}]}), json!({"a": [1]}), json!({"a": [1]})),
        (json!(["a", "b"]), json!(["c", "d"]), json!(["c", "d"])),
        (json!({"a": "b"}), json!(["c"]), json!(["c"])),
        (json!({"a": "foo"}), json!(null), json!(null)),
        (json!({"a": "foo"}), json!("bar"), json!("bar")),
        (json!({"e": null}), json!({"a": 1}), json!({"e": null, "a": 1})),
        (json!([1, 2]), json!({"a": "b", "c": null}), json!({"a": "b"})),
        (
            json!({}),
            json!({"a": {"bb": {"ccc": null}}}),
            json!({"a": {"bb": {}}}),
        ),
    ];
    for (base, patch, result) in cases {
        assert_eq!(merged(&base, &patch), result, "{base} patched with {patch}");
    }
}

fn read(sources: &mut Sources, name: &str, text: &str) -> Node {
    let id = sources.add(name, text);
    parse(sources, id).unwrap()
}

#[test]
fn what_a_patch_sets_points_at_the_patch() {
    let mut sources = Sources::default();
    let plan = read(
        &mut sources,
        "plan.json",
        r#"{"basins": {"bed": {"rim": "9 in", "floor": "-2 ft"}}}"#,
    );
    let survey = read(
        &mut sources,
        "survey.json",
        r#"{"basins": {"bed": {"rim": "8-1/2 in", "well": {"bore": "12 in"}}}}"#,
    );
    let mut patched = Patched::new(plan);
    patched.apply(survey);

    let named = |pointer: &str| sources.name(patched.span_of(&Place::from_pointer(pointer)).source);
    assert_eq!(named("/basins/bed/rim"), "survey.json");
    assert_eq!(named("/basins/bed/well/bore"), "survey.json");
    assert_eq!(named("/basins/bed/well/lid"), "survey.json");
    assert_eq!(named("/basins/bed/floor"), "plan.json");
    assert_eq!(named("/basins/bed"), "plan.json");
    let key = patched
        .root
        .key_at(&Place::from_pointer("/basins/bed/rim"))
        .unwrap();
    assert_eq!(sources.name(key.source), "survey.json");
    assert!(patched.removed.is_empty());
}

#[test]
fn what_a_patch_takes_away_points_at_its_null_until_it_is_set_again() {
    let mut sources = Sources::default();
    let plan = read(
        &mut sources,
        "plan.json",
        r#"{"basins": {"bed": {"lining": {"underlay": "12 oz/yd2"}}}}"#,
    );
    let drill = read(
        &mut sources,
        "drill.json",
        r#"{"basins": {"bed": {"lining": null, "fish": null}}}"#,
    );
    let mut patched = Patched::new(plan);
    patched.apply(drill);

    let underlay = Place::from_pointer("/basins/bed/lining/underlay");
    let span = patched.span_of(&underlay);
    assert_eq!(
        (sources.name(span.source), sources.slice(span)),
        ("drill.json", "null")
    );
    let taken: Vec<_> = patched
        .removed
        .iter()
        .map(|removed| removed.place.as_str())
        .collect();
    assert_eq!(taken, ["/basins/bed/lining"]);

    let mend = read(
        &mut sources,
        "mend.json",
        r#"{"basins": {"bed": {"lining": {"cushion": "sand"}}}}"#,
    );
    patched.apply(mend);
    assert_eq!(sources.slice(patched.span_of(&underlay)), r#""lining""#);
}

fn assigned(written: &str) -> Result<Json, String> {
    assignment(&mut Sources::default(), written)
        .map(|node| node.to_json())
        .map_err(|problem| problem.message)
}

#[test]
fn an_assignment_is_a_patch() {
    let rim = json!({"basins": {"bed": {"rim": "10 in"}}});
    assert_eq!(assigned("/basins/bed/rim=10 in"), Ok(rim.clone()));
    assert_eq!(assigned(" basins.bed.rim = 10 in "), Ok(rim));
    assert_eq!(assigned("/a~1b/c~0d=x=y"), Ok(json!({"a/b": {"c~d": "x=y"}})));
    assert_eq!(assigned("a=3' 6\""), Ok(json!({"a": "3' 6\""})));
    assert_eq!(assigned("a=\"7\""), Ok(json!({"a": "7"})));
    assert_eq!(assigned("a=7.5"), Ok(json!({"a": 7.5})));
    assert_eq!(assigned("a=false"), Ok(json!({"a": false})));
    assert_eq!(assigned("a=null"), Ok(json!({"a": null})));
    assert_eq!(assigned("a={\"b\": [1, 2]}"), Ok(json!({"a": {"b": [1, 2]}})));
    assert_eq!(assigned("a=none"), Ok(json!({"a": "none"})));
}

#[test]
fn an_assignment_points_at_its_parts() {
    let mut sources = Sources::default();
    let patch = assignment(&mut sources, "/basins/bed= {\"rim\": \"10 in\"}").unwrap();
    let rim = Place::from_pointer("/basins/bed/rim");
    assert_eq!(sources.slice(patch.at(&rim).unwrap().span), "\"10 in\"");
    assert_eq!(
        sources.slice(patch.key_at(&rim.parent().unwrap()).unwrap()),
        "bed"
    );
}

#[test]
fn a_malformed_assignment_is_told() {
    let cases = [
        ("/basins/bed", "an assignment has no `=`"),
        ("", "an assignment has no `=`"),
        ("=10 in", "an assignment names no place"),
        ("/=10 in", "a part of the path is empty"),
        ("basins..rim=10 in", "a part of the path is empty"),
        ("/basins//rim=10 in", "a part of the path is empty"),
        ("/a~3b=1", "a `~` in the path escapes nothing"),
        ("/a= ", "an assignment gives no value"),
        ("/a={\"b\" 1}", "a key has no value"),
        ("/a=x\u{1b}[0m", "the value holds the control character U+001B"),
        ("/a\u{7}=x", "the path holds the control character U+0007"),
    ];
    for (written, message) in cases {
        assert_eq!(assigned(written), Err(message.to_owned()), "{written:?}");
    }
    let deep = format!("{}=1", "a.".repeat(100_000) + "a");
    assert_eq!(
        assigned(&deep),
        Err("the path has more than 100 parts".to_owned())
    );
}

fn any_tree() -> impl Strategy<Value = Json> {
    let leaf = prop_oneof![
        Just(Json::Null),
        any::<bool>().prop_map(Json::Bool),
        (-9..9i32).prop_map(|n| json!(n)),
        "[a-c~/]{0,2}".prop_map(Json::String),
    ];
    leaf.prop_recursive(4, 32, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Json::Array),
            prop::collection::vec(("[a-c~/]{0,2}", inner), 0..4)
                .prop_map(|members| Json::Object(members.into_iter().collect())),
        ]
    })
}

/// The pseudocode of RFC 7396, section 2, over plain values.
fn plain_merge(base: &mut Json, patch: &Json) {
    let Json::Object(changes) = patch else {
        *base = patch.clone();
        return;
    };
    if !base.is_object() {
        *base = json!({});
    }
    let members = base.as_object_mut().unwrap();
    for (key, change) in changes {
        if change.is_null() {
            members.shift_remove(key);
        } else {
            plain_merge(members.entry(key.clone()).or_insert(Json::Null), change);
        }
    }
}

proptest! {
    #[test]
    fn merging_agrees_with_the_standard_and_tells_what_is_gone(base in any_tree(), patch in any_tree()) {
        let mut sources = Sources::default();
        let before = node(&mut sources, "plan.json", &base);
        let mut after = before.clone();
        let changes = node(&mut sources, "patch.json", &patch);
        let removed = merge(&mut after, changes);

        let mut expected = base;
        plain_merge(&mut expected, &patch);
        prop_assert_eq!(after.to_json(), expected);
        for removed in removed {
            prop_assert!(before.at(&removed.place).is_some() && after.at(&removed.place).is_none());
            prop_assert_eq!(removed.span.source, SourceId(1));
            prop_assert_eq!(sources.slice(removed.span), "null");
        }
    }

    #[test]
    fn any_assignment_is_a_patch_or_a_problem(written in any::<String>(), value in "[\\PC\"{}\\[\\]=]{0,12}") {
        for text in [written.clone(), format!("/a/{written}={value}"), format!("a.b={value}")] {
            let mut sources = Sources::default();
            if let Err(problem) = assignment(&mut sources, &text) {
                let (span, _) = problem.at.unwrap();
                prop_assert!(sources.text(span.source).get(span.start..span.end).is_some());
            }
        }
    }
}
