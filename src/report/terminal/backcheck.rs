//! A back-check: what became of each finding and question, and what was changed on the plan.

use super::{
    brief::{SHORT_CAUTION, action},
    paint::{CARRIED, Paint, Tone},
};
use crate::review::{Backcheck, LogEntry, Review, Status};

/// Columns before the text of an entry: mark and number.
const HEAD: usize = 8;

/// The back-check of a review that was held against an earlier one; empty for one that was not.
pub fn backcheck(review: &Review, paint: Paint) -> String {
    let Some(backcheck) = &review.backcheck else {
        return String::new();
    };
    let subject = &review.subject;
    let now = subject
        .revision
        .as_ref()
        .map_or_else(|| "the plan".to_owned(), |mark| format!("revision {mark}"));
    let mut out = paint.ruled(&format!("Back-check of {now} against {}", backcheck.against()));
    out.push_str(&paint.labelled("project", &subject.name));
    out.push_str(&paint.labelled(
        "review",
        &format!("{}, after {}", subject.review, backcheck.earlier.review),
    ));
    for status in Status::ALL {
        out.push_str(&entries(backcheck, status, subject.revision.as_deref(), paint));
    }
    out.push_str(&changes(backcheck, paint));
    for note in &backcheck.notes {
        out.push_str(&paint.item(note));
    }
    out.push('\n');
    out.push_str(&paint.fill(&backcheck.tally(), "", "  "));
    out.push('\n');
    out.push_str(&paint.fill(SHORT_CAUTION, "", "  "));
    out.push('\n');
    out + &action(review, paint)
}

/// The entries of a status under its name; those closed in an earlier revision are only counted.
fn entries(backcheck: &Backcheck, status: Status, revision: Option<&str>, paint: Paint) -> String {
    let of_status: Vec<&LogEntry> = backcheck
        .entries
        .iter()
        .filter(|entry| entry.status == status)
        .collect();
    if of_status.is_empty() {
        return String::new();
    }
    let (now, before): (Vec<&LogEntry>, Vec<&LogEntry>) = of_status
        .into_iter()
        .partition(|entry| status != Status::Closed || entry.closed.as_deref() == revision);
    let mut out = paint.ruled(&format!(
        "{} ({})",
        capital(status.words()),
        now.len() + before.len()
    ));
    for entry in now {
        out.push_str(&line(entry, status, paint));
    }
    if !before.is_empty() {
        out.push_str(&paint.fill(
            &format!("{} closed in earlier revisions", before.len()),
            "  ",
            CARRIED,
        ));
        out.push('\n');
    }
    out
}

fn line(entry: &LogEntry, status: Status, paint: Paint) -> String {
    let mark = if status == Status::Closed {
        "✓"
    } else {
        entry.severity.mark()
    };
    let head = format!("{mark} {:<5} ", entry.number);
    let mut text = format!("{}: {}", entry.place_name, entry.text);
    if let Some(note) = &entry.note {
        text.push_str(&format!(". {}", capital(note)));
    }
    if let Some(answer) = &entry.answer {
        text.push_str(&format!(". Answer: {answer}"));
    }
    let filled = paint.fill(&text, &head, &" ".repeat(HEAD));
    let tone = if status.is_open() {
        entry.severity.into()
    } else {
        Tone::Faint
    };
    filled.replacen(head.trim_end(), &paint.tone(tone, head.trim_end()), 1) + "\n"
}

fn changes(backcheck: &Backcheck, paint: Paint) -> String {
    let mut out = paint.ruled("Changes on the plan");
    for change in &backcheck.changes {
        out.push_str(&paint.item(&change.words()));
    }
    if backcheck.changes.is_empty() {
        out.push_str("The two plans show the same values.\n");
    }
    out
}

/// A text with its first letter upper, unless that is no letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
