//! The form for the designer’s answers: its pages, and the fields on them.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::to_value;

use super::{
    Paper, PdfError,
    fields::{Field, FieldKind, SCHEME, put},
    lesson, typeset,
};
use crate::{
    answers::{FieldName, Form},
    papers::sheet_code,
    plan::Reply,
    report::code::Code,
};

/// What the template reads beside the form: how a link names a field.
#[derive(Debug, Serialize)]
struct Printed<'a> {
    scheme: &'static str,
    replies: [&'static str; 3],
    #[serde(flatten)]
    form: &'a Form,
}

/// The form as a PDF with fields that any viewer fills in; the same review gives the same bytes.
///
/// # Errors
/// A form that can’t be typeset; none is known.
pub fn form(form: &Form, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let printed = Printed {
        scheme: SCHEME,
        replies: Reply::ALL.map(Reply::word),
        form,
    };
    let pages = typeset(|script| {
        let data = [
            ("shown.json", to_value(&printed)?),
            ("codes.json", to_value(codes(form))?),
        ];
        let ident = format!("bywash answers {}", form.sheets);
        lesson("form.typ", ident, &data, paper, script)
    })?;
    put(&pages, &fields(form))
}

/// The code of each page, by the number of the sheet: as many as the form can have pages.
fn codes(form: &Form) -> BTreeMap<String, Option<Code>> {
    // The head of the form and one item take less than two pages.
    let pages = 1..=form.items.len() * 2 + 2;
    let numbers = pages.map(|page| format!("F{page}"));
    numbers
        .map(|number| {
            let code = Code::of(&sheet_code(&number, &form.fingerprint));
            (number, code)
        })
        .collect()
}

/// Every field, in the order of the pages.
fn fields(form: &Form) -> Vec<Field> {
    let revision = form
        .revision
        .as_ref()
        .map(|mark| format!(", revision {mark}"))
        .unwrap_or_default();
    let head = |name: FieldName, told: &str, value: String, kind| Field {
        name: name.to_string(),
        told: told.to_owned(),
        value,
        kind,
    };
    let line = || FieldKind::Text { lines: false };
    let mut fields = vec![
        head(
            FieldName::Project,
            "Project and revision",
            format!("{}{revision}", form.project),
            FieldKind::Fixed,
        ),
        head(
            FieldName::Sheets,
            "Fingerprints of the files reviewed",
            form.sheets.clone(),
            FieldKind::Fixed,
        ),
        head(
            FieldName::Revision,
            "Mark of the revision that carries the answers",
            String::new(),
            line(),
        ),
        head(
            FieldName::Date,
            "Date of that revision, such as 2026-05-10",
            String::new(),
            line(),
        ),
        head(FieldName::By, "Who answers", String::new(), line()),
    ];
    for item in &form.items {
        let of = format!("{}, {}", item.number, item.place_name);
        if let Some(reply) = &item.reply {
            fields.push(Field {
                name: reply.clone(),
                told: format!("Reply to {of}"),
                value: String::new(),
                kind: FieldKind::Ring(Reply::ALL.map(|reply| reply.word().to_owned()).to_vec()),
            });
        }
        fields.push(Field {
            name: item.reason.clone(),
            told: format!("Reason for the reply to {of}, or what was done"),
            value: String::new(),
            kind: FieldKind::Text { lines: true },
        });
        fields.extend(item.rows.iter().map(|row| Field {
            name: row.name.clone(),
            told: format!("{}: {}, {}", item.number, row.label, row.hint),
            value: row.proposed.clone(),
            kind: FieldKind::of(&row.takes),
        }));
    }
    fields
}
