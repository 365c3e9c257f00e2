//! The form as plain text, to be answered in a mail.

use std::collections::BTreeMap;

use super::{FieldName, Form, FormItem, FormRow, Takes, form::replies};
use crate::text::visible;

/// How the text form begins.
const START: &str = "bywash answers 1";

/// The form as text; answers are written behind the colons.
pub fn write_text(form: &Form) -> String {
    let mut out = format!("{START}\n\n");
    let revision = form
        .revision
        .as_ref()
        .map(|mark| format!(", revision {mark}"))
        .unwrap_or_default();
    out.push_str(&format!(
        "Answers to review {} of {}{}\n",
        form.review,
        line(&form.project),
        line(&revision)
    ));
    if let Some(due) = &form.due {
        out.push_str(&format!("Due {}\n", line(due)));
    }
    out.push_str("Write behind the colons at the ends of lines and leave the rest as it is.\n\n");
    out.push_str(&format!("{}: {}\n", FieldName::Sheets, form.sheets));
    for (name, words) in [
        (
            FieldName::Revision,
            "mark of the revision that carries these answers",
        ),
        (FieldName::Date, "its date, such as 2026-05-10"),
        (FieldName::By, "who answers"),
    ] {
        out.push_str(&format!("{name} ({words}): \n"));
    }
    for item in &form.items {
        out.push_str(&item_text(item));
    }
    out
}

fn item_text(item: &FormItem) -> String {
    let mut out = format!(
        "\n[{}] {}, {}\n",
        item.number,
        item.severity.word(),
        line(&item.place_name)
    );
    out.push_str(&format!("    {}\n", line(&item.text)));
    if let Some(action) = &item.action {
        out.push_str(&format!("    To do: {}\n", line(action)));
    }
    if let Some(reply) = &item.reply {
        out.push_str(&format!("{reply} ({}): \n", replies().join(", ")));
    }
    out.push_str(&format!("{} (why, or what was done): \n", item.reason));
    for row in &item.rows {
        out.push_str(&row_text(row));
    }
    if item.rows.is_empty() {
        out.push_str("    Draw the correction on the plan: no field holds it.\n");
    }
    out
}

fn row_text(row: &FormRow) -> String {
    let now = row
        .now
        .as_ref()
        .map(|now| format!("; now {}", line(now)))
        .unwrap_or_default();
    let hint = match &row.takes {
        Takes::OneOf(values) => values
            .iter()
            .filter(|value| !value.is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
        Takes::Text => row.hint.clone(),
    };
    let told = format!("{}, {}{now}", line(&row.label), line(&hint));
    format!(
        "{} ({}): {}\n",
        row.name,
        told.replace("): ", ") "),
        line(&row.proposed)
    )
}

/// A text on one line.
fn line(text: &str) -> String {
    visible(text).into_owned()
}

/// Fields by their names, and the lines that could not be read, by number.
pub type Fields = (BTreeMap<String, String>, Vec<(usize, String)>);

/// What stands in the fields of a text form, by their names, and the lines that could not be read, by number. None for a
/// text that is no form.
pub fn read_text(text: &str) -> Option<Fields> {
    let mut fields = BTreeMap::new();
    let mut odd = Vec::new();
    let mut started = false;
    for (index, raw) in text.lines().enumerate() {
        // A mail program marks what is quoted.
        let line = raw.trim_start_matches(['>', ' ', '\u{feff}']).trim_end();
        if line == START {
            started = true;
            continue;
        }
        let first = line.split([' ', ':']).next().unwrap_or_default();
        let is_field = matches!(
            first,
            "sheets" | "revision" | "date" | "by" | "reply" | "reason" | "value"
        );
        if !started || !is_field {
            continue;
        }
        match field_of(line) {
            Some((name, value)) => {
                fields.insert(name, value);
            }
            None => odd.push((index + 1, line.to_owned())),
        }
    }
    started.then_some((fields, odd))
}

/// The name and value of a line such as `reply 5 (agree, corrected, disagree): agree`.
fn field_of(line: &str) -> Option<(String, String)> {
    let (head, value) = match line.split_once(" (") {
        Some((name, rest)) => {
            let end = rest.find("):")?;
            (name, &rest[end + 2..])
        }
        None => line.split_once(':')?,
    };
    FieldName::parse(head.trim())?;
    Some((head.trim().to_owned(), value.trim().to_owned()))
}
