//! The typeset review, read back with an independent reader.

use bywash::{
    desk::{Desk, Opened, Wishes},
    read::Place,
    report::{
        drawing::drawings,
        json,
        pdf::{Paper, render},
    },
    review::{Review, Value},
};
use lopdf::{Document, Object};

const FAULTY: &str = include_str!("../../examples/courtyard-as-sent.jsonc");
const MINIMAL: &str = include_str!("../../examples/minimal.jsonc");

fn reviewed(text: &str) -> (Opened, Review) {
    let (mut desk, cards) = Desk::new();
    cards.unwrap();
    let source = desk.sources.add("plan.jsonc", text);
    let opened = desk.open(source, Vec::new()).unwrap();
    let review = desk.review(&opened, Wishes::default());
    (opened, review)
}

fn typeset(opened: &Opened, review: &Review, paper: Paper) -> Vec<u8> {
    let drawings = drawings(&opened.plan, &opened.ledger, review);
    render(review, &drawings, paper).unwrap()
}

/// Every value of a key in a document's dictionaries.
fn values<'a>(document: &'a Document, key: &'a [u8]) -> impl Iterator<Item = &'a Object> {
    let dictionaries = document.objects.values().filter_map(|object| match object {
        Object::Dictionary(dictionary) => Some(dictionary),
        Object::Stream(stream) => Some(&stream.dict),
        _ => None,
    });
    dictionaries.filter_map(move |dictionary| dictionary.get(key).ok())
}

/// Text of all pages without spaces and line breaks, which a typesetter is free to place.
fn plain(document: &Document) -> String {
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    let text = document.extract_text(&pages).unwrap();
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}').collect()
}

#[test]
fn the_document_is_whole_and_the_same_every_time() {
    let (opened, review) = reviewed(FAULTY);
    let bytes = typeset(&opened, &review, Paper::Letter);
    assert!(bytes == typeset(&opened, &review, Paper::Letter), "other bytes the second time");

    let document = Document::load_mem(&bytes).unwrap();
    assert!(document.get_pages().len() > 3);
    let text = plain(&document);
    for said in [review.action.words, "Recommendedaction", "Questionstothedesigner"] {
        let said: String = said.split(' ').collect();
        assert!(text.to_lowercase().contains(&said.to_lowercase()), "{said} in {text}");
    }
    for finding in &review.findings {
        assert!(text.contains(&finding.number), "{}", finding.number);
    }

    // The machine form lies inside, byte for byte.
    let machine = json::render(&review).unwrap();
    let attached = document.objects.values().any(|object| match object {
        Object::Stream(stream) => stream
            .decompressed_content()
            .is_ok_and(|content| content == machine.as_bytes()),
        _ => false,
    });
    assert!(attached, "the machine form is not attached");

    // Tagged, in English, with words for every drawing and headers for every table.
    let catalog = document.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    assert!(catalog.has(b"StructTreeRoot") && catalog.has(b"Outlines"));
    let tags = |name: &[u8]| values(&document, b"S").filter(|tag| tag.as_name().is_ok_and(|tag| tag == name)).count();
    let drawn = typeset_drawings(&opened, &review);
    assert!(tags(b"Figure") >= drawn, "{} figures for {drawn} drawings", tags(b"Figure"));
    assert!(values(&document, b"Alt").count() >= drawn);
    assert!(tags(b"Table") > 3 && tags(b"TH") >= 3 * tags(b"Table"));
}

fn typeset_drawings(opened: &Opened, review: &Review) -> usize {
    let drawings = drawings(&opened.plan, &opened.ledger, review);
    drawings.sections.len() + drawings.curves.len()
}

#[test]
fn odd_text_and_empty_lists_are_set_all_the_same() {
    let odd = "#let x = \"$*_`<a>@b\\ 🐟 שלום مرحبا \u{202e}e\u{301} [/] // /* = - + \u{7}"; 
    let long = "x".repeat(300);
    let (opened, mut review) = reviewed(MINIMAL);
    let (_, faulty) = reviewed(FAULTY);
    review.findings = faulty.findings.into_iter().take(2).collect();
    for finding in &mut review.findings {
        finding.headline = odd.to_owned();
        finding.why = odd.repeat(200);
        finding.place_name = long.clone();
        finding.rule = long.clone();
        finding.at.file = long.clone();
        finding.found = Value {
            text: long.clone(),
            si: None,
        };
        finding.object = Place::from_pointer("/basins/pond");
    }
    review.subject.name = format!("{odd}{long}");
    review.subject.revision = Some(long.clone());
    review.subject.title_block = vec![(long.clone(), odd.to_owned()), (String::new(), String::new())];
    review.questions.clear();
    review.coverage.clear();
    review.met.clear();
    review.figures.clear();
    review.cautions.clear();
    review.assumptions = vec![odd.to_owned(), String::new(), "= heading".to_owned()];
    let document = Document::load_mem(&typeset(&opened, &review, Paper::A4)).unwrap();
    let text = plain(&document);
    assert!(text.contains("#letx="), "markup was read as markup: {text}");
    assert!(text.contains("=heading"), "markup was read as markup: {text}");
}
