//! Workbooks: every table of a paper on a worksheet of its own, and what the paper is of on the last.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatBorder, Workbook, Worksheet, XlsxError};

use super::{Value, merged};
use crate::{papers::FieldPaper, text::visible};

/// Why a workbook can't be written.
#[derive(Debug, thiserror::Error)]
#[error("the workbook can’t be written: {0}")]
pub struct WorkbookError(#[from] XlsxError);

/// Letters that a worksheet's cell takes.
const LONGEST: usize = 32_000;
/// Widest column, in letters.
const WIDEST: usize = 48;

/// A paper as a workbook; the same paper gives the same bytes.
///
/// # Errors
/// More rows or letters than a workbook holds.
pub fn workbook(paper: &FieldPaper) -> Result<Vec<u8>, WorkbookError> {
    let mut book = titled(&format!("{}: {}", paper.title, paper.plan.name))?;
    for (name, tables) in paper.tables() {
        let table = merged(&tables);
        worksheet(&mut book, name, &table.headings, &table.rows)?;
    }
    about(book.add_worksheet(), paper)?;
    Ok(book.save_to_buffer()?)
}

/// The name, headings and rows of a worksheet.
type Sheet<'t> = (&'static str, &'t Vec<String>, Vec<Vec<Value<'t>>>);

/// Tables as a workbook, a worksheet each.
///
/// # Errors
/// More rows or letters than a workbook holds.
pub(super) fn tables(title: &str, sheets: &[Sheet<'_>]) -> Result<Vec<u8>, WorkbookError> {
    let mut book = titled(title)?;
    for (name, headings, rows) in sheets {
        worksheet(&mut book, name, headings, rows)?;
    }
    Ok(book.save_to_buffer()?)
}

fn titled(title: &str) -> Result<Workbook, XlsxError> {
    let mut book = Workbook::new();
    // Without a date of its own a workbook carries the time it was made.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let properties = DocProperties::new()
        .set_title(visible(title))
        .set_creation_datetime(&made);
    book.set_properties(&properties);
    Ok(book)
}

fn worksheet(
    book: &mut Workbook,
    name: &str,
    headings: &[String],
    rows: &[Vec<Value<'_>>],
) -> Result<(), XlsxError> {
    let head = Format::new().set_bold().set_border_bottom(FormatBorder::Thin);
    let wrapped = Format::new().set_text_wrap();
    let sheet = book.add_worksheet();
    sheet.set_name(name)?;
    let mut widths: Vec<usize> = headings.iter().map(|text| text.chars().count()).collect();
    for (column, text) in (0u16..).zip(headings) {
        sheet.write_string_with_format(0, column, text, &head)?;
    }
    for (row, cells) in (1u32..).zip(rows) {
        for ((column, cell), width) in (0u16..).zip(cells).zip(&mut widths) {
            match cell {
                Value::Text(text) => {
                    let text: String = visible(text).chars().take(LONGEST).collect();
                    *width = (*width).max(text.chars().count());
                    sheet.write_string_with_format(row, column, text, &wrapped)?;
                }
                Value::Number(number) => {
                    sheet.write_number(row, column, *number)?;
                }
                Value::Empty => {}
            }
        }
    }
    for (column, width) in (0u16..).zip(widths) {
        sheet.set_column_width(column, width.clamp(6, WIDEST) as f64 + 1.0)?;
    }
    sheet.set_freeze_panes(1, 0)?;
    Ok(())
}

fn about(sheet: &mut Worksheet, paper: &FieldPaper) -> Result<(), XlsxError> {
    sheet.set_name("about")?;
    let plan = &paper.plan;
    let rows = [
        ("paper", Some(&paper.title)),
        ("job", Some(&plan.name)),
        ("revision", plan.revision.as_ref()),
        ("date", plan.date.as_ref()),
        ("file", Some(&plan.file)),
        ("plan", Some(&plan.fingerprint)),
        ("benchmark", plan.benchmark.as_ref()),
    ];
    let shown = rows.into_iter().filter_map(|(label, text)| Some((label, text?)));
    for (row, (label, text)) in (0u32..).zip(shown) {
        sheet.write_string(row, 0, label)?;
        let text: String = visible(text).chars().take(LONGEST).collect();
        sheet.write_string(row, 1, text)?;
    }
    sheet.set_column_width(0, 12)?;
    sheet.set_column_width(1, 60)?;
    Ok(())
}
