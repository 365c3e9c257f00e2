//! Papers for the site, read back from their PDFs.

use bywash::{
    engine::{Engine, ReviewOptions},
    papers::{Block, Cell, FieldPaper, TakeoffOptions, day_sheet, runbook, takeoff},
    report::{
        drawing::{NamedScenes, day_drawings, takeoff_drawings},
        pdf::{self, Paper},
    },
    review::{Review, ReviewContext},
    rules::Library,
};
use lopdf::Document;

use super::{closed_up, tagged, text_of};

/// The richest sound plan, reviewed.
pub fn reviewed<T>(made: impl FnOnce(&ReviewContext<'_>, &Review, &Library) -> T) -> T {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let text = include_str!("../../../examples/two-ponds.jsonc");
    let source = engine.sources.add("plan.jsonc", text);
    let opened = engine.open(source, Vec::new()).unwrap();
    let options = ReviewOptions::default();
    let review = engine.review(&opened, options);
    made(&engine.context(&opened, options), &review, &engine.library)
}

/// Its papers, with their drawings.
fn papers() -> Vec<(FieldPaper, NamedScenes)> {
    reviewed(|context, review, library| {
        let usual = TakeoffOptions::usual(context.units);
        let list = takeoff(context, review, &library.cards, &usual);
        let day = day_sheet(context, review);
        let drawn = (
            takeoff_drawings(&list, context.units),
            day_drawings(&day, context.units),
        );
        vec![
            (runbook(context, review), NamedScenes::new()),
            (list.paper, drawn.0),
            (day.paper, drawn.1),
        ]
    })
}

/// Every word of a paper is on its pages, on either sheet of paper; drawings have words for who can't see them; the same paper gives
/// the same bytes.
#[test]
fn every_word_of_a_paper_is_set_on_both_sizes() {
    for (paper, drawn) in papers() {
        for size in [Paper::Letter, Paper::A4] {
            let bytes = pdf::field_paper(&paper, &drawn, size).unwrap();
            assert_eq!(bytes, pdf::field_paper(&paper, &drawn, size).unwrap());
            let document = Document::load_mem(&bytes).unwrap();
            let text = closed_up(&text_of(&document));
            let mut seen = 0;
            for sheet in &paper.sheets {
                for block in &sheet.blocks {
                    for words in words(block) {
                        assert!(text.contains(&closed_up(&words)), "{}: {words}", paper.paper);
                        seen += 1;
                    }
                }
            }
            assert!(seen > 10, "{}", paper.paper);
            let drawings = drawn.values().map(Vec::len).sum::<usize>();
            assert!(tagged(&document, b"Figure").count() >= drawings);
            assert!(tagged(&document, b"Figure").all(|tag| tag.has(b"Alt")));
        }
    }
}

/// The words that a block prints, but for cells, whose long words may be broken.
fn words(block: &Block) -> Vec<String> {
    match block {
        Block::Heading { text } | Block::Note { text } | Block::Caution { text } => vec![text.clone()],
        Block::Checks { items } => items.clone(),
        Block::Table(table) => {
            let rows = table.parts.iter().flat_map(|part| &part.rows);
            let cells = rows.flat_map(|row| &row.cells).map(Cell::shown);
            cells.filter(|text| text.len() < 20).map(str::to_owned).collect()
        }
        Block::Facts { .. } | Block::Drawing { .. } | Block::Signature { .. } => Vec::new(),
    }
}
