//! What the page asks about the plan's file.

use maud::{Markup, html};
use serde_json::json;

/// A question about the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Dialog {
    /// Changes of an earlier session are there.
    Kept,
    /// The file was changed since it was read.
    Changed,
    /// The file is gone.
    Gone,
    /// The plan has no file yet, or its name is taken.
    Name {
        /// Why a name is asked for.
        why: String,
    },
}

impl Dialog {
    /// The question, with the name of the file.
    pub fn html(&self, name: &str) -> Markup {
        let choice = |act: &str, over: bool, words: &str| {
            html! {
                button type="button" data-host=(act) data-choice=(json!({ "over": over }).to_string()) { (words) }
            }
        };
        html! {
            div.conflict role="alert" {
                @match self {
                    Self::Kept => {
                        p { "Changes to " b { (name) } " from an earlier time were not saved." }
                        (choice("take", true, "Take them up"))
                        (choice("drop", true, "Throw them away"))
                    }
                    Self::Changed => {
                        p { b { (name) } " was changed on the disk since the page read it. Nothing was overwritten." }
                        (choice("reload", true, "Take what is on the disk"))
                        (choice("save", true, "Write the page’s plan over it"))
                        (name_form(""))
                    }
                    Self::Gone => {
                        p { b { (name) } " is no longer on the disk." }
                        (choice("save", true, "Write it again"))
                        (name_form(""))
                    }
                    Self::Name { why } => { p { (why) } (name_form(name)) }
                }
            }
        }
    }
}

fn name_form(name: &str) -> Markup {
    html! {
        form.add data-host="save" {
            label { "Save under the name " input name="name" type="text" required value=(name) autocomplete="off"; }
            button type="submit" { "Save under this name" }
        }
    }
}
