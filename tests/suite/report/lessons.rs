//! The rule book and the drills, read back from their PDFs.

use bywash::{
    engine::{Engine, SOUND},
    lessons::{handbook, plant},
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
