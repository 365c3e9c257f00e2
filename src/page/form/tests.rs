use std::collections::BTreeSet;

use serde_json::{Map, Value as Json};

use super::*;
use crate::{
    check::{SchemaBook, Shape},
    page::{Desk, Document, Edit, act::Pen, document::View},
    quantity::UnitSystem,
    read::{Place, Sources, parse},
};

/// A plan with one member in every collection and every object of the schema; every place of it, and what unfolds it.
fn everything(book: &SchemaBook, at: &Place, places: &mut Vec<Place>, open: &mut BTreeSet<String>) -> Json {
    everything_with(book, at, places, open, None)
}

/// The same, its one text in every value that is one, and in every id.
fn everything_with(
    book: &SchemaBook,
    at: &Place,
    places: &mut Vec<Place>,
    open: &mut BTreeSet<String>,
    text: Option<&str>,
) -> Json {
    open.extend([at.as_str().to_owned(), more_key(at)]);
    let pattern = book.pattern_of(at);
    let parts: Vec<&str> = pattern.split('/').skip(1).collect();
    let shape = book.field_at(at).map(|field| field.shape);
    let mut object = Map::new();
    let keys: Vec<String> = match shape {
        Some(Shape::Collection) => vec![text.unwrap_or("one").to_owned()],
        _ => book.fields_of(&parts).into_iter().map(str::to_owned).collect(),
    };
    for key in keys {
        let inner = at.child(&key);
        let Some(field) = book.field_at(&inner) else {
            continue;
        };
        places.push(inner.clone());
        match field.shape {
            Shape::Object | Shape::Collection => {
                object.insert(key, everything_with(book, &inner, places, open, text));
            }
            Shape::Whole if shape == Some(Shape::Collection) => {
                object.insert(key, Json::from(1));
            }
            Shape::Fixed => {}
            _ => {
                object.extend(text.map(|text| (key, Json::from(text))));
            }
        }
    }
    Json::Object(object)
}

#[test]
fn every_field_of_the_schema_is_on_the_form() {
    let book = crate::plan::schema().book();
    let (mut places, mut view) = (Vec::new(), View::default());
    let plan = everything(book, &Place::root(), &mut places, &mut view.open).to_string();
    let mut sources = Sources::default();
    let source = sources.add("plan", plan.clone());
    let tree = parse(&sources, source).unwrap();
    let sheet = Sheet {
        pen: Pen {
            book,
            text: &plan,
            tree: &tree,
            units: UnitSystem::Us,
        },
        view: &view,
        problems: &[],
        review: None,
    };
    let html = form(&sheet).into_string();
    assert!(places.len() > 300, "{}", places.len());
    for place in places {
        let apart = matches!(place.as_str(), "/format" | "/$schema");
        let shown = html.contains(&format!("data-at=\"{place}\""));
        assert!(shown != apart, "{place} on the form: {shown}");
    }
}

/// What would act if it were markup, in every field of the schema and as every id: it is shown as text, everywhere.
#[test]
fn hostile_text_in_every_field_stays_text() {
    let mut desk = Desk::new().unwrap();
    let hostile = "\"'><script>alert(1)</script><img src=x onerror=alert(1)>\u{202e}`&lt;";
    let book = crate::plan::schema().book();
    let (mut places, mut view) = (Vec::new(), View::default());
    let mut plan = everything_with(book, &Place::root(), &mut places, &mut view.open, Some(hostile));
    plan["format"] = Json::from("bywash plan 1");
    let mut document = Document::opened(hostile, &plan.to_string());
    document.view = view;
    let turn = desk.turn(document, Edit::Show);
    assert!(places.len() > 300 && !turn.document.assessed.unwrap().is_current());
    let html: String = turn.html.into_iter().map(|(_, html)| html).collect();
    assert!(html.matches("&lt;script&gt;").count() > 300);
    for markup in ["<script", "<img", "<iframe", "</script"] {
        assert!(!html.contains(markup), "{markup}");
    }
}

/// A text of a million letters, typed into fields of every shape or sent with any other edit: told, and never lost.
#[test]
fn a_million_letters_are_told_in_words() {
    let mut desk = Desk::new().unwrap();
    let long = "<b>".repeat(333_334);
    let example = crate::page::EXAMPLES[1].1;
    let book = crate::plan::schema().book();
    let (mut places, mut open) = (Vec::new(), BTreeSet::new());
    everything(book, &Place::root(), &mut places, &mut open);
    let mut shapes = BTreeSet::new();
    let set = places.into_iter().filter(|at| {
        let field = book.field_at(at).unwrap();
        !matches!(field.shape, Shape::Object | Shape::Collection | Shape::Fixed)
            && shapes.insert(format!("{:?} {:?}", field.shape, field.kind))
    });
    let mut edits: Vec<Json> = set
        .map(|at| serde_json::json!({ "do": "set", "at": at.as_str(), "text": long }))
        .collect();
    assert!(edits.len() > 15, "{}", edits.len());
    let pond = "/basins/pond";
    edits.extend([
        serde_json::json!({ "do": "add", "at": "/basins", "id": long, "kind": "pond" }),
        serde_json::json!({ "do": "rename", "at": pond, "id": long }),
        serde_json::json!({ "do": "below", "at": "/basins/pond/floor", "from": "/basins/pond/rim", "text": long }),
        serde_json::json!({ "do": "accept", "rule": long, "at": pond, "reason": long, "initials": long, "until": long }),
        serde_json::json!({ "do": "paper", "name": "grades", "backsight": long, "turns": long }),
        serde_json::json!({ "do": "prices", "name": long, "text": long }),
        serde_json::json!({ "do": "text", "text": long }),
        serde_json::json!({ "do": "case", "name": long }),
        serde_json::json!({ "do": "find", "at": format!("/{long}") }),
    ]);
    for edit in edits {
        let words = format!(
            "{} {}",
            edit["do"],
            edit["at"]
                .as_str()
                .unwrap_or_default()
                .get(..20)
                .unwrap_or_default()
        );
        let open = Edit::Open {
            name: "plan".to_owned(),
            text: example.to_owned(),
        };
        let opened = desk.turn(Document::default(), open).document;
        let turn = desk.turn(opened, Edit::read(&edit.to_string()).unwrap());
        let html: String = turn.html.iter().map(|(_, html)| html.as_str()).collect();
        assert!(!html.contains("<b><b>"), "{words}");
        let back = desk.turn(turn.document, Edit::Undo).document;
        assert_eq!(back.text.as_deref(), Some(example), "{words}");
    }
}

#[test]
fn ids_of_elements_hold_no_blank_and_differ() {
    let ids = [
        "/basins/a b",
        "/basins/a%20b",
        "/basins/池",
        "/basins/a~1b",
        "/basins/a/b",
    ];
    let made: BTreeSet<String> = ids.iter().map(|id| anchor(&Place::from_pointer(id))).collect();
    assert_eq!(made.len(), ids.len());
    assert!(made.iter().all(|id| !id.contains(char::is_whitespace)));
}
