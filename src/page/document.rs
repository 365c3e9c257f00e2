//! A plan on the page: its text, the texts before and after it, and what of it is shown.

use std::{collections::BTreeSet, rc::Rc};

use super::{
    assess::{Assessed, CaseLevels},
    mark::Mark,
    new_rows::NewRows,
    paper::{Paper, PaperWish, TakeoffLists},
};
use crate::{read::Place, report::drawing::Scene, review::Cure, rules::Severity};

/// Texts kept to go back to, at most.
const MOST_STEPS: usize = 400;
/// Bytes of texts kept to go back to, at most.
const MOST_BYTES: usize = 64_000_000;

/// A plan on the page.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// The name it is shown by.
    pub name: String,
    /// The text as the file has it; none before a plan is begun or opened.
    pub text: Option<Rc<str>>,
    /// Texts before this one, oldest first.
    past: Vec<Rc<str>>,
    /// Texts that were gone back from, latest first.
    future: Vec<Rc<str>>,
    /// What the last change was made to: further changes to it are one step.
    touched: Option<String>,
    /// What the plan is compared with: as it was opened, or another revision.
    pub baseline: Option<Baseline>,
    /// What is shown of it.
    pub view: View,
    /// What became of the text, where it was looked at.
    pub assessed: Option<Assessed>,
    /// What was worked out for the view of the text.
    pub closer: Closer,
    /// What the last cure that was tried did.
    pub tried: Option<Tried>,
    /// What is said of the last edit: one that could not be made, or what it did.
    pub notice: Option<String>,
}

/// Cures, the text they were worked out from, and the rule and object of the finding.
pub type FoundCures = (Rc<str>, (String, Place), Rc<Vec<Cure>>);

/// A paper, the text it was made from, and what it was made with.
pub type MadePaper = (Rc<str>, PaperWish, Rc<Result<Paper, String>>);

/// What only some views show, each with the text it was worked out from.
#[derive(Clone, Debug, Default)]
pub struct Closer {
    /// The levels of a case, by its name.
    pub case: Option<(Rc<str>, String, Rc<CaseLevels>)>,
    /// The cures of a finding, by its rule and object.
    pub cures: Option<FoundCures>,
    /// The paper that is shown, or why it can't be made.
    pub paper: Option<MadePaper>,
    /// The curves of pumps.
    pub curves: Option<(Rc<str>, Rc<Vec<Scene>>)>,
}

/// What a plan is compared with.
#[derive(Clone, Debug)]
pub struct Baseline {
    /// What it is called: `as opened`, or the name of a file.
    pub name: String,
    /// Its text.
    pub text: Rc<str>,
    /// Its findings and questions, where it could be reviewed.
    pub marks: Option<BTreeSet<Mark>>,
}

/// What a cure did.
#[derive(Clone, Debug, Default)]
pub struct Tried {
    /// The cure.
    pub words: String,
    /// Findings that are gone.
    pub closed: Vec<String>,
    /// Findings that are new.
    pub opened: Vec<String>,
}

/// What is shown.
#[derive(Clone, Debug, Default)]
pub struct View {
    /// Parts of the form that are unfolded.
    pub open: BTreeSet<String>,
    /// Rows of tables that are being typed.
    pub new_rows: NewRows,
    /// The finding or question that is unfolded: rule and object, or the place of the question.
    pub chosen: Option<(String, Place)>,
    /// Only findings of this severity.
    pub severity: Option<Severity>,
    /// Only findings of this discipline.
    pub discipline: Option<String>,
    /// The case whose water is drawn, and the step in time.
    pub case: Option<(String, usize)>,
    /// Whether the text is shown instead of the form.
    pub as_text: bool,
    /// The list of questions to send back.
    pub letter: bool,
    /// The paper that is shown in place of the plan.
    pub paper: Option<PaperWish>,
    /// What the materials list is worked out with.
    pub lists: TakeoffLists,
}

impl Tried {
    /// What it did, in a line.
    pub fn told(&self) -> String {
        let (closed, opened) = (self.closed.len(), self.opened.len());
        format!(
            "{}: {closed} closed, {opened} new. Undo takes it back.",
            self.words
        )
    }
}

impl View {
    /// Works the paper that is shown out with the files that are given now.
    pub fn give_lists(&mut self) {
        if let Some(paper) = &mut self.paper {
            paper.lists = self.lists.clone();
        }
    }
}

impl Document {
    /// A plan under a name, as it is opened.
    pub fn opened(name: &str, text: &str) -> Self {
        Self {
            name: name.to_owned(),
            text: Some(text.into()),
            ..Self::default()
        }
    }

    /// Puts another text in place of the present one. Changes that follow one another at the same thing are one step.
    pub fn write(&mut self, text: &str, touched: Option<String>) {
        if self.text.as_deref() == Some(text) {
            return;
        }
        let goes_on = touched.is_some() && self.touched == touched && !self.past.is_empty();
        if let Some(old) = self.text.replace(text.into()).filter(|_| !goes_on) {
            self.past.push(old);
        }
        self.future.clear();
        self.touched = touched;
        self.tried = None;
        self.forget_oldest();
    }

    fn forget_oldest(&mut self) {
        let mut bytes: usize = self.past.iter().map(|text| text.len()).sum();
        while self.past.len() > MOST_STEPS || (bytes > MOST_BYTES && self.past.len() > 1) {
            bytes -= self.past.remove(0).len();
        }
    }

    /// Ends a step: the next change is one of its own.
    pub fn settle(&mut self) {
        self.touched = None;
    }

    /// Whether there is a step to take back, and one to take again.
    pub fn steps(&self) -> (bool, bool) {
        (!self.past.is_empty(), !self.future.is_empty())
    }

    /// Takes the last step back, or takes it again.
    pub fn step(&mut self, back: bool) {
        let (from, to) = if back {
            (&mut self.past, &mut self.future)
        } else {
            (&mut self.future, &mut self.past)
        };
        if let Some(text) = from.pop() {
            to.extend(self.text.replace(text));
        }
        self.touched = None;
        self.tried = None;
    }
}

#[cfg(test)]
mod tests {
    use super::Document;

    #[test]
    fn steps_go_back_and_forth_and_typing_is_one_step() {
        let mut document = Document::opened("plan", "a");
        for text in ["b", "bc", "bcd"] {
            document.write(text, Some("/rim".to_owned()));
        }
        document.write("e", None);
        document.write("e", None);
        let text = |document: &Document| document.text.as_deref().map(str::to_owned);
        document.step(true);
        assert_eq!(text(&document).as_deref(), Some("bcd"));
        document.step(true);
        assert_eq!(text(&document).as_deref(), Some("a"));
        document.step(true);
        assert_eq!(
            (text(&document).as_deref(), document.steps()),
            (Some("a"), (false, true))
        );
        document.step(false);
        document.step(false);
        assert_eq!(
            (text(&document).as_deref(), document.steps()),
            (Some("e"), (true, false))
        );
    }
}
