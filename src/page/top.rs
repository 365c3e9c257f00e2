//! The head of the page: the job, the recommended action, counts, changes, and what can be done with the plan.

use std::collections::BTreeSet;

use maud::{Markup, html};
use serde_json::json;

use super::{assess::Assessed, document::Document, findings::letter, form::edit_of, mark::Mark};
use crate::{
    check::SchemaBook,
    read::{Node, Place, Value},
    review::{Action, Review},
};

/// Changed values listed at most.
const MOST_CHANGES: usize = 60;

/// The head.
pub fn top(document: &Document, book: &SchemaBook, baseline: Option<&Node>) -> Markup {
    let assessed = document.assessed.as_ref();
    let review = assessed
        .and_then(|assessed| assessed.reviewed.as_ref())
        .map(|reviewed| &reviewed.review);
    html! {
        div.job {
            h1 { (review.map_or(document.name.as_str(), |review| review.subject.name.as_str())) }
            @if let Some(revision) = review.and_then(|review| review.subject.revision.as_ref()) { p { "Revision " (revision) } }
            p.file { (document.name) }
        }
        @if let (Some(review), Some(assessed)) = (review, assessed) { (verdict(review, assessed)) }
        @if let (Some(assessed), Some(tree)) = (assessed, baseline) { (changes(document, assessed, tree, book)) }
        (tools(document))
        @if let Some(notice) = &document.notice { p.notice role="status" { (notice) } }
        @if document.view.letter {
            @if let Some(review) = review { (letter_box(review)) }
        }
    }
}

fn verdict(review: &Review, assessed: &Assessed) -> Markup {
    let counts = &review.counts;
    let class = match review.action.action {
        Action::NoExceptionsTaken => "clear",
        Action::FurnishAsCorrected => "minor",
        Action::ReviseAndResubmit => "revise",
    };
    html! {
        div.verdict data-action=(class) role="status" {
            p.action { "Recommended action: " b { (review.action.words) } @if !assessed.is_current() { " (before the last change)" } }
            p { (review.action.because) }
            p.counts {
                span data-severity="stop" { "■ " (counts.stop) " stop" }
                span data-severity="revise" { "▲ " (counts.revise) " revise" }
                span data-severity="advise" { "○ " (counts.advise) " advise" }
                span { "? " (counted(counts.questions, "question")) @if counts.stop_questions > 0 { ", " (counts.stop_questions) " on stop rules" } }
                @if counts.accepted > 0 { span { (counts.accepted) " accepted" } }
            }
        }
    }
}

fn counted(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

/// What changed since the plan was opened, or against another revision.
fn changes(document: &Document, assessed: &Assessed, baseline: &Node, book: &SchemaBook) -> Markup {
    let mut changed = Vec::new();
    if let Some(tree) = &assessed.tree {
        compare(baseline, tree, &Place::root(), &mut changed);
    }
    let name = document
        .baseline
        .as_ref()
        .map_or("", |baseline| baseline.name.as_str());
    let now = assessed
        .reviewed
        .as_ref()
        .map(|reviewed| reviewed.marks())
        .unwrap_or_default();
    let before = document
        .baseline
        .as_ref()
        .and_then(|baseline| baseline.marks.as_ref());
    let (closed, opened) = before.map(|before| apart(before, &now)).unwrap_or_default();
    let values = changed.len();
    html! {
        details.changes id="changes" {
            summary { "Since " (name) ": " (counted(values, "value")) " changed, " (closed.len()) " closed, " (opened.len()) " new" }
            div.compared {
                @if !closed.is_empty() { h2 { "Closed" } ul { @for words in &closed { li { (words) } } } }
                @if !opened.is_empty() { h2 { "New" } ul { @for words in &opened { li { (words) } } } }
                @if !changed.is_empty() {
                    h2 { "Values" }
                    ul {
                        @for change in changed.iter().take(MOST_CHANGES) {
                            li data-at=(change.at) { (book.title_of(&change.at)) ": " (change.was) " → " (change.is) }
                        }
                        @if values > MOST_CHANGES { li { "and " (values - MOST_CHANGES) " more" } }
                    }
                }
                p { label { "Compare with another revision: " input type="file" id="compare-file" accept=".json,.jsonc" data-file="compare"; } }
            }
        }
    }
}

/// What is gone and what is new between two reviews, in words.
pub fn apart(before: &BTreeSet<Mark>, now: &BTreeSet<Mark>) -> (Vec<String>, Vec<String>) {
    // The same finding with other numbers is still the same one.
    let has = |marks: &BTreeSet<Mark>, mark: &Mark| {
        marks
            .iter()
            .any(|other| other.rule == mark.rule && other.places == mark.places)
    };
    let words = |from: &BTreeSet<Mark>, other: &BTreeSet<Mark>| -> Vec<String> {
        let gone = from.iter().filter(|mark| !has(other, mark));
        gone.map(|mark| mark.words.clone()).collect()
    };
    (words(before, now), words(now, before))
}

/// A value that changed.
struct Changed {
    at: Place,
    was: String,
    is: String,
}

fn compare(before: &Node, now: &Node, here: &Place, changed: &mut Vec<Changed>) {
    match (&before.value, &now.value) {
        (Value::Object(old), Value::Object(new)) => {
            for (key, member) in old {
                let at = here.child(key);
                match new.get(key) {
                    Some(other) => compare(&member.node, &other.node, &at, changed),
                    None => changed.push(Changed {
                        at,
                        was: told(&member.node),
                        is: "not shown".to_owned(),
                    }),
                }
            }
            for (key, member) in new.iter().filter(|(key, _)| !old.contains_key(*key)) {
                changed.push(Changed {
                    at: here.child(key),
                    was: "not shown".to_owned(),
                    is: told(&member.node),
                });
            }
        }
        _ if before.to_json() == now.to_json() => {}
        _ => changed.push(Changed {
            at: here.clone(),
            was: told(before),
            is: told(now),
        }),
    }
}

fn told(node: &Node) -> String {
    match &node.value {
        Value::Object(members) => format!("{} values", members.len()),
        Value::List(items) => format!("{} rows", items.len()),
        Value::Text(text) => crate::text::shown(text),
        Value::Number(text) => text.clone(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Null => "nothing".to_owned(),
    }
}

fn tools(document: &Document) -> Markup {
    let (back, again) = document.steps();
    let papers = match document.view.paper {
        Some(_) => json!({ "do": "paper" }),
        None => json!({ "do": "paper", "name": "review" }),
    };
    let act = |act: &str| edit_of(&json!({ "do": act }));
    html! {
        div.tools role="toolbar" aria-label="the plan" {
            button type="button" data-host="save" { "Save" }
            button type="button" data-edit=(act("undo")) disabled[!back] { "Undo" }
            button type="button" data-edit=(act("redo")) disabled[!again] { "Redo" }
            button type="button" data-host="pdf" { "PDF" }
            button type="button" id="papers" data-edit=(edit_of(&papers)) aria-expanded=(document.view.paper.is_some()) { "Papers" }
            button type="button" data-edit=(edit_of(&json!({ "do": "letter", "on": !document.view.letter }))) aria-expanded=(document.view.letter) { "Send-back list" }
            button type="button" data-host="close" { "Another plan" }
            span.saved id="saved" role="status" {}
        }
    }
}

fn letter_box(review: &Review) -> Markup {
    html! {
        div.letter {
            label for="letter" { "What the designer must answer, to paste into a mail" }
            textarea id="letter" readonly rows="14" { (letter(review)) }
            button type="button" data-copy="letter" { "Copy" }
        }
    }
}
