//! The typeset review, read back by another library.

use bywash::{
    desk::{Desk, Wishes},
    report::{
        drawing::{Drawings, Item, drawings},
        json,
        pdf::{Paper, render},
    },
    review::Review,
};
use lopdf::{Dictionary, Document, Object};

/// The review of the courtyard as it was sent in, and its drawings.
fn courtyard() -> (Review, Drawings) {
    let (mut desk, library) = Desk::new();
    library.unwrap();
    let text = include_str!("../../examples/courtyard-as-sent.jsonc");
    let source = desk.sources.add("courtyard-as-sent.jsonc", text);
    let opened = desk.open(source, Vec::new()).unwrap();
    let review = desk.review(&opened, Wishes::default());
    let drawings = drawings(&opened.plan, &opened.ledger, &review);
    (review, drawings)
}

fn text_of(pdf: &Document) -> String {
    let pages: Vec<u32> = pdf.get_pages().into_keys().collect();
    pdf.extract_text(&pages).unwrap()
}

/// Without what lines and columns put between letters.
fn closed_up(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

fn attached(pdf: &Document) -> Vec<Vec<u8>> {
    pdf.objects
        .values()
        .filter_map(|object| object.as_stream().ok())
        .filter(|stream| stream.dict.get(b"Type").and_then(Object::as_name).ok() == Some(b"EmbeddedFile"))
        .map(|stream| {
            stream
                .decompressed_content()
                .unwrap_or_else(|_| stream.content.clone())
        })
        .collect()
}

/// The structure elements of a kind.
fn tagged<'a>(pdf: &'a Document, kind: &'a [u8]) -> impl Iterator<Item = &'a Dictionary> {
    let dictionaries = pdf.objects.values().filter_map(|object| object.as_dict().ok());
    dictionaries.filter(move |tag| tag.get(b"S").and_then(Object::as_name).ok() == Some(kind))
}

#[test]
fn the_review_is_tagged_outlined_and_carries_its_machine_form_and_is_the_same_twice() {
    let (review, drawings) = courtyard();
    let first = render(&review, &drawings, Paper::Letter).unwrap();
    assert!(
        first == render(&review, &drawings, Paper::Letter).unwrap(),
        "not the same bytes twice"
    );

    let pdf = Document::load_mem(&first).unwrap();
    assert!(pdf.get_pages().len() > 3);
    let catalog = pdf.catalog().unwrap();
    for key in ["Lang", "StructTreeRoot", "Outlines", "AF"] {
        assert!(catalog.has(key.as_bytes()), "{key}");
    }
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    let drawn = drawings.sections.len() + drawings.curves.len();
    assert!(tagged(&pdf, b"Figure").count() >= drawn);
    assert!(
        tagged(&pdf, b"Figure").all(|tag| tag.has(b"Alt")),
        "a drawing without words for it"
    );
    let tables = tagged(&pdf, b"Table").count();
    assert!(tables > 3 && tagged(&pdf, b"TH").count() >= 3 * tables);
    assert_eq!(attached(&pdf), [json::render(&review).unwrap().into_bytes()]);
    let text = closed_up(&text_of(&pdf));
    for finding in &review.findings {
        assert!(text.contains(&closed_up(&finding.title)), "{}", finding.title);
    }
    for question in &review.questions {
        assert!(
            text.contains(&closed_up(&question.place_name)),
            "{}",
            question.place_name
        );
    }
    assert!(
        !text.to_lowercase().contains("approved"),
        "the tool approves nothing"
    );
}

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
    let pdf = Document::load_mem(&render(&review, &drawings, Paper::A4).unwrap()).unwrap();
    let text = closed_up(&text_of(&pdf));
    assert!(
        text.matches(&closed_up(MARKUP)).count() >= 3,
        "title, name and drawing"
    );
    for typed in [id.as_str(), "[U+1F41F]", "[U+202E]backward", "[U+6C60]"] {
        assert!(text.contains(typed), "{typed}");
    }
    assert!(
        text.matches("words").count() >= 626,
        "nothing of a long text is cut"
    );
}

#[test]
fn a_review_of_nothing_is_set_on_undated_pages() {
    let (mut review, _) = courtyard();
    review.date = None;
    review.subject.title_block.clear();
    review.subject.revision = None;
    review.coverage.clear();
    review.findings.clear();
    review.questions.clear();
    review.met.clear();
    review.figures.clear();
    review.assumptions.clear();
    review.sources.clear();
    review.cautions.clear();
    let pdf = render(&review, &Drawings::default(), Paper::A4).unwrap();
    assert!(!Document::load_mem(&pdf).unwrap().get_pages().is_empty());
}
