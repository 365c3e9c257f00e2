//! One value on the form: what it is called, what was typed, how that is understood, what is wrong with it.

use maud::{Markup, html};
use serde_json::json;

use super::sheet::{Sheet, anchor, edit, edit_of, says_none};
use crate::{
    check::{Field, Shape},
    formulas::{fittings, pipe_table},
    page::typed::{plain, understood},
    quantity::{Kind, UnitSystem},
    read::{Node, Place, Value},
};

/// Letters from which on a text gets more than a line.
const LONG: usize = 34;

/// A value that is one text, number or answer.
pub fn field(sheet: &Sheet<'_>, at: &Place, field: &Field) -> Markup {
    let id = anchor(at);
    let node = sheet.node(at);
    let none = node.is_some_and(says_none) && field.shape != Shape::YesNo;
    let finding = sheet.finding(at).map(crate::rules::Severity::word);
    let echo = node
        .and_then(Node::text)
        .zip(field.kind)
        .and_then(|(text, kind)| understood(text, kind, sheet.pen.units));
    html! {
        div.field data-at=(at) data-finding=[finding] {
            label for=(id) { (field.title) }
            (control(sheet, at, field, &id, node))
            @if field.kind == Some(Kind::Level) {
                (level_button(sheet, at, field))
            }
            @if field.may_be_none && !matches!(field.shape, Shape::YesNo | Shape::Choice) {
                (states(at, &field.title, node.is_some(), none))
            }
            (notes(sheet, at, field, &id, echo.as_deref()))
        }
        @if field.kind == Some(Kind::Level) && sheet.is_open(&below_key(at)) {
            (below(sheet, at, field))
        }
    }
}

/// The three things a plan may say of a value, where they differ: nothing yet, that there is none, or what it is.
fn states(at: &Place, title: &str, shown: bool, none: bool) -> Markup {
    let state = |act: &str, pressed: bool, words: &str, name: &str| {
        html! {
            button type="button" aria-pressed=(pressed) data-edit=(edit(act, at)) aria-label={ (title) ": " (name) } { (words) }
        }
    };
    html! {
        div.states role="group" aria-label={ (title) ": what the plan says" } {
            (state("forget", !shown, "not shown", "not shown yet"))
            (state("none", none, "none", "there is none"))
            (state("find", shown && !none, "value", "a value"))
        }
    }
}

/// What stands under a value: how it is understood, what is wrong, what it means.
fn notes(sheet: &Sheet<'_>, at: &Place, field: &Field, id: &str, echo: Option<&str>) -> Markup {
    html! {
        div.notes id={ (id) "-note" } {
            @for misfit in sheet.errors(at) {
                p.error { "✕ " (plain(&misfit.words)) @if let Some(help) = &misfit.help { "; " (plain(help)) } }
            }
            @if let Some(echo) = echo { p.echo { "= " (echo) } }
            @if let Some(ask) = sheet.question(at) { p.ask { (plain(ask)) } }
            @else if let Some(description) = &field.description { p.meaning { (plain(description)) } }
        }
    }
}

/// What is typed or chosen in.
fn control(sheet: &Sheet<'_>, at: &Place, field: &Field, id: &str, node: Option<&Node>) -> Markup {
    let note = format!("{id}-note");
    let invalid = sheet.errors(at).next().is_some().then_some("true");
    let written = node.map(written).unwrap_or_default();
    let required = at
        .parent()
        .and_then(|holder| sheet.field(&holder))
        .is_some_and(|holder| {
            at.parts()
                .last()
                .is_some_and(|key| holder.required.contains(&key))
        });
    let silent = if required { "required" } else { "not shown" };
    if let Some(options) = options(sheet, at, field) {
        let known = written.is_empty() || options.iter().any(|(value, _)| *value == written);
        return html! {
            select id=(id) data-set=(at) aria-describedby=(note) aria-invalid=[invalid] {
                option value="" selected[written.is_empty()] { (if required { "choose one" } else { silent }) }
                @if !known { option value=(written) selected { (written) } }
                @for (value, words) in &options {
                    option value=(value) selected[*value == written] { (words) }
                }
            }
        };
    }
    let list = suggestions(at, sheet);
    let list_id = (!list.is_empty()).then(|| format!("{id}-list"));
    // A size from the list says more than the example of any length.
    let example = list.get(list.len() / 2).filter(|_| field.kind.is_some());
    let example = example.or(field.example.as_ref());
    let free = field.kind.is_none() && field.shape == Shape::Text;
    html! {
        @if free && written.chars().count() > LONG {
            textarea id=(id) data-set=(at) aria-describedby=(note) aria-invalid=[invalid] rows="2" maxlength="2000"
                placeholder=(silent) { (written) }
        } @else {
            input id=(id) data-set=(at) type="text" autocomplete="off" spellcheck="false" value=(written)
                class=[field.kind.map(|_| "measure")]
                placeholder=(example.map_or_else(|| silent.to_owned(), |example| format!("such as {example}")))
                aria-describedby=(note) aria-invalid=[invalid] list=[list_id.as_deref()];
        }
        @if let Some(list_id) = &list_id {
            datalist id=(list_id) { @for value in &list { option value=(value) {} } }
        }
    }
}

/// A value as it stands in its box.
pub(super) fn written(node: &Node) -> String {
    match &node.value {
        Value::Text(text) | Value::Number(text) => text.clone(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::List(items) => {
            let parts: Vec<&str> = items.iter().filter_map(Node::text).collect();
            parts.join(", ")
        }
        Value::Null | Value::Object(_) => String::new(),
    }
}

/// What can be chosen, each as it is written and as it is called; none where anything may be typed.
fn options(sheet: &Sheet<'_>, at: &Place, field: &Field) -> Option<Vec<(String, String)>> {
    let as_written = |text: &String| (text.clone(), text.clone());
    let mut options = match field.shape {
        Shape::YesNo => ["yes", "no"]
            .map(|word| (word.to_owned(), word.to_owned()))
            .to_vec(),
        Shape::Choice => field.values.iter().map(as_written).collect(),
        Shape::Text => sheet.pen.known(at)?.iter().map(as_written).collect(),
        _ => return None,
    };
    if field.may_be_none && field.shape == Shape::Choice {
        options.push(("none".to_owned(), "there is none".to_owned()));
    }
    Some(options)
}

/// What is commonly typed: sizes and classes of pipe, ids where several can be named.
fn suggestions(at: &Place, sheet: &Sheet<'_>) -> Vec<String> {
    if let Some(ids) = sheet.pen.known(at) {
        return ids;
    }
    let holder = at.parent();
    let in_pipe = holder
        .as_ref()
        .and_then(|holder| holder.parts().last())
        .as_deref()
        == Some("pipe");
    match at.parts().last().as_deref() {
        Some("size") if in_pipe => {
            let class = holder.and_then(|pipe| sheet.node(&pipe.child("class"))?.text());
            let sizes = pipe_table::sizes(class.unwrap_or("sch 40")).unwrap_or_default();
            sizes.into_iter().map(pipe_table::size_text).collect()
        }
        Some("class") if in_pipe => CLASSES.map(str::to_owned).to_vec(),
        Some("smallest" | "largest") if at.as_str().contains("/layers/") => {
            let sizes: &[&str] = match sheet.pen.units {
                UnitSystem::Us => &STONE_US,
                UnitSystem::Si => &STONE_SI,
            };
            sizes.iter().map(|size| (*size).to_owned()).collect()
        }
        _ => Vec::new(),
    }
}

/// Classes of pipe that are commonly named.
const CLASSES: [&str; 5] = ["sch 40", "sch 80", "SDR 21", "SDR 26", "class 160"];

/// Sizes that stone is sold by: openings of the sieves it is graded with (ASTM E11; EN 933-2), from memory.
const STONE_US: [&str; 10] = [
    "3/8 in", "1/2 in", "3/4 in", "1 in", "1-1/2 in", "2 in", "3 in", "4 in", "6 in", "12 in",
];
const STONE_SI: [&str; 8] = [
    "4 mm", "8 mm", "16 mm", "31.5 mm", "45 mm", "63 mm", "90 mm", "125 mm",
];

/// The fittings that have a loss.
pub fn fitting_names() -> impl Iterator<Item = &'static str> {
    fittings::FITTINGS.iter().map(|fitting| fitting.name)
}

fn below_key(at: &Place) -> String {
    format!("{at}#below")
}

fn level_button(sheet: &Sheet<'_>, at: &Place, field: &Field) -> Markup {
    let key = below_key(at);
    let open = sheet.is_open(&key);
    if references(sheet, at).is_empty() {
        return html! {};
    }
    html! {
        button.below type="button" aria-expanded=(open) aria-label={ (field.title) ": give a depth" }
            data-edit=(edit_of(&json!({ "do": "fold", "at": key, "open": !open }))) { "give a depth" }
    }
}

/// The levels of the same basin that a level may be measured from.
fn references(sheet: &Sheet<'_>, at: &Place) -> Vec<(Place, String)> {
    let Some(basin) = basin_of(sheet, at) else {
        return Vec::new();
    };
    let levels = ["rim", "still", "floor", "overflow/level"].map(|path| basin.join(path));
    let shown = levels.into_iter().filter(|level| {
        level != at
            && sheet
                .node(level)
                .and_then(Node::text)
                .is_some_and(|text| text != "none")
    });
    shown
        .map(|level| (level.clone(), sheet.book().title_of(&level)))
        .collect()
}

/// The basin that a value belongs to.
fn basin_of(sheet: &Sheet<'_>, at: &Place) -> Option<Place> {
    let mut parts = at.parts();
    let (part, id) = (parts.next()?, parts.next()?);
    let object = Place::root().child(&part).child(&id);
    let basins = Place::root().child("basins");
    let named = |key: &str| Some(basins.child(sheet.node(&object.child(key))?.text()?));
    match part.as_str() {
        "basins" => Some(object),
        "pumps" => named("basin"),
        "falls" | "drains" => named("from"),
        _ => None,
    }
}

/// The small form that gives a level as a depth.
fn below(sheet: &Sheet<'_>, at: &Place, field: &Field) -> Markup {
    html! {
        form.depth data-edit=(edit("below", at)) {
            label { (field.title) " lies " input name="text" type="text" class="measure" required autocomplete="off" placeholder="such as 18 in"; }
            label { " below "
                select name="from" {
                    @for (level, name) in references(sheet, at) { option value=(level) { (name) } }
                }
            }
            button type="submit" { "Set the level" }
        }
    }
}
