//! The typeset review, read back by another library.

mod answers;
mod charts;
mod codes;
mod field_papers;
mod generated;
mod lessons;
mod odd_text;
mod photographs;
mod structure;

use std::sync::LazyLock;

use bywash::{
    engine::{Engine, ReviewOptions},
    quantity::UnitSystem,
    report::{
        drawing::{Drawings, drawings},
        json,
        pdf::{Job, Paper, render},
    },
    review::Review,
};
use lopdf::{Dictionary, Document, Object};

const COURTYARD: &str = include_str!("../../examples/courtyard-as-sent.jsonc");

/// A plan's review and its drawings.
fn reviewed(text: &str) -> (Review, Drawings) {
    reviewed_in(text, None)
}

/// The same in units of choice.
fn reviewed_in(text: &str, units: Option<UnitSystem>) -> (Review, Drawings) {
    let (mut engine, library) = Engine::new();
    library.unwrap();
    let source = engine.sources.add("plan.jsonc", text);
    let opened = engine.open(source, Vec::new()).unwrap();
    let options = ReviewOptions {
        cures: true,
        cases: true,
        units,
        ..ReviewOptions::default()
    };
    let review = engine.review(&opened, options);
    let drawings = drawings(&opened.plan, &opened.ledger, &review);
    (review, drawings)
}

/// The review of the courtyard as it was sent in, and its drawings.
fn courtyard() -> (Review, Drawings) {
    reviewed(COURTYARD)
}

/// The PDF of a review, of which the courtyard is said to be the plan.
fn typeset(review: &Review, drawings: &Drawings, paper: Paper) -> Vec<u8> {
    let job = Job {
        review,
        drawings,
        plan: COURTYARD,
        paper,
        photographs: &[],
        full: true,
    };
    render(&job).unwrap()
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
    let first = courtyard_on(Paper::Letter);
    assert!(
        first == typeset(&review, &drawings, Paper::Letter),
        "not the same bytes twice"
    );

    let pdf = Document::load_mem(first).unwrap();
    assert!(pdf.get_pages().len() > 3);
    let catalog = pdf.catalog().unwrap();
    for key in ["Lang", "StructTreeRoot", "Outlines", "AF"] {
        assert!(catalog.has(key.as_bytes()), "{key}");
    }
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    let drawn = drawings.scenes().filter(|scene| !scene.items.is_empty()).count();
    assert!(tagged(&pdf, b"Figure").count() >= drawn);
    assert!(
        tagged(&pdf, b"Figure").all(|tag| tag.has(b"Alt")),
        "a drawing without words for it"
    );
    let tables = tagged(&pdf, b"Table").count();
    assert!(tables > 3 && tagged(&pdf, b"TH").count() >= 3 * tables);
    let machine = json::render(&review).unwrap();
    let files = attached(&pdf);
    assert_eq!(files.len(), 2);
    for text in [COURTYARD, machine.as_str()] {
        assert!(
            files.iter().any(|file| file == text.as_bytes()),
            "the plan and the review as they are"
        );
    }
    let text = closed_up(&text_of(&pdf));
    for finding in &review.findings {
        assert!(text.contains(&closed_up(&finding.title)), "{}", finding.title);
    }
    let cures: Vec<_> = review
        .findings
        .iter()
        .flat_map(|finding| &finding.cures)
        .collect();
    assert!(!cures.is_empty());
    for cure in cures {
        let words = closed_up(&cure.text);
        let rest = words.get(1..).unwrap();
        assert!(text.contains(rest), "{}", cure.text);
    }
    for question in &review.questions {
        assert!(
            text.contains(&closed_up(&question.place_name)),
            "{}",
            question.place_name
        );
    }
    for said in ["PDF/A-3a and PDF/UA-1 modes", "Levels in every case", "still"] {
        assert!(text.contains(&closed_up(said)), "{said}");
    }
    assert!(
        !text.to_lowercase().contains("approved"),
        "the tool approves nothing"
    );
}

/// The courtyard's review on either sheet, typeset once: in a debug build that takes seconds.
fn courtyard_on(paper: Paper) -> &'static [u8] {
    static LETTER: LazyLock<Vec<u8>> = LazyLock::new(|| set_on(Paper::Letter));
    static A4: LazyLock<Vec<u8>> = LazyLock::new(|| set_on(Paper::A4));
    fn set_on(paper: Paper) -> Vec<u8> {
        let (review, drawings) = courtyard();
        typeset(&review, &drawings, paper)
    }
    match paper {
        Paper::Letter => &LETTER,
        Paper::A4 => &A4,
    }
}

/// The titles of the outline, in order.
fn outline(pdf: &Document) -> Vec<String> {
    let entries = pdf.get_toc().unwrap().toc;
    entries.into_iter().map(|entry| entry.title).collect()
}

#[test]
fn parts_stand_in_order_and_in_the_outline_and_every_page_is_numbered() {
    let pdf = Document::load_mem(courtyard_on(Paper::A4)).unwrap();
    let titles = outline(&pdf);
    let parts = [
        "Design review",
        "Cautions",
        "Action of the reviewer",
        "Log of findings and questions",
        "Section of the water system",
        "Details of the findings",
        "Beds and basins",
        "Pumps and lines",
        "Questions to the designer",
        "Levels in every case",
        "Coverage by discipline",
        "Rules met",
        "Figures",
        "Sources of the rules",
        "About this file",
    ];
    let found: Vec<&str> = titles
        .iter()
        .map(String::as_str)
        .filter(|title| parts.contains(title))
        .collect();
    assert_eq!(found, parts);
    // A title that stands again overleaf is found once.
    let unlike: std::collections::BTreeSet<&String> = titles.iter().collect();
    assert_eq!(unlike.len(), titles.len(), "{titles:?}");
    let (review, _) = courtyard();
    let of_findings: Vec<&str> = titles
        .iter()
        .map(String::as_str)
        .filter(|title| title.contains(" · "))
        .collect();
    let numbered: Vec<String> = review
        .findings
        .iter()
        .map(|finding| format!("{} · {}", finding.number, finding.title))
        .collect();
    assert_eq!(of_findings, numbered);
    let pages = pdf.get_pages();
    let last = pages.len();
    for page in pages.into_keys() {
        let text = closed_up(&pdf.extract_text(&[page]).unwrap());
        assert!(text.contains(&format!("page{page}of{last}")), "page {page}");
        assert!(
            text.contains("LanternCourtreadinggarden") && text.contains("revisionA"),
            "page {page}"
        );
    }
}

#[test]
fn page_one_says_what_to_do_what_happens_else_and_who_signs() {
    let (review, _) = courtyard();
    for paper in [Paper::Letter, Paper::A4] {
        let pdf = Document::load_mem(courtyard_on(paper)).unwrap();
        let text = closed_up(&pdf.extract_text(&[1]).unwrap()).replace('\u{200B}', "");
        let said = [
            "Revise and resubmit",
            "pond water is drawn into the pipes people drink from",
            "over the rim of pond",
            "National Electrical Code",
            "signature",
            "Small children drown silently",
        ];
        for said in said.into_iter().chain([review.subject.sheets[0].sha256.as_str()]) {
            assert!(text.contains(&closed_up(said)), "{said}: {text}");
        }
    }
}

#[test]
fn the_short_form_has_a_front_of_five_pages_and_a_sound_plan_at_most_four() {
    let (review, drawings) = courtyard();
    let short = |review: &Review, drawings: &Drawings, paper| {
        let job = Job {
            review,
            drawings,
            plan: COURTYARD,
            paper,
            photographs: &[],
            full: false,
        };
        Document::load_mem(&render(&job).unwrap()).unwrap()
    };
    let pdf = short(&review, &drawings, Paper::Letter);
    let page_of = |title: &str| {
        let entries = pdf.get_toc().unwrap().toc;
        entries
            .into_iter()
            .find(|entry| entry.title == title)
            .unwrap()
            .page
    };
    assert!(page_of("Details of the findings") <= 5);
    assert!(pdf.get_pages().len() <= 12);
    let text = closed_up(&text_of(&pdf)).replace('\u{200B}', "");
    // Nothing in the log is cut off.
    for entry in review.log() {
        assert!(text.contains(&closed_up(&entry.text)), "{}", entry.text);
    }
    assert!(!text.contains('…'));
    for sound in [
        include_str!("../../examples/courtyard-retrofit.jsonc"),
        include_str!("../../examples/ledge-run.jsonc"),
        include_str!("../../examples/mill-yard-metric.jsonc"),
        include_str!("../../examples/two-ponds.jsonc"),
    ] {
        let (review, drawings) = reviewed(sound);
        for paper in [Paper::Letter, Paper::A4] {
            let pages = short(&review, &drawings, paper).get_pages().len();
            assert!((2..=4).contains(&pages), "{}: {pages}", review.subject.name);
        }
    }
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
    review.settled.clear();
    let pdf = Document::load_mem(&typeset(&review, &Drawings::default(), Paper::A4)).unwrap();
    assert!(!pdf.get_pages().is_empty());
    // Why it is not archival is said in it.
    assert!(closed_up(&text_of(&pdf)).contains(&closed_up("the archival mode asks for a date")));
}

#[test]
fn every_figure_fact_and_rule_met_is_told_with_its_outcome() {
    let (review, _) = courtyard();
    let text = closed_up(&text_of(&Document::load_mem(courtyard_on(Paper::A4)).unwrap()));
    // Longer words may break, which shows as a sign between letters.
    let text = text.replace('\u{200B}', "");
    for figure in &review.figures {
        let told = match (&figure.value, &figure.worked) {
            (Some(_), Some(worked)) => worked,
            (Some(value), None) => &value.text,
            (None, _) => figure.gap.as_ref().unwrap(),
        };
        // A gap is told once for all figures that lack the same.
        let told = told.trim_start_matches("not computed");
        assert!(
            text.contains(&closed_up(told)),
            "{} {}: {told}",
            figure.object_name,
            figure.title
        );
        assert!(text.contains(&closed_up(&figure.title)), "{}", figure.title);
        let sourced = figure.value.is_none() || text.contains(&closed_up(&figure.source));
        assert!(sourced, "{}: {}", figure.title, figure.source);
    }
    for met in &review.met {
        for told in [&met.rule, &met.standing, &met.object_name] {
            assert!(text.contains(&closed_up(told)), "{}: {told}", met.rule);
        }
    }
}
