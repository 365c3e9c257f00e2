//! The page as a report: a document and an edit give a document and HTML, and nothing else.

use bywash::page::{Desk, Document, Edit, Turn};
use serde_json::json;

fn example(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.jsonc"));
    std::fs::read_to_string(path).unwrap()
}

fn edit(value: &serde_json::Value) -> Edit {
    Edit::read(&value.to_string()).unwrap()
}

fn region<'a>(turn: &'a Turn, id: &str) -> &'a str {
    turn.html
        .iter()
        .find(|(known, _)| *known == id)
        .map_or("", |(_, html)| html)
}

fn open(desk: &mut Desk, text: &str) -> Turn {
    let open = Edit::Open {
        name: "plan.jsonc".to_owned(),
        text: text.to_owned(),
    };
    desk.turn(Document::default(), open)
}

#[test]
fn the_same_edits_give_the_same_page() {
    let run = || {
        let mut desk = Desk::new().unwrap();
        let turn = open(&mut desk, &example("courtyard-as-sent"));
        let set = edit(&json!({ "do": "set", "at": "/basins/pond/rim", "text": "+4 in" }));
        let turn = desk.turn(turn.document, set);
        let case = edit(&json!({ "do": "case", "name": "power-off", "step": 20 }));
        desk.turn(turn.document, case)
    };
    let (one, other) = (run(), run());
    assert_eq!(one.html, other.html);
    let moved = |(_, html): &(String, String)| html.contains("moved-level");
    assert!(one.html.iter().any(moved), "the case in time moves the water");
}

#[test]
fn edits_change_their_value_alone_and_are_taken_back_to_the_same_bytes() {
    let text = example("courtyard-as-sent");
    let mut desk = Desk::new().unwrap();
    let mut document = open(&mut desk, &text).document;
    let edits = [
        json!({ "do": "set", "at": "/basins/pond/still", "text": "-7 in" }),
        json!({ "do": "none", "at": "/basins/pond/ballast" }),
        json!({ "do": "drag", "at": "/basins/bed/rim", "to": 0.3, "done": true }),
        json!({ "do": "add", "at": "/basins", "id": "third", "kind": "pool" }),
        json!({ "do": "rename", "at": "/basins/pond", "id": "lower pond" }),
        json!({ "do": "copy", "at": "/basins/bed" }),
        json!({ "do": "forget", "at": "/basins/third" }),
        json!({ "do": "accept", "rule": "line-velocity", "at": "/lines", "reason": "r", "initials": "i", "until": "2027-01-01" }),
    ];
    for one in &edits {
        let before = document.text.clone();
        let turn = desk.turn(document, edit(one));
        assert_eq!(turn.document.notice, None, "{one}");
        assert_ne!(turn.document.text, before, "{one}");
        document = turn.document;
    }
    // The comments of the author are all still there.
    let changed = document.text.clone().unwrap();
    for comment in text
        .lines()
        .filter_map(|line| line.split_once("//"))
        .map(|(_, comment)| comment)
    {
        assert!(changed.contains(comment), "{comment}");
    }
    for _ in &edits {
        document = desk.turn(document, Edit::Undo).document;
    }
    assert_eq!(document.text.as_deref(), Some(text.as_str()));
    for _ in &edits {
        document = desk.turn(document, Edit::Redo).document;
    }
    assert_eq!(document.text.as_deref(), Some(&*changed));
}

#[test]
fn a_value_that_can_not_be_read_leaves_the_last_review() {
    let mut desk = Desk::new().unwrap();
    let first = open(&mut desk, &example("courtyard-as-sent"));
    let findings = region(&first, "findings").to_owned();
    let wrong = edit(&json!({ "do": "set", "at": "/basins/pond/still", "text": "7" }));
    let turn = desk.turn(first.document, wrong);
    let lines = |html: &str| html.matches("class=\"line\"").count();
    assert_eq!(lines(region(&turn, "findings")), lines(&findings));
    assert!(region(&turn, "findings").contains("last review"));
    let right = edit(&json!({ "do": "set", "at": "/basins/pond/still", "text": "-7 in" }));
    let turn = desk.turn(turn.document, right);
    assert!(!region(&turn, "findings").contains("last review"));
}

#[test]
fn no_text_of_a_plan_is_markup() {
    let mut desk = Desk::new().unwrap();
    let hostile = "<b onclick=x>\"'&</textarea></script>";
    let text = json!({
        "format": "bywash plan 1",
        "project": { "name": hostile, "place": hostile, "revision": hostile },
        "basins": { hostile: { "kind": "pond", "name": hostile, "still": "-6 in", "rim": "0 in" } },
        "pumps": { hostile: { "basin": hostile } },
        "x-own": hostile,
    });
    let mut turn = open(&mut desk, &text.to_string());
    for act in [
        json!({ "do": "find", "at": format!("/basins/{}/rim", hostile.replace('/', "~1")) }),
        json!({ "do": "letter", "on": true }),
        json!({ "do": "set", "at": "/basins/<i>/rim", "text": hostile }),
        json!({ "do": "case", "name": hostile }),
        json!({ "do": "filter", "discipline": hostile }),
        json!({ "do": "as-text", "on": true }),
    ] {
        turn = desk.turn(turn.document, edit(&act));
        for (id, html) in &turn.html {
            assert!(
                !html.contains("<b onclick") && !html.contains("</script"),
                "{act}: {id}"
            );
            assert!(
                !html.contains(" style=") && !html.contains("javascript:"),
                "{act}: {id}"
            );
        }
    }
}

#[test]
fn a_comparison_names_what_changed_and_what_it_closed() {
    let mut desk = Desk::new().unwrap();
    let turn = open(&mut desk, &example("courtyard-retrofit"));
    let compare = Edit::Compare {
        name: "as-sent".to_owned(),
        text: example("courtyard-as-sent"),
    };
    let turn = desk.turn(turn.document, compare);
    let top = region(&turn, "top");
    assert!(
        top.contains("Since as-sent:") && !top.contains(" 0 closed"),
        "{top}"
    );
}
