//! Objects on the form: their essential values first, the others folded; objects within them; collections by id.

use maud::{Markup, html};
use serde_json::json;

use super::{
    field::field,
    order::{first, member},
    rows::{counts, list},
    sheet::{Sheet, Tally, anchor, edit, edit_of, says_none},
};
use crate::{
    check::{Field, Shape},
    page::typed::plain,
    read::{Place, Value},
};

/// The key under which the further values of an object are unfolded.
pub fn more_key(at: &Place) -> String {
    format!("{at}#more")
}

/// Any value, by its shape.
pub fn value(sheet: &Sheet<'_>, at: &Place) -> Markup {
    let Some(known) = sheet.field(at) else {
        return html! {};
    };
    match known.shape {
        Shape::Object => object(sheet, at, known),
        Shape::Collection if is_counts(sheet, at) => counts(sheet, at, known),
        Shape::Collection => nested_collection(sheet, at, known),
        Shape::List => list(sheet, at, known),
        Shape::Fixed => html! {},
        _ => field(sheet, at, known),
    }
}

fn is_counts(sheet: &Sheet<'_>, at: &Place) -> bool {
    sheet
        .field(&at.child("*"))
        .is_some_and(|member| member.shape == Shape::Whole)
}

/// The values of an object: what comes first, then all others folded.
pub fn values(sheet: &Sheet<'_>, at: &Place) -> Markup {
    let keys = sheet.pen.keys(at);
    let pattern = sheet.book().pattern_of(at);
    let Some(front) = first(&pattern) else {
        return html! { @for key in keys { (value(sheet, &at.child(key))) } };
    };
    // What is given or in question is not hidden behind "more" unless it is met.
    let rest: Vec<&str> = keys.iter().copied().filter(|key| !front.contains(key)).collect();
    let key = more_key(at);
    let open = sheet.is_open(&key);
    let given = rest
        .iter()
        .filter(|key| sheet.node(&at.child(key)).is_some())
        .count();
    let tally = rest.iter().fold(Tally::default(), |sum, key| {
        let tally = sheet.tally(&at.child(key));
        Tally {
            errors: sum.errors + tally.errors,
            findings: sum.findings + tally.findings,
            questions: sum.questions + tally.questions,
        }
    });
    html! {
        @for key in front { (value(sheet, &at.child(key))) }
        (fold(&key, open, &html! { (rest.len()) " further values, " (given) " given" }, tally, || html! {
            @for key in &rest { (value(sheet, &at.child(key))) }
        }))
    }
}

/// A part that folds, with what stands open in it. What is folded is not drawn.
pub fn fold(key: &str, open: bool, title: &Markup, tally: Tally, inside: impl FnOnce() -> Markup) -> Markup {
    html! {
        div.fold data-open=(open) {
            button.folder type="button" aria-expanded=(open) id={ "fold" (key_id(key)) }
                data-edit=(edit_of(&json!({ "do": "fold", "at": key, "open": !open }))) {
                span.turn aria-hidden="true" { @if open { "▾" } @else { "▸" } }
                span.title { (title) }
                (badges(tally))
            }
            @if open { div.inside { (inside()) } }
        }
    }
}

fn key_id(key: &str) -> String {
    anchor(&Place::from_pointer(key))
}

fn badges(tally: Tally) -> Markup {
    let plural = |count: usize, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    html! {
        @if tally.errors > 0 { span.badge.wrong { "✕ " (plural(tally.errors, "error")) } }
        @if tally.findings > 0 { span.badge.found { (plural(tally.findings, "finding")) } }
        @if tally.questions > 0 { span.badge.asked { (plural(tally.questions, "question")) } }
    }
}

/// An object with a name of its own in the schema, such as a lining.
fn object(sheet: &Sheet<'_>, at: &Place, known: &Field) -> Markup {
    let node = sheet.node(at);
    let key = at.as_str();
    let given = match node.map(|node| &node.value) {
        Some(Value::Object(members)) => members.len(),
        _ => 0,
    };
    let none = node.is_some_and(says_none);
    let yes = node.is_some_and(|node| node.value == Value::Bool(true));
    let state = match (none, yes, given) {
        (true, ..) => "there is none".to_owned(),
        (_, true, _) => "there is one".to_owned(),
        (.., 0) => "not shown".to_owned(),
        (.., given) => format!("{given} of {} given", sheet.pen.keys(at).len()),
    };
    html! {
        div.object id=(anchor(at)) data-at=(at) tabindex="-1" {
            (fold(key, sheet.is_open(key), &html! { b { (known.title) } " " span.state { (state) } }, sheet.tally(at), || html! {
                @if let Some(ask) = sheet.question(at) { p.ask { (plain(ask)) } }
                @else if let Some(description) = &known.description { p.meaning { (plain(description)) } }
                @for misfit in sheet.errors(at).filter(|misfit| misfit.at.as_ref() == Some(at)) {
                    p.error { "✕ " (plain(&misfit.words)) }
                }
                div.three role="group" aria-label=(known.title) {
                    button type="button" aria-pressed=(node.is_none()) data-edit=(edit("forget", at)) { "not shown" }
                    @if known.may_be_none {
                        button type="button" aria-pressed=(none) data-edit=(edit("none", at)) { "there is none" }
                    }
                    @if known.may_be_true {
                        button type="button" aria-pressed=(yes) data-edit=(edit("one", at)) { "there is one" }
                    }
                }
                (values(sheet, at))
            }))
        }
    }
}

/// A collection within an object, such as layers.
fn nested_collection(sheet: &Sheet<'_>, at: &Place, known: &Field) -> Markup {
    html! {
        div.collection id=(anchor(at)) data-at=(at) tabindex="-1" role="group" aria-label=(known.title) {
            h3 { (known.title) }
            @if let Some(ask) = sheet.question(at) { p.ask { (plain(ask)) } }
            (members(sheet, at))
        }
    }
}

/// The members of a collection, and what adds one.
pub fn members(sheet: &Sheet<'_>, at: &Place) -> Markup {
    let what = member(at.parts().last().as_deref().unwrap_or_default());
    let one = at.child("*");
    let kinds = sheet.field(&one).and_then(|member| {
        let keys = member.required.iter();
        let fields = keys.filter_map(|key| sheet.field(&one.child(key)));
        fields
            .filter(|field| field.shape == Shape::Choice)
            .map(|field| &field.values)
            .next()
    });
    html! {
        @for id in sheet.ids(at) { (member_of(sheet, &at.child(id), id)) }
        form.add data-edit=(edit("add", at)) {
            label { "Add a " (what) " called " input name="id" type="text" required autocomplete="off" maxlength="300" placeholder="a short name"; }
            @if let Some(kinds) = kinds {
                label { " of kind " select name="kind" { @for kind in kinds { option value=(kind) { (kind) } } } }
            }
            button type="submit" { "Add" }
        }
    }
}

/// One object of a collection.
fn member_of(sheet: &Sheet<'_>, at: &Place, id: &str) -> Markup {
    let named = |key: &str| sheet.node(&at.child(key)).and_then(|node| node.text());
    let key = at.as_str();
    let title = html! {
        b { (id) }
        @if let Some(kind) = named("kind").or_else(|| named("fill")) { " " span.state { (kind) } }
        @if let Some(name) = named("name") { " " span.state { (name) } }
    };
    html! {
        div.member id=(anchor(at)) data-at=(at) data-object tabindex="-1" {
            (fold(key, sheet.is_open(key), &title, sheet.tally(at), || html! {
                @for misfit in sheet.errors(at).filter(|misfit| misfit.at.as_ref() == Some(at)) {
                    p.error { "✕ " (plain(&misfit.words)) }
                }
                (values(sheet, at))
                div.ways {
                    form.rename data-edit=(edit("rename", at)) {
                        label { "Name in the plan " input name="id" type="text" value=(id) required autocomplete="off" maxlength="300"; }
                        button type="submit" { "Rename" }
                    }
                    button type="button" data-edit=(edit("copy", at)) aria-label={ "Copy " (id) } { "Copy" }
                    button type="button" data-edit=(edit("forget", at)) aria-label={ "Remove " (id) } { "Remove" }
                }
            }))
        }
    }
}
