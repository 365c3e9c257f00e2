//! The form as a whole: the parts of a plan.

use maud::{Markup, html};
use serde_json::json;

use super::{
    object::{fold, members, values},
    order::{APART, PARTS},
    sheet::{Sheet, anchor, edit, edit_of, says_none},
};
use crate::{
    check::Shape,
    page::typed::plain,
    read::{Place, Value},
};

/// The form of a plan.
pub fn form(sheet: &Sheet<'_>) -> Markup {
    let known = sheet.pen.keys(&Place::root());
    let listed = PARTS.iter().copied().filter(|part| known.contains(part));
    let others = known.iter().copied().filter(|part| !PARTS.contains(part));
    let parts = listed.chain(others).filter(|part| !APART.contains(part));
    html! {
        @for misfit in sheet.problems.iter().filter(|misfit| is_of_the_plan(sheet, misfit.at.as_ref())) {
            p.error { "✕ " (plain(&misfit.words)) @if let Some(help) = &misfit.help { "; " (plain(help)) } }
        }
        @for part in parts { (part_of(sheet, &Place::root().child(part))) }
        p { button type="button" data-edit=(edit_of(&json!({ "do": "as-text", "on": true }))) { "Show the plan as text" } }
    }
}

/// Whether something is wrong with the plan as a whole, or with what the form does not show.
fn is_of_the_plan(sheet: &Sheet<'_>, at: Option<&Place>) -> bool {
    at.is_none_or(|at| {
        let shown = sheet.field(at).is_some();
        let apart = at
            .parts()
            .next()
            .is_none_or(|part| APART.contains(&part.as_str()));
        !shown || apart
    })
}

fn part_of(sheet: &Sheet<'_>, at: &Place) -> Markup {
    let Some(known) = sheet.field(at) else {
        return html! {};
    };
    let key = at.as_str();
    let node = sheet.node(at);
    let none = node.is_some_and(says_none);
    let is_collection = known.shape == Shape::Collection;
    let state = match node.map(|node| &node.value) {
        None => "not shown".to_owned(),
        Some(_) if none => "there is none".to_owned(),
        Some(Value::Object(members)) if is_collection && members.is_empty() => "there is none".to_owned(),
        Some(Value::Object(_)) if is_collection => sheet.ids(at).join(", "),
        Some(_) => String::new(),
    };
    html! {
        div.part id=(anchor(at)) data-at=(at) tabindex="-1" {
            div.heading role="heading" aria-level="2" {
                (fold(key, sheet.is_open(key), &html! { (known.title) " " span.state { (state) } }, sheet.tally(at), || html! {}))
            }
            @if sheet.is_open(key) {
                div.inside {
                    @if let Some(ask) = sheet.question(at) { p.ask { (plain(ask)) } }
                    @else if let Some(description) = &known.description { p.meaning { (plain(description)) } }
                    @if is_collection || known.may_be_none {
                        @let given = !sheet.ids(at).is_empty() && !none;
                        @if !given {
                            div.three role="group" aria-label=(known.title) {
                                button type="button" aria-pressed=(node.is_none()) data-edit=(edit("forget", at)) { "not shown" }
                                button type="button" aria-pressed=(node.is_some()) data-edit=(edit("none", at)) { "there is none" }
                            }
                        }
                    }
                    @if is_collection { (members(sheet, at)) } @else { (values(sheet, at)) }
                }
            }
        }
    }
}
