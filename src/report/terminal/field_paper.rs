//! A field paper as text for a terminal.

use unicode_width::UnicodeWidthStr;

use super::Paint;
use crate::{
    papers::{Block, Cell, FieldPaper, SheetTable},
    text::visible,
};

/// Room between two columns.
const GAP: usize = 2;
/// A column of words is not made narrower than this.
const NARROWEST: usize = 12;
/// What stands for a place to write in.
const BLANK: &str = "______";

/// A field paper, sheet by sheet.
pub fn field_paper(paper: &FieldPaper, paint: Paint) -> String {
    let mut out = wrapped(&format!("{}: {}", paper.title, paper.plan.line()), "", paint);
    out.push_str(&wrapped(&format!("plan {}", paper.plan.fingerprint), "", paint));
    for sheet in &paper.sheets {
        let title = format!("── {} {} ", sheet.number, visible(&sheet.title));
        let rule = paint.width.saturating_sub(title.width());
        out.push_str(&format!("\n{title}{}\n", "─".repeat(rule)));
        for block in &sheet.blocks {
            out.push_str(&laid(block, paint));
        }
    }
    out
}

fn laid(block: &Block, paint: Paint) -> String {
    match block {
        Block::Heading { text } => format!("\n{}", wrapped(text, "", paint)),
        Block::Note { text } => wrapped(text, "", paint) + "\n",
        Block::Caution { text } => wrapped(&format!("CAUTION  {text}"), "", paint) + "\n",
        Block::Facts { rows } => rows
            .iter()
            .map(|(label, value)| wrapped(&format!("{label}: {value}"), "  ", paint))
            .collect(),
        Block::Table(found) => table(found, paint),
        Block::Drawing { .. } => String::new(),
        Block::Checks { items } => items
            .iter()
            .map(|item| wrapped(&format!("[ ] {item}"), "    ", paint))
            .collect(),
        Block::Signature { labels } => {
            let lines: Vec<String> = labels.iter().map(|label| format!("{label} {BLANK}")).collect();
            format!("\n{}", wrapped(&lines.join("   "), "", paint))
        }
    }
}

fn wrapped(text: &str, further: &str, paint: Paint) -> String {
    let text = visible(text);
    let options = textwrap::Options::new(paint.width).subsequent_indent(further);
    textwrap::fill(&text, options) + "\n"
}

fn table(table: &SheetTable, paint: Paint) -> String {
    let kept: Vec<usize> = (0..table.columns.len())
        .filter(|&at| !table.columns[at].only_in_files)
        .collect();
    let shown = |cell: &Cell| match cell {
        Cell::Blank => BLANK.to_owned(),
        other => visible(other.shown()).into_owned(),
    };
    let rows: Vec<Vec<String>> = table
        .parts
        .iter()
        .flat_map(|part| &part.rows)
        .map(|row| kept.iter().map(|&at| shown(&row.cells[at])).collect())
        .collect();
    let heads: Vec<String> = kept
        .iter()
        .map(|&at| table.columns[at].title.to_owned())
        .collect();
    let widths = widths(&heads, &rows, paint.width);
    let right: Vec<bool> = kept.iter().map(|&at| table.columns[at].right).collect();
    let mut out = line(&heads, &widths, &right);
    let mut rows = rows.iter();
    for part in &table.parts {
        if !part.title.is_empty() {
            out.push_str(&format!("\n{}", wrapped(&part.title, "", paint)));
        }
        for row in rows.by_ref().take(part.rows.len()) {
            out.push_str(&line(row, &widths, &right));
        }
    }
    if !table.note.is_empty() {
        out.push_str(&wrapped(&table.note, "", paint));
    }
    out + "\n"
}

/// Columns as wide as their widest cell; the widest give way until the table fits.
fn widths(heads: &[String], rows: &[Vec<String>], room: usize) -> Vec<usize> {
    let mut widths: Vec<usize> = heads.iter().map(|head| head.width()).collect();
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.width());
        }
    }
    loop {
        let all = widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1);
        let Some(widest) = widths.iter_mut().max() else {
            break;
        };
        if all <= room || *widest <= NARROWEST.min(room) {
            break;
        }
        *widest = (*widest - (all - room).min(*widest - NARROWEST.min(*widest - 1))).max(1);
    }
    widths
}

/// A row over as many lines as its longest cell takes.
fn line(cells: &[String], widths: &[usize], right: &[bool]) -> String {
    let wrapped: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| {
            let lines = textwrap::wrap(cell, (*width).max(1)).into_iter();
            lines.map(std::borrow::Cow::into_owned).collect()
        })
        .collect();
    let high = wrapped.iter().map(Vec::len).max().unwrap_or(0);
    let mut out = String::new();
    for at in 0..high {
        let mut text = String::new();
        for (column, (lines, width)) in wrapped.iter().zip(widths).enumerate() {
            let cell = lines.get(at).map_or("", String::as_str);
            let pad = " ".repeat(width.saturating_sub(cell.width()));
            if column > 0 {
                text.push_str(&" ".repeat(GAP));
            }
            if right[column] {
                text.push_str(&pad);
                text.push_str(cell);
            } else {
                text.push_str(cell);
                text.push_str(&pad);
            }
        }
        out.push_str(text.trim_end());
        out.push('\n');
    }
    out
}
