//! A field paper as HTML.

use maud::{Markup, html};

use crate::{
    page::drawing::{Layer, svg},
    papers::{Block, Cell, FieldPaper, FieldSheet, SheetTable},
    report::drawing::NamedScenes,
};

/// A field paper, sheet by sheet.
pub fn field_paper(paper: &FieldPaper, scenes: &NamedScenes) -> Markup {
    html! {
        h1 { (paper.title) ": " (paper.plan.name) }
        p.note {
            @if let Some(revision) = &paper.plan.revision { "Revision " (revision) ", " }
            @if let Some(date) = &paper.plan.date { (date) ", " }
            "plan " (paper.plan.fingerprint) ", bywash " (paper.version)
        }
        p.note { "This tool recommends; a responsible person decides." }
        @for sheet in &paper.sheets { (field_sheet(sheet, scenes)) }
    }
}

fn field_sheet(sheet: &FieldSheet, scenes: &NamedScenes) -> Markup {
    html! {
        section.sheet aria-label=(sheet.title) {
            h2 { span.number { (sheet.number) } " " (sheet.title) }
            @for block in &sheet.blocks { (laid(block, scenes)) }
            p.code { (sheet.code) }
        }
    }
}

fn laid(block: &Block, scenes: &NamedScenes) -> Markup {
    match block {
        Block::Heading { text } => html! { h3 { (text) } },
        Block::Note { text } => html! { p { (text) } },
        Block::Caution { text } => html! { p.caution { (text) } },
        Block::Facts { rows } => html! {
            dl.facts { @for (label, value) in rows { dt { (label) } dd { (value) } } }
        },
        Block::Table(found) => table(found),
        Block::Drawing { name } => html! {
            @for scene in scenes.get(name).into_iter().flatten() {
                figure {
                    figcaption { (scene.title) }
                    (svg(scene, &[], &Layer::default()))
                    @for note in &scene.notes { p.note { (note) } }
                }
            }
        },
        Block::Checks { items } => html! {
            ul.checks { @for item in items { li { span.tick aria-hidden="true" {} span { (item) } } } }
        },
        Block::Signature { labels } => html! {
            p.signature { @for label in labels { span { (label) } } }
        },
    }
}

fn table(table: &SheetTable) -> Markup {
    let shown: Vec<usize> = (0..table.columns.len())
        .filter(|&at| !table.columns[at].only_in_files)
        .collect();
    let right = |at: usize| table.columns[at].right.then_some("right");
    html! {
        div.scrolled tabindex="0" role="group" aria-label=(table.name) {
            table.laid {
                thead { tr { @for &at in &shown { th scope="col" class=[right(at)] { (table.columns[at].title) } } } }
                @for part in &table.parts {
                    tbody {
                        @if !part.title.is_empty() { tr { th.part colspan=(shown.len()) scope="rowgroup" { (part.title) } } }
                        @for row in &part.rows {
                            tr.strong[row.strong] { @for &at in &shown { td class=[right(at)] { (cell(&row.cells[at])) } } }
                        }
                    }
                }
            }
        }
        @if !table.note.is_empty() { p.note { (table.note) } }
    }
}

fn cell(cell: &Cell) -> Markup {
    match cell {
        Cell::Blank => html! { span.blank { span.unseen { "to fill in" } } },
        other => html! { (other.shown()) },
    }
}
