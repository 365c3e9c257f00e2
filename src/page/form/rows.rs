//! Lists on the form: rows of a curve, of contours, of steps; fittings with their counts.

use maud::{Markup, html};

use super::{
    field::{field, fitting_names, written},
    order::member,
    sheet::{Sheet, anchor, edit},
};
use crate::{
    check::{Field, Shape},
    page::typed::plain,
    quantity::Quantity,
    read::Place,
};

/// A list of rows.
pub fn list(sheet: &Sheet<'_>, at: &Place, field: &Field) -> Markup {
    let count = sheet.pen.items(at);
    let columns = columns(sheet, at);
    let new = sheet.view.new_rows.shown(at, count, field.least_items);
    let begun = new.iter().any(|row| !row.is_empty());
    html! {
        fieldset.rows id=(anchor(at)) data-at=(at) tabindex="-1" {
            legend { (field.title) }
            @if let Some(ask) = sheet.question(at) { p.ask { (plain(ask)) } }
            @else if let Some(description) = &field.description { p.meaning { (plain(description)) } }
            table {
                thead { tr { @for (_, title) in &columns { th scope="col" { (title) } } th scope="col" { span.unseen { "remove" } } } }
                tbody {
                    @for row in 0..count {
                        @let here = at.child(&row.to_string());
                        (row_of(sheet, &here, row, &columns, true, |key| sheet.node(&here.child(key)).map(written)))
                    }
                    @for (index, cells) in new.iter().enumerate() {
                        @let row = count + index;
                        @let extra = count > 0 || index >= field.least_items || !cells.is_empty();
                        (row_of(sheet, &at.child(&row.to_string()), row, &columns, extra, |key| cells.get(key).cloned()))
                    }
                }
            }
            @if begun { p.note { (when_taken(count, field.least_items)) } }
            @for misfit in sheet.errors(at) { p.error { "✕ " (plain(&misfit.words)) } }
            (plot(sheet, at, count))
            button type="button" data-edit=(edit("add", at)) { "Add a row" }
        }
    }
}

/// The columns of a list: the key of each, and its title.
fn columns(sheet: &Sheet<'_>, at: &Place) -> Vec<(String, String)> {
    let item = at.child("0");
    let keys = sheet.pen.keys(&item);
    if !keys.is_empty() {
        let titled = |key: &str| sheet.field(&item.child(key)).map(|field| field.title.clone());
        return keys
            .iter()
            .filter_map(|key| Some(((*key).to_owned(), titled(key)?)))
            .collect();
    }
    let pair = ["0", "1"].iter().filter_map(|key| {
        let field = sheet.field(&item.child(key))?;
        let named = field.title != *key && field.title != "*";
        let title = if named {
            field.title.clone()
        } else {
            field.kind?.name().to_owned()
        };
        Some(((*key).to_owned(), title))
    });
    pair.collect()
}

/// When what is typed into new rows becomes part of the plan.
fn when_taken(in_plan: usize, least: usize) -> String {
    if in_plan < least && least > 1 {
        format!("The plan takes these rows once {least} of them are complete.")
    } else {
        "The plan takes this row once it is complete.".to_owned()
    }
}

/// A row, of the plan or being typed.
fn row_of(
    sheet: &Sheet<'_>,
    here: &Place,
    row: usize,
    columns: &[(String, String)],
    removable: bool,
    text: impl Fn(&str) -> Option<String>,
) -> Markup {
    html! {
        tr {
            @for (key, title) in columns {
                td { (cell(sheet, &here.child(key), &format!("{title}, row {}", row + 1), &text(key).unwrap_or_default())) }
            }
            td {
                @if removable {
                    button type="button" data-edit=(edit("forget", here)) aria-label={ "remove row " (row + 1) } { "×" }
                }
            }
        }
    }
}

/// One cell: its input alone, named by its column and row.
fn cell(sheet: &Sheet<'_>, at: &Place, name: &str, text: &str) -> Markup {
    let Some(field) = sheet.field(at) else {
        return html! {};
    };
    let id = anchor(at);
    let invalid = sheet.errors(at).next().is_some().then_some("true");
    html! {
        @if field.shape == Shape::Choice {
            select id=(id) data-set=(at) aria-label=(name) aria-invalid=[invalid] {
                @if text.is_empty() { option value="" selected { "choose one" } }
                @for value in &field.values { option value=(value) selected[value == text] { (value) } }
            }
        } @else {
            input id=(id) type="text" class="measure" data-set=(at) data-at=(at) autocomplete="off" value=(text) aria-label=(name) aria-invalid=[invalid];
        }
    }
}

/// A small plot of a curve given as pairs of quantities, as wide as it needs to be read at a glance.
fn plot(sheet: &Sheet<'_>, at: &Place, count: usize) -> Markup {
    const WIDE: f64 = 200.0;
    const HIGH: f64 = 80.0;
    let value = |place: &Place| {
        let kind = sheet.field(place)?.kind?;
        Some(Quantity::parse(sheet.node(place)?.text()?, kind).ok()?.si)
    };
    let points: Option<Vec<[f64; 2]>> = (0..count)
        .map(|row| {
            let row = at.child(&row.to_string());
            Some([value(&row.child("0"))?, value(&row.child("1"))?])
        })
        .collect();
    let Some(points) = points.filter(|points| points.len() > 1) else {
        return html! {};
    };
    let most = |side: usize| points.iter().map(|point| point[side]).fold(1e-12, f64::max);
    let [across, up] = [most(0), most(1)];
    let placed = points.iter().map(|[x, y]| {
        let (x, y) = (
            4.0 + x / across * (WIDE - 8.0),
            HIGH - 4.0 - y / up * (HIGH - 8.0),
        );
        format!("{x:.1},{y:.1}")
    });
    let line = placed.collect::<Vec<_>>().join(" ");
    html! {
        svg.plot viewBox={ "0 0 " (WIDE) " " (HIGH) } role="img" aria-label="the curve: head against flow" {
            path d={ "M4 4V" (HIGH - 4.0) "H" (WIDE - 4.0) } class="axis" {}
            polyline points=(line) class="curve" {}
        }
    }
}

/// Things by name with how many there are of each.
pub fn counts(sheet: &Sheet<'_>, at: &Place, collection: &Field) -> Markup {
    let id = anchor(at);
    let what = member(at.parts().last().as_deref().unwrap_or_default());
    html! {
        fieldset.counts id=(id) data-at=(at) tabindex="-1" {
            legend { (collection.title) }
            @for name in sheet.ids(at) {
                @let here = at.child(name);
                @if let Some(count) = sheet.field(&here) {
                    div.count {
                        (field(sheet, &here, &Field { title: name.to_owned(), description: None, ..count.clone() }))
                        button type="button" data-edit=(edit("forget", &here)) aria-label={ "remove " (name) } { "×" }
                    }
                }
            }
            form.add data-edit=(edit("add", at)) {
                label { "Add a " (what) " " input name="id" type="text" list={ (id) "-names" } required autocomplete="off"; }
                datalist id={ (id) "-names" } { @for name in fitting_names() { option value=(name) {} } }
                button type="submit" { "Add" }
            }
        }
    }
}
