use std::collections::BTreeSet;

use serde_json::{Map, Value as Json};

use super::*;
use crate::{
    check::{SchemaBook, Shape},
    page::{act::Pen, document::View},
    quantity::UnitSystem,
    read::{Place, Sources, parse},
};

/// A plan with one member in every collection and every object of the schema; every place of it, and what unfolds it.
fn everything(book: &SchemaBook, at: &Place, places: &mut Vec<Place>, open: &mut BTreeSet<String>) -> Json {
    open.extend([at.as_str().to_owned(), more_key(at)]);
    let pattern = book.pattern_of(at);
    let parts: Vec<&str> = pattern.split('/').skip(1).collect();
    let shape = book.field_at(at).map(|field| field.shape);
    let mut object = Map::new();
    let keys: Vec<String> = match shape {
        Some(Shape::Collection) => vec!["one".to_owned()],
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
                object.insert(key, everything(book, &inner, places, open));
            }
            Shape::Whole if shape == Some(Shape::Collection) => {
                object.insert(key, Json::from(1));
            }
            _ => {}
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
