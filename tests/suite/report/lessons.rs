//! The rule book and the drills, read back from their PDFs.

use bywash::{
    engine::{Engine, SOUND},
    lessons::{DrillLevel, handbook, plant},
    report::pdf::{self, Paper},
};
use lopdf::Document;

use super::{closed_up, outline, text_of};

fn engine() -> Engine {
    let (engine, loaded) = Engine::new();
    loaded.unwrap();
    engine
}

#[test]
fn the_rule_book_sets_every_rule_under_its_chapter_and_is_the_same_twice() {
    let mut engine = engine();
    let book = handbook(&mut engine).unwrap();
    let bytes = pdf::handbook(&book, Paper::Letter).unwrap();
    assert_eq!(bytes, pdf::handbook(&book, Paper::Letter).unwrap());
    let document = Document::load_mem(&bytes).unwrap();
    let text = closed_up(&text_of(&document));
    let chapters = outline(&document);
    for chapter in &book.pages.chapters {
        assert!(
            chapters.contains(&chapter.title),
            "{} is not in {chapters:?}",
            chapter.title
        );
        for lesson in &chapter.lessons {
            for said in [&lesson.title, &lesson.id, &lesson.why] {
                assert!(text.contains(&closed_up(said)), "{}: {said}", lesson.id);
            }
        }
    }
    for caution in &book.pages.cautions {
        assert!(text.contains(&closed_up(caution)), "{caution}");
    }
}

#[test]
fn a_sheet_keeps_its_secrets_and_the_key_tells_them() {
    let mut engine = engine();
    let plan = engine.sources.add("plan", SOUND);
    let drill = plant(&engine, plan, 4, 11).unwrap();
    let read = |bytes: Vec<u8>| closed_up(&text_of(&Document::load_mem(&bytes).unwrap()));
    let sheet = read(pdf::drill_sheet(&drill, Paper::A4).unwrap());
    let key = read(pdf::drill_key(&drill, Paper::A4).unwrap());
    for planted in &drill.key {
        let finding = &planted.finding;
        assert!(key.contains(&closed_up(&finding.why)), "{}", finding.why);
        assert!(key.contains(&closed_up(&finding.rule)), "{}", finding.rule);
        assert!(!sheet.contains(&closed_up(&finding.why)), "{}", finding.why);
        assert!(!sheet.contains(&closed_up(&finding.rule)), "{}", finding.rule);
        for change in &planted.changes {
            assert!(sheet.contains(&closed_up(&change.value)), "{change:?}");
        }
    }
}

/// Only the first level prints figures, and a sheet as sent neither figures nor rules nor how many faults it has.
#[test]
fn each_level_prints_what_it_gives_and_no_more() {
    let mut engine = engine();
    let plan = engine.sources.add("plan", SOUND);
    let mut drill = plant(&engine, plan, 4, 11).unwrap();
    let rows: Vec<(String, String)> = drill
        .sheet
        .plan
        .iter()
        .flat_map(|part| part.rows.clone())
        .collect();
    let figures: Vec<String> = drill
        .sheet
        .water
        .iter()
        .flat_map(|part| &part.rows)
        .filter(|row| !rows.contains(row))
        .map(|(title, value)| closed_up(&format!("{title}{value}")))
        .collect();
    let mut printed = |level| {
        drill.set_level(&engine, level).unwrap();
        let sheet = pdf::drill_sheet(&drill, Paper::A4).unwrap();
        let key = pdf::drill_key(&drill, Paper::A4).unwrap();
        let read = |bytes: Vec<u8>| closed_up(&text_of(&Document::load_mem(&bytes).unwrap()));
        (read(sheet), read(key), drill.sheet.rules.clone())
    };
    let count = |text: &str| figures.iter().filter(|figure| text.contains(*figure)).count();
    let (full, full_key, listed) = printed(DrillLevel::Figures);
    let (plain, plain_key, _) = printed(DrillLevel::Plain);
    let (sent, sent_key, _) = printed(DrillLevel::Sent);
    assert!(
        count(&full) * 2 > figures.len(),
        "{} of {}",
        count(&full),
        figures.len()
    );
    assert_eq!((count(&plain), count(&sent)), (0, 0));
    for rule in &listed {
        let asks = closed_up(&format!("{}{}", rule.title, rule.asks));
        assert!(!sent.contains(&asks), "{asks}");
    }
    let heading = closed_up("Rules to hold it against");
    assert!(plain.contains(&heading) && !sent.contains(&heading));
    for card in &engine.library.cards {
        assert!(!sent.contains(&closed_up(&card.id)), "{}", card.id);
    }
    let told = closed_up("4 faults");
    assert!(plain.contains(&told) && !sent.contains(&told));
    assert_eq!(full_key, plain_key);
    for planted in &drill.key {
        assert!(sent_key.contains(&closed_up(&planted.finding.rule)));
    }
    for gone in &drill.left_out {
        assert!(sent_key.contains(&closed_up(&gone.value)), "{gone:?}");
    }
}
