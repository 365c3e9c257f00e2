//! Around a paper: which one, what it is made with, and where it goes.

use maud::{Markup, html};
use serde_json::json;

use super::{CellFile, Paper, PaperForm, PaperName, PaperWish, field::field_paper, review::whole_review};
use crate::{
    page::{Document, drawing::patterns, form::edit_of, write::Change},
    quantity::UnitSystem,
    read::Place,
};

/// A paper and what is around it.
pub fn paper(
    document: &Document,
    wish: &PaperWish,
    made: &Result<Paper, String>,
    units: UnitSystem,
) -> Markup {
    html! {
        div.paper-tools {
            div.ways {
                button type="button" data-edit=(edit_of(&json!({ "do": "paper" }))) { "Back to the plan" }
                div.three role="group" aria-label="which paper" {
                    @for name in PaperName::ALL {
                        button type="button" aria-pressed=(name == wish.name) data-edit=(choose(name, wish)) { (name.title()) }
                    }
                }
            }
            p { (wish.name.purpose()) }
            @if wish.name == PaperName::Grades { (instrument(wish, units)) }
            @if wish.name == PaperName::Takeoff { (list_inputs(wish)) }
            @if let Err(words) = made { @if wish.name != PaperName::Grades || !wish.backsight.is_empty() { p.error role="alert" { "✕ " (words) } } }
            @if let Ok(Paper::Field(_, _, aside)) = made {
                @if let Some(told) = &aside.told { p.notice role="status" { (told) } }
                @if let Some(patch) = &aside.patch { (proposal(document, wish.name, patch)) }
            }
            @if let Ok(made) = made { (outputs(document, wish.name, made)) }
        }
        @if let Ok(made) = made {
            (patterns())
            article.paper data-paper=(wish.name.word()) {
                @match made {
                    Paper::Review(review, drawings) => { (whole_review(review, drawings)) }
                    Paper::Field(paper, scenes, _) => { (field_paper(paper, scenes)) }
                }
            }
        }
    }
}

/// What a paper would change in the plan, to be taken over or written as a patch.
fn proposal(document: &Document, paper: PaperName, patch: &str) -> Markup {
    let changes = crate::page::act::merged(&serde_json::from_str(patch).unwrap_or_default());
    let tree = document
        .assessed
        .as_ref()
        .and_then(|assessed| assessed.tree.as_ref());
    let book = crate::plan::schema().book();
    let was = |at: &Place| tree.and_then(|tree| tree.at(at)?.text().map(crate::text::shown));
    let words = "Layers built of what the yard has";
    html! {
        div.notice role="group" aria-label=(words) {
            p { "Layers that no load builds can be built of what the yard has. The list below says which and why." }
            ul {
                @for change in &changes {
                    @if let Change::Set(at, value) = change {
                        li {
                            (book.title_of(at)) ": " @if let Some(was) = was(at) { (was) " → " }
                            (value.as_str().map_or_else(|| value.to_string(), str::to_owned))
                        }
                    }
                }
            }
            div.ways {
                button type="button" data-edit=(edit_of(&json!({ "do": "merge", "text": patch, "words": words }))) { "Take these sizes into the plan" }
                (write(document, paper.word(), PaperForm::Patch, "Patch (JSON)"))
            }
        }
    }
}

/// The button that writes a form of the paper that is shown.
fn write(document: &Document, word: &str, form: PaperForm, words: &str) -> Markup {
    let name = document.paper_file_name(word, form.ending());
    html! {
        button type="button" data-host="paper" data-choice=(json!({ "form": form.word(), "name": name }).to_string()) { (words) }
    }
}

fn choose(name: PaperName, wish: &PaperWish) -> String {
    edit_of(&json!({ "do": "paper", "name": name.word(), "backsight": wish.backsight, "turns": wish.turns }))
}

/// What the readings of a grade sheet are worked out from.
fn instrument(wish: &PaperWish, units: UnitSystem) -> Markup {
    let (reading, turn) = match units {
        UnitSystem::Us => ("4 ft 2 in", "1 ft 3 in / 6 ft 2 in"),
        UnitSystem::Si => ("1.274 m", "0.38 m / 1.88 m"),
    };
    html! {
        form.add data-edit=(edit_of(&json!({ "do": "paper", "name": "grades" }))) {
            label { "The rod on the benchmark reads "
                input name="backsight" type="text" class="measure" required value=(wish.backsight) autocomplete="off" placeholder=(reading);
            }
            label { "Turning points, foresight / backsight "
                input name="turns" type="text" class="measure" value=(wish.turns) autocomplete="off" placeholder={ "none, or " (turn) };
            }
            button type="submit" { "Work out the readings" }
        }
    }
}

/// Where the files are given.
fn list_inputs(wish: &PaperWish) -> Markup {
    let input = |act: &str, file: Option<&CellFile>, words: &str, columns: &str| {
        html! {
            p {
                label { (words) " (CSV or XLSX) " input type="file" id={ "list-" (act) } accept=".csv,.txt,.xlsx,.xlsm" data-file=(act); }
                @if let Some(file) = file {
                    " in use: " b { (file.name()) } " "
                    button type="button" data-edit=(edit_of(&json!({ "do": act, "name": "", "text": "" }))) { "Without " (file.name()) }
                }
                " " span.note { "columns: " (columns) }
            }
        }
    };
    html! {
        (input("prices", wish.lists.prices.as_ref(), "Your prices", "item, price, currency"))
        (input("yard", wish.lists.yard.as_ref(), "Stone on hand", "load, smallest, largest, shape, washed, price (of a ton), tons"))
    }
}

fn outputs(document: &Document, paper: PaperName, made: &Paper) -> Markup {
    let write = |form, words| write(document, paper.word(), form, words);
    html! {
        div.ways {
            button type="button" data-host="print" { "Print" }
            (write(PaperForm::Pdf, "PDF"))
            @if matches!(made, Paper::Field(..)) {
                (write(PaperForm::Csv, "Table (CSV)"))
                (write(PaperForm::Xlsx, "Workbook (XLSX)"))
            }
        }
    }
}
