//! What a user does on the page, as it is sent.

use serde::Deserialize;

use super::paper::PaperName;
use crate::{read::Place, rules::Severity};

/// One act of the user. Places are JSON Pointers.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// Nothing: shows the page.
    Show,
    /// Nothing: works out what the last change left for later.
    Rest,
    /// Begins a plan from a picture.
    Begin {
        /// The picture's name.
        start: String,
        /// `US` or `SI`.
        units: String,
        /// The job's name.
        #[serde(default)]
        name: String,
        /// Town and state.
        #[serde(default)]
        town: String,
    },
    /// Opens a text under a name.
    Open {
        /// The file's name.
        name: String,
        /// Its text.
        text: String,
    },
    /// Opens an example that comes with the program.
    Example {
        /// Its name.
        name: String,
    },
    /// Goes back to the start.
    Close,
    /// Puts a whole text in place of the plan's.
    Text {
        /// The text.
        text: String,
    },
    /// Sets a value as it was typed; an empty text takes it away.
    Set {
        /// The value.
        at: Place,
        /// What was typed.
        text: String,
        /// Whether the user is still typing.
        #[serde(default)]
        typing: bool,
    },
    /// Says that there is none.
    None {
        /// Of what.
        at: Place,
    },
    /// Says that there is one.
    One {
        /// Of what.
        at: Place,
    },
    /// Takes a value away: not shown.
    Forget {
        /// Which.
        at: Place,
    },
    /// A level as a depth below another of the same basin.
    Below {
        /// The level.
        at: Place,
        /// The level it is measured from.
        from: Place,
        /// The depth, with its unit.
        text: String,
    },
    /// Adds a member to a collection, or an item to a list.
    Add {
        /// The collection.
        at: Place,
        /// The new id; none for a list.
        #[serde(default)]
        id: String,
        /// What kind it is, where its schema requires one of a few.
        #[serde(default)]
        kind: String,
    },
    /// Gives an object another id; what names it follows.
    Rename {
        /// The object.
        at: Place,
        /// The new id.
        id: String,
    },
    /// Copies an object.
    Copy {
        /// The object.
        at: Place,
    },
    /// Folds or unfolds a part of the form.
    Fold {
        /// The part.
        at: String,
        /// Whether it is to be unfolded.
        open: bool,
    },
    /// Unfolds the form down to a place and goes there.
    Find {
        /// The place.
        at: Place,
    },
    /// Unfolds a finding or question, or folds it.
    Choose {
        /// The rule; empty for a question.
        #[serde(default)]
        rule: String,
        /// The object, or the place that a question asks for.
        at: Place,
    },
    /// Shows only some findings.
    Filter {
        /// The severity.
        #[serde(default, deserialize_with = "severity")]
        severity: Option<Severity>,
        /// The discipline.
        #[serde(default)]
        discipline: String,
    },
    /// Applies a cure.
    Try {
        /// What to change.
        at: Place,
        /// To what.
        text: String,
        /// The cure in words.
        words: String,
    },
    /// Accepts a finding by name.
    Accept {
        /// The rule.
        rule: String,
        /// The object.
        at: Place,
        /// Why.
        reason: String,
        /// Who.
        initials: String,
        /// Until when.
        until: String,
    },
    /// Drags a level or height in the drawing.
    Drag {
        /// The value.
        at: Place,
        /// Where it is dragged to, m.
        to: f64,
        /// Whether it is let go.
        #[serde(default)]
        done: bool,
    },
    /// Moves a level or height by steps of the snap.
    Nudge {
        /// The value.
        at: Place,
        /// How many steps, upward positive.
        steps: i32,
    },
    /// Draws the water of a case at a step in time.
    Case {
        /// The case's name; empty for running water.
        name: String,
        /// The step in time.
        #[serde(default)]
        step: usize,
    },
    /// Compares with another revision.
    Compare {
        /// The file's name.
        name: String,
        /// Its text.
        text: String,
    },
    /// Shows the plan as text, or as a form.
    AsText {
        /// Whether as text.
        on: bool,
    },
    /// Shows the list of what the designer must answer.
    Letter {
        /// Whether to show it.
        on: bool,
    },
    /// Shows a paper, or goes back to the plan.
    Paper {
        /// Which; none for the plan.
        #[serde(default)]
        name: Option<PaperName>,
        /// What the rod reads on the benchmark.
        #[serde(default)]
        backsight: String,
        /// Sights on turning points.
        #[serde(default)]
        turns: String,
    },
    /// Gives a firm's prices for the materials list; an empty file takes them away.
    Prices(GivenFile),
    /// Gives the stone that is on hand for the materials list; an empty file takes it away.
    Yard(GivenFile),
    /// Takes a merge patch over into the plan.
    Merge {
        /// The patch, JSON text.
        text: String,
        /// What it does, in words.
        words: String,
    },
    /// Takes the last step back.
    Undo,
    /// Takes it again.
    Redo,
}

/// A file of cells: comma-separated text, or a workbook.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GivenFile {
    /// The file's name.
    pub name: String,
    /// Its text.
    #[serde(default)]
    pub text: String,
    /// The bytes of a workbook, in base 64.
    #[serde(default)]
    pub bytes: String,
}

/// A severity by its word; any other word is none.
fn severity<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Option<Severity>, D::Error> {
    let word = String::deserialize(deserializer)?;
    let all = [Severity::Stop, Severity::Revise, Severity::Advise];
    Ok(all.into_iter().find(|severity| severity.word() == word))
}

impl Edit {
    /// Reads an edit as the page sends it.
    ///
    /// # Errors
    /// What is no edit, in words.
    pub fn read(json: &str) -> Result<Self, String> {
        serde_json::from_str(json).map_err(|error| error.to_string())
    }
}
