use std::time::{Duration, Instant};

use proptest::prelude::*;

use super::*;
use crate::read::{MAX_DEPTH, MAX_VALUES, Place};

/// The tree of a text or its problems, and the sources to read spans with.
fn read(text: &str) -> (Sources, Result<Node, Vec<Problem>>) {
    let mut sources = Sources::default();
    let id = sources.add("plan.json", text);
    let parsed = parse(&sources, id);
    (sources, parsed)
}

/// Each problem as `line:column message [label]`.
fn problems_in(text: &str) -> Vec<String> {
    let (sources, parsed) = read(text);
    parsed
        .unwrap_err()
        .into_iter()
        .map(|problem| {
            let (span, label) = problem.at.unwrap();
            let (line, column) = sources.line_column(span);
            format!("{line}:{column} {} [{label}]", problem.message)
        })
        .collect()
}

#[test]
fn comments_and_trailing_commas_are_accepted() {
    let (sources, parsed) =
        read("// a plan\n{\"basins\": {\"pond\": {\"rim\": \"0 in\",},}, /* no */ \"list\": [1, 2,],}\n");
    let root = parsed.unwrap();
    let rim = root.at(&Place::from_pointer("/basins/pond/rim")).unwrap();
    assert_eq!(rim.text(), Some("0 in"));
    assert_eq!(sources.slice(rim.span), "\"0 in\"");
    assert_eq!(sources.line_column(rim.span), (2, 29));
}

#[test]
fn spans_hold_behind_a_byte_order_mark_and_wide_characters() {
    let (sources, parsed) = read("\u{feff}{\"größe\": \"½ in\", \"😀\": true}");
    let root = parsed.unwrap();
    assert_eq!(sources.slice(root.get("größe").unwrap().span), "\"½ in\"");
    assert_eq!(
        sources.slice(root.key_at(&Place::root().child("😀")).unwrap()),
        "\"😀\""
    );
}

#[test]
fn escapes_are_decoded() {
    let (_, parsed) = read(r#"{"a": "3' 6\" \u00b0 \ud83d\ude00 \n\t\/\\"}"#);
    assert_eq!(
        parsed.unwrap().get("a").unwrap().text(),
        Some("3' 6\" ° 😀 \n\t/\\")
    );
}

#[test]
fn looser_forms_are_refused_with_the_strict_one() {
    let cases = [
        (
            "{a: 1}",
            "1:2 a key is not in quotes [expected `\"` round the key]",
        ),
        ("{'a': 1}", "1:2 a text in single quotes [expected double quotes]"),
        (
            "{\"a\": 1 \"b\": 2}",
            "1:7 a comma is missing [expected `,` after this]",
        ),
        (
            "{\"a\": [1 2]}",
            "1:8 a comma is missing [expected `,` after this]",
        ),
        (
            "{\"a\": 0x10}",
            "1:7 a hexadecimal number [expected a decimal number]",
        ),
        (
            "{\"a\": +1}",
            "1:7 a number starts with `+` [expected a digit or `-`]",
        ),
        (
            "{\"a\": .5}",
            "1:7 a number starts or ends with its point [expected a digit there]",
        ),
        (
            "{\"a\": 5.}",
            "1:7 a number starts or ends with its point [expected a digit there]",
        ),
        ("{\"a\": 01}", "1:7 a comma is missing [expected `,` after this]"),
        (
            "{\"a\": NaN}",
            "1:7 a word without quotes [expected `\"` round a text]",
        ),
        (
            "{\"a\": -Infinity}",
            "1:7 a number that is none [expected digits]",
        ),
        (
            "{\"a\": none }",
            "1:7 a word without quotes [expected `\"` round a text]",
        ),
        (
            "{\"a\": 1,,}",
            "1:9 something other than a key in an object [expected `,`, a key or `}`]",
        ),
        (
            "{\"a\": [,]}",
            "1:8 a comma with no value before it [expected a value]",
        ),
        (
            "{\"a\": \"\\x41\"}",
            "1:8 an unknown escape in a text [this `\\` escapes nothing]",
        ),
        (
            "{\"a\": \"\\ud800\"}",
            "1:8 a `\\u` escape names no character [half of a pair]",
        ),
        (
            "{} {}",
            "1:4 something follows the end of the plan [expected nothing more]",
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(problems_in(text), [expected], "{text}");
    }
}

#[test]
fn a_text_that_is_cut_short_tells_what_is_still_open() {
    let cases = [
        (
            "{\n  \"basins\": {\n    \"pond\": {}\n  }\n",
            (4, 3),
            "expected `,` or `}`",
            (1, 1),
        ),
        ("{\"a\": [1,\n 2", (2, 2), "expected `,` or `]`", (1, 7)),
        (
            "{\"a\": {\"b\":",
            (1, 11),
            "expected a value after the `:`",
            (1, 7),
        ),
        (
            "{\"a\": {\"b\"",
            (1, 10),
            "expected `:` and a value after the key",
            (1, 7),
        ),
    ];
    for (text, end, label, opened) in cases {
        let (sources, parsed) = read(text);
        let problems = parsed.unwrap_err();
        assert_eq!(problems.len(), 1, "{problems:?}");
        let (span, expected) = problems[0].at.clone().unwrap();
        assert_eq!(
            (sources.line_column(span), expected.as_str()),
            (end, label),
            "{text}"
        );
        assert_eq!(sources.line_column(problems[0].also[0].0), opened, "{text}");
    }
}

#[test]
fn a_text_or_comment_that_is_not_closed_is_told_where_it_starts() {
    assert_eq!(
        problems_in("{\n  \"name\": \"Pond,\n  \"b\": \"c\"\n}"),
        ["2:11 a text is not closed on its line [expected `\"` before the line ends]"]
    );
    assert_eq!(
        problems_in("{\"a\": \"b"),
        ["1:7 a text is not closed on its line [expected `\"` before the line ends]"]
    );
    assert_eq!(
        problems_in("{} /* and so"),
        ["1:4 a comment is not closed [expected `*/` before the file ends]"]
    );
}

#[test]
fn brackets_that_do_not_match_are_told_with_the_one_still_open() {
    let (sources, parsed) = read("{\"a\": [1, 2}");
    let problem = parsed.unwrap_err().remove(0);
    assert_eq!(problem.message, "found `}`, expected `]`");
    assert_eq!(sources.line_column(problem.also[0].0), (1, 7));
    assert_eq!(
        problems_in("{}}"),
        ["1:3 `}` closes nothing [nothing is open here]"]
    );
}

#[test]
fn a_mistake_before_a_broken_bracket_is_told_too() {
    assert_eq!(
        problems_in("{\"a\": 1 \"b\": 2,\n \"c\": [1}"),
        [
            "1:7 a comma is missing [expected `,` after this]",
            "2:9 found `}`, expected `]` [expected `]`]",
        ]
    );
}

#[test]
fn control_characters_are_refused_wherever_they_stand() {
    assert_eq!(
        problems_in("{\"a\": \"x\u{1b}[31m\", // \u{7}\n \"b\": \"\t\"}\u{0}"),
        [
            "1:9 the control character U+001B has no place in a plan [here]",
            "1:20 the control character U+0007 has no place in a plan [here]",
            "2:8 a raw tab in a text [here]",
            "2:11 the control character U+0000 has no place in a plan [here]",
            "2:11 a character that starts no value [expected a value]",
        ]
    );
    assert_eq!(
        problems_in(r#"{"a": "\u001b[31m"}"#),
        ["1:7 a text holds the control character U+001B [in this text]"]
    );
    assert_eq!(
        problems_in("{\"a\": \"x\u{202e}y\"}"),
        ["1:9 the control character U+202E has no place in a plan [here]"]
    );
    assert_eq!(
        problems_in("{} // a\r"),
        ["1:8 the control character U+000D has no place in a plan [here]"]
    );
    assert_eq!(
        problems_in("{\u{a0}\"a\": \"1\u{a0}in\"}"),
        ["1:2 U+00A0 is a blank that JSON does not know [here]"]
    );
    assert!(read("{\r\n}\r\n").1.is_ok());
}

#[test]
fn equal_keys_are_all_told_with_both_places() {
    let (sources, parsed) = read("{\"a\": {\"x\": 1, \"x\": 2},\n \"b\": 1, \"a\": 3,\n \"a\": 4}");
    let problems = parsed.unwrap_err();
    let places: Vec<_> = problems
        .iter()
        .map(|problem| {
            (
                problem.message.as_str(),
                sources.line_column(problem.at.as_ref().unwrap().0),
                sources.line_column(problem.also[0].0),
            )
        })
        .collect();
    assert_eq!(
        places,
        [
            ("the key `x` is given twice", (1, 16), (1, 8)),
            ("the key `a` is given twice", (2, 10), (1, 2)),
            ("the key `a` is given twice", (3, 2), (1, 2)),
        ]
    );
}

#[test]
fn numbers_stay_as_written_and_must_be_finite() {
    let (_, parsed) = read("{\"a\": 1.50}");
    assert_eq!(
        parsed.unwrap().get("a").unwrap().value,
        Value::Number("1.50".to_owned())
    );
    assert_eq!(
        problems_in("{\"a\": 1e400, \"b\": -1e999}"),
        [
            "1:7 a number too large to compute with [here]",
            "1:19 a number too large to compute with [here]",
        ]
    );
}

#[test]
fn the_outermost_value_is_an_object() {
    assert_eq!(
        problems_in(" [1]"),
        ["1:2 a plan is an object, found a list [expected `{` … `}` round everything]"]
    );
    assert_eq!(
        problems_in("// only words\n"),
        ["1:13 the file holds only blanks and comments [expected `{` and the plan]"]
    );
    assert_eq!(
        problems_in(""),
        ["1:1 the file holds only blanks and comments [expected `{` and the plan]"]
    );
}

fn nested(depth: usize) -> String {
    format!("{{\"a\": {}{}}}", "[".repeat(depth), "]".repeat(depth))
}

#[test]
fn nesting_is_bounded_without_a_deep_stack() {
    assert!(read(&nested(MAX_DEPTH - 1)).1.is_ok());
    for depth in [MAX_DEPTH, 100_000] {
        assert_eq!(
            problems_in(&nested(depth)),
            ["1:106 more than 100 objects and lists inside each other [nothing is read from here on]"]
        );
    }
}

#[test]
fn the_number_of_values_is_bounded() {
    let text = format!("{{\"a\": [{}]}}", "0,".repeat(MAX_VALUES));
    assert!(problems_in(&text)[0].contains("more than 1000000 values in one file"));
}

#[test]
fn fifty_megabytes_are_read_in_seconds() {
    let line = format!("\"{}\",\n", "stone ".repeat(1_000));
    let text = format!(
        "{{\"x-notes\": [\n{}\"end\"]}}",
        line.repeat(50_000_000 / line.len())
    );
    assert!(text.len() > 49_000_000);
    let start = Instant::now();
    let (_, parsed) = read(&text);
    let Value::List(notes) = &parsed.unwrap().get("x-notes").unwrap().value.clone() else {
        unreachable!("notes are a list")
    };
    assert_eq!(notes.len(), 50_000_000 / line.len() + 1);
    // Far above what it takes on a busy machine, far below what anything quadratic would.
    assert!(start.elapsed() < Duration::from_mins(1), "{:?}", start.elapsed());
}

/// Every span of a tree.
fn spans(node: &Node, out: &mut Vec<Span>) {
    out.push(node.span);
    match &node.value {
        Value::List(items) => items.iter().for_each(|item| spans(item, out)),
        Value::Object(members) => members.values().for_each(|member| {
            out.push(member.key);
            spans(&member.node, out);
        }),
        _ => {}
    }
}

fn assert_spans_hold(text: &str) {
    let (sources, parsed) = read(text);
    let mut all = Vec::new();
    match &parsed {
        Ok(root) => spans(root, &mut all),
        Err(problems) => {
            assert!(!problems.is_empty());
            for problem in problems {
                all.extend(problem.at.iter().map(|(span, _)| *span));
                all.extend(problem.also.iter().map(|(span, _)| *span));
            }
        }
    }
    for span in all {
        let text = sources.text(span.source);
        assert!(span.start <= span.end);
        assert!(text.get(span.start..span.end).is_some(), "{span:?} in {text:?}");
        sources.line_column(span);
    }
}

proptest! {
    #[test]
    fn any_text_gives_a_tree_or_problems_with_spans_inside_it(text in any::<String>()) {
        assert_spans_hold(&text);
    }

    #[test]
    fn any_text_of_json_pieces_does_too(
        pieces in prop::collection::vec(
            prop::sample::select(vec![
                "{", "}", "[", "]", ",", ":", "\"", "\"a\"", "\"é\"", "\\", "\\u", "\\ud83d", "00b0", "'", "//", "/*", "*/",
                "\n", "\r", "\t", " ", "1", "-", ".", "e", "1e400", "true", "null", "Infinity", "\u{feff}", "\u{2028}",
                "\u{a0}", "\u{0}", "\u{202e}", "😀", "½", "x-",
            ]),
            0..24,
        ),
    ) {
        assert_spans_hold(&pieces.concat());
        assert_spans_hold(&format!("{{\"a\": {}", pieces.concat()));
    }

    #[test]
    fn plain_json_reads_as_it_does_elsewhere(text in json_text(), number in any::<f64>().prop_filter("finite", |n| n.is_finite())) {
        let plan = format!("{{\"t\": {}, \"n\": {number:e}}}", serde_json::to_string(&text).unwrap());
        let (_, parsed) = read(&plan);
        prop_assert_eq!(parsed.unwrap().to_json(), serde_json::from_str::<serde_json::Value>(&plan).unwrap());
    }
}

/// Texts without the characters a plan refuses.
fn json_text() -> impl Strategy<Value = String> {
    "[^\\p{Cc}\u{202A}-\u{202E}\u{2066}-\u{2069}]{0,20}"
}
