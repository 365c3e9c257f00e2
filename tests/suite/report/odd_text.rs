//! Text of a plan that tempts a typesetter.

use bywash::report::{drawing::Item, pdf::Paper};
use lopdf::Document;

use super::{closed_up, courtyard, reviewed, text_of, typeset};

#[test]
fn odd_text_is_shown_as_typed_and_never_run() {
    const MARKUP: &str = r#"#panic("run") $x$ *a* _b_ `c` @d <e> [f] \g"#;
    let (mut review, mut drawings) = courtyard();
    let Some(Item::Text(label)) = drawings.sections[0]
        .items
        .iter_mut()
        .find(|item| matches!(item, Item::Text(_)))
    else {
        panic!("the section has texts");
    };
    label.text = MARKUP.to_owned();
    review.findings.truncate(1);
    let id = "x".repeat(300);
    let finding = &mut review.findings[0];
    finding.title = MARKUP.to_owned();
    finding.headline = "carp 🐟 pond \u{202E}backward".to_owned();
    finding.place_name = format!("basins / {id}");
    finding.why = "שלום עולם and مرحبا and 池塘".to_owned();
    finding.cure = "words and words ".repeat(313);
    finding.at.file = format!("{id}.jsonc");
    review.questions[0].ask = "a\u{301}\u{5D0}\u{301} ".repeat(1250);
    review.subject.name = format!("{MARKUP} {id}");
    review.subject.title_block[0].1 = "y".repeat(5000);
    let pdf = Document::load_mem(&typeset(&review, &drawings, Paper::A4)).unwrap();
    let text = closed_up(&text_of(&pdf));
    assert!(
        text.matches(&closed_up(MARKUP)).count() >= 3,
        "title, name and drawing"
    );
    for typed in [id.as_str(), "[U+1F41F]", "\\u{202e}backward", "[U+6C60]"] {
        assert!(text.contains(typed), "{typed}");
    }
    // What no face has is listed once more at the end.
    assert!(text.contains(&closed_up("Characters that no face here has")));
    assert!(
        text.matches("words").count() >= 626,
        "nothing of a long text is cut"
    );
}

/// Names in many scripts, with ids alike, and how each comes out.
const NAMES: [(&str, &str, &str); 7] = [
    (
        r#"#panic("a") [b] $c$ *d* _e_ `f` <g> @h \i // j"#,
        "a-#[]$*_`",
        r#"#panic("a")[b]$c$*d*_e_`f`<g>@h\i//j"#,
    ),
    ("بركة الماء", "بركة", "بركة"),
    ("שלום עולם", "בריכה", "שלום"),
    ("Пруд Ёлочка", "пруд", "ПрудЁлочка"),
    ("ἄνθος", "λίμνη", "ἄνθος"),
    ("🐟🐠 pond", "🐟", "[U+1F41F][U+1F420]"),
    ("池 👨‍👩‍👧", "e\u{301}", "[U+6C60]"),
];

/// Everything a plan lets its writer name, named badly.
fn badly_named(long: &str) -> String {
    let json = |text: &str| serde_json::Value::from(text).to_string();
    let names = NAMES.map(|(name, id, _)| (name, id));
    let all = names.into_iter().chain([(long, long)]);
    let basins = all.map(|(name, id)| {
        let (name, id) = (json(name), json(id));
        format!(
            r#"{id}: {{ "kind": "bed", "name": {name}, "still": "-1 ft", "rim": "-6 in", "floor": "-3 ft",
            "shape": {{ "form": "circle", "length": "6 ft", "side_slope": "0:1",
            "shelves": {{ {id}: {{ "level": "-2 ft", "width": "6 in" }} }} }},
            "layers": {{ {id}: {{ "fill": "stone", "thickness": "6 in" }} }},
            "inlet": {{ "distribution": {name} }} }}"#
        )
    });
    let basins: Vec<String> = basins.collect();
    let (name, id) = (json(NAMES[0].0), json(NAMES[0].1));
    format!(
        r#"{{
  "format": "bywash plan 1",
  "project": {{ "name": {name}, "client": {name}, "place": {name}, "revision": {name} }},
  "benchmark": {{ "mark": {name} }},
  "basins": {{ {} }},
  "pumps": {{ {id}: {{ "basin": {id}, "name": {name}, "curve": [["0 gph", "9 ft"], ["900 gph", "2 ft"]] }} }},
  "lines": {{ {id}: {{ "from": {id}, "name": {name} }} }}
}}"#,
        basins.join(",\n")
    )
}

#[test]
fn whatever_a_plan_is_called_it_is_set_and_never_run() {
    let long = "x".repeat(300);
    let (review, drawings) = reviewed(&badly_named(&long));
    let pdf = Document::load_mem(&typeset(&review, &drawings, Paper::Letter)).unwrap();
    let text = closed_up(&text_of(&pdf));
    assert!(text.contains(&long), "a long id is wrapped, not cut");
    for (_, _, typed) in NAMES {
        // Readers of right-to-left text may hand it back in the order it is drawn.
        let reversed: String = typed.chars().rev().collect();
        assert!(text.contains(typed) || text.contains(&reversed), "{typed}");
    }
}
