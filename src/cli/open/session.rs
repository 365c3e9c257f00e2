//! One plan that is open: what the page did to it, and its file.

use std::{
    collections::{HashMap, VecDeque},
    path::PathBuf,
    rc::Rc,
};

use serde::{Deserialize, Serialize};

use super::{
    dialogs::Dialog,
    file::{PlanFile, Standing},
    side::LeftOver,
};
use crate::{
    cli::{
        Failure,
        field_paper::typeset,
        output::{InTheWay, Outputs},
    },
    page::{Desk, Document, Edit, Paper, PaperForm, Region, Turn},
};

/// Pages that may be open on one plan; the one that was quiet longest is sent everything anew.
const MOST_PAGES: usize = 8;

/// A plan that is open.
pub(super) struct Session {
    desk: Desk,
    document: Document,
    file: PlanFile,
    dialog: Option<Dialog>,
    /// What each page shows, by region; the page that was heard last stands last.
    shown: VecDeque<(u64, HashMap<String, String>)>,
    /// The text that was kept beside the plan last.
    last_kept: Option<Rc<str>>,
}

/// What is sent back: the regions that changed.
#[derive(Debug, Default, Serialize)]
pub(super) struct Answer {
    html: Vec<Region>,
    /// Whether the page is to ask for what was left.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    later: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    focus: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    saved: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    notice: Option<String>,
}

/// What is done with the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Wish {
    act: String,
    #[serde(default)]
    over: bool,
    #[serde(default)]
    name: Option<String>,
    /// What a paper is written as.
    #[serde(default)]
    form: Option<PaperForm>,
}

impl Session {
    /// Opens a file on the page.
    ///
    /// # Errors
    /// Rules that can't be read.
    pub fn new(file: PlanFile) -> Result<Self, String> {
        let mut desk = Desk::new()?;
        let document = Document::default();
        let edit = file.known_text().map(|text| Edit::Open {
            name: file.name(),
            text,
        });
        let mut turn = desk.turn(document, edit.unwrap_or(Edit::Show));
        if file.is_named && file.known_text().is_none() {
            turn.document.notice = Some(format!(
                "There is no file {} yet. What is begun here is saved there.",
                file.name()
            ));
        }
        if file.left_over().contains(&LeftOver::AtWork) {
            turn.document.notice = Some(format!(
                "{} is open in another window, with changes that are not saved. Each window keeps its own; nothing of the \
                 other is overwritten without asking.",
                file.name()
            ));
            turn = desk.shown_again(turn);
        }
        let last_kept = turn.document.text.clone();
        Ok(Self {
            desk,
            last_kept,
            document: turn.document,
            dialog: dialog_of(&file),
            file,
            shown: VecDeque::new(),
        })
    }

    /// Takes an edit of a page.
    ///
    /// # Errors
    /// What is no edit, in words.
    pub fn turn(&mut self, page: u64, edit: &str) -> Result<Answer, String> {
        let edit = Edit::read(edit)?;
        let shows = edit == Edit::Show;
        let begins = matches!(
            edit,
            Edit::Begin { .. } | Edit::Open { .. } | Edit::Example { .. } | Edit::Close
        );
        if shows {
            self.shown.retain(|(known, _)| *known != page);
        }
        let before = self.document.text.clone();
        let (changed, _) = self.document.steps();
        let notice = self.document.notice.clone().filter(|_| shows);
        let mut turn = self.desk.turn(std::mem::take(&mut self.document), edit);
        if notice.is_some() {
            turn.document.notice = notice;
            turn = self.desk.shown_again(turn);
        }
        if let Some(text) = before.filter(|_| begins) {
            // Another plan has another file; the one before is left as it was saved.
            let unsaved = changed && !self.file.holds(&text);
            let name = self.file.name();
            self.file = PlanFile::open(None).map_err(|failure| failure.to_string())?;
            self.dialog = dialog_of(&self.file);
            self.last_kept = None;
            if unsaved {
                turn.document.notice = Some(format!(
                    "{name} has changes that were not saved. They are kept beside it, and offered when it is opened again."
                ));
                turn = self.desk.shown_again(turn);
            }
        } else if begins && self.file.is_named && turn.document.text.is_some() {
            // What is begun under a name that has no file yet is saved there.
            turn.document.name = self.file.name();
            turn = self.desk.shown_again(turn);
        }
        self.keep(&turn.document);
        Ok(self.answer(page, turn))
    }

    /// Keeps a text beside the plan until it is saved.
    fn keep(&mut self, document: &Document) {
        let Some(text) = &document.text else { return };
        if self.last_kept.as_ref().is_some_and(|kept| Rc::ptr_eq(kept, text)) {
            return;
        }
        self.file.keep(text);
        self.last_kept = Some(text.clone());
    }

    /// Does something with the file.
    ///
    /// # Errors
    /// What is no wish, in words.
    pub fn wish(&mut self, page: u64, wish: &str) -> Result<Answer, String> {
        let wish: Wish = serde_json::from_str(wish).map_err(|error| error.to_string())?;
        let told = match wish.act.as_str() {
            "save" => self.save(&wish),
            "reload" => self.reload(),
            "take" => Ok(Some(self.take_kept())),
            "drop" => {
                if let Some((path, _)) = first_left(&self.file) {
                    drop(std::fs::remove_file(path));
                }
                self.dialog = dialog_of(&self.file);
                Ok(None)
            }
            "pdf" => self.pdf(),
            "paper" => self.paper(wish.form.unwrap_or(PaperForm::Pdf)),
            _ => return Err("there is no such act".to_owned()),
        };
        let turn = self.desk.turn(std::mem::take(&mut self.document), Edit::Show);
        self.keep(&turn.document);
        let mut answer = self.answer(page, turn);
        match told {
            Ok(Some(words)) => answer.saved = Some(words),
            Ok(None) => {}
            Err(failure) => answer.notice = Some(words_of(&failure)),
        }
        Ok(answer)
    }

    fn save(&mut self, wish: &Wish) -> Result<Option<String>, Failure> {
        let Some(text) = self.document.text.clone() else {
            return Ok(Some("There is no plan to save yet.".to_owned()));
        };
        if let Some(name) = &wish.name {
            self.file.save_as(name, &text)?;
        } else if !self.file.is_named {
            self.dialog = Some(Dialog::Name {
                why: "The plan has no file yet.".to_owned(),
            });
            return Ok(None);
        } else {
            let standing = self.file.standing();
            if standing != Standing::Same && !wish.over {
                self.dialog = Some(if standing == Standing::Gone {
                    Dialog::Gone
                } else {
                    Dialog::Changed
                });
                return Ok(None);
            }
            self.file.save(&text, InTheWay::Replaced)?;
        }
        self.dialog = None;
        self.document.name = self.file.name();
        Ok(Some(format!("Saved as {}.", self.file.name())))
    }

    fn reload(&mut self) -> Result<Option<String>, Failure> {
        if let Some(text) = self.file.read()? {
            self.put(text);
        }
        self.dialog = None;
        Ok(Some(
            "Read again from the disk; Undo brings back the page’s plan.".to_owned(),
        ))
    }

    /// Takes up what an earlier session left. It is forgotten once this session keeps it.
    fn take_kept(&mut self) -> String {
        let Some((path, text)) = first_left(&self.file) else {
            self.dialog = None;
            return "They are gone.".to_owned();
        };
        if self.document.text.is_some() {
            self.put(text);
        } else {
            let name = self.file.name();
            let open = Edit::Open { name, text };
            self.document = self.desk.turn(std::mem::take(&mut self.document), open).document;
        }
        let document = std::mem::take(&mut self.document);
        self.keep(&document);
        self.document = document;
        if self.file.unkept.is_none() {
            drop(std::fs::remove_file(path));
        }
        self.dialog = dialog_of(&self.file);
        "Taken up; not saved yet. Undo brings back the plan as it was.".to_owned()
    }

    fn put(&mut self, text: String) {
        self.document = self
            .desk
            .turn(std::mem::take(&mut self.document), Edit::Text { text })
            .document;
    }

    /// Writes the paper that is shown beside the plan, under a name that is free: the file of an earlier day may have been
    /// filled in by hand.
    fn paper(&mut self, form: PaperForm) -> Result<Option<String>, Failure> {
        let report = |words: String| Failure::Report(words);
        let bytes = match form {
            PaperForm::Pdf => match self.document.paper() {
                Some((_, Paper::Field(paper, scenes, _))) => typeset(paper, scenes, None)?,
                _ => return self.pdf(),
            },
            other => self.document.paper_as(other).map_err(report)?,
        };
        let Some((word, _)) = self.document.paper() else {
            return Ok(None);
        };
        let path = self.file.free_beside(Some(word), form.ending());
        let outputs = Outputs::claim([("the paper", path.as_path())], InTheWay::Kept)?;
        outputs.write(&[bytes])?;
        Ok(Some(format!("Wrote {}.", crate::text::shown_path(&path))))
    }

    #[cfg(not(feature = "pdf"))]
    #[allow(clippy::unused_self)]
    fn pdf(&mut self) -> Result<Option<String>, Failure> {
        Err(crate::cli::paper::no_typesetter())
    }

    #[cfg(feature = "pdf")]
    fn pdf(&mut self) -> Result<Option<String>, Failure> {
        use crate::cli::paper::PaperArgument;
        use crate::report::pdf::{Job, render};
        let assessed = self
            .document
            .assessed
            .as_ref()
            .filter(|assessed| assessed.is_current());
        let Some((assessed, reviewed)) =
            assessed.and_then(|assessed| Some((assessed, assessed.reviewed.as_ref()?)))
        else {
            return Ok(Some(
                "The plan can’t be reviewed as it stands; no PDF was written.".to_owned(),
            ));
        };
        // One that is there already may have been marked up by hand.
        let path = self.file.free_beside(None, "pdf");
        let outputs = Outputs::claim([("the PDF", path.as_path())], InTheWay::Kept)?;
        let review = self.desk.whole_review(reviewed);
        let opened = &reviewed.opened;
        let drawings = crate::report::drawing::drawings(&opened.plan, &opened.ledger, &review);
        let photographs = crate::cli::photographs::read_from(self.file.folder(), opened, self.desk.book());
        let photographs = photographs.map_err(|problems| Failure::Argument {
            message: problems
                .first()
                .map_or_else(String::new, |one| one.message.clone()),
            help: "name a PNG or JPEG picture or a PDF of at most 40 MB, or take the entry out".to_owned(),
        })?;
        let job = Job {
            review: &review,
            drawings: &drawings,
            plan: &assessed.text,
            paper: PaperArgument::chosen(None, review.subject.units),
            photographs: &photographs,
            full: true,
        };
        let bytes = render(&job).map_err(|error| Failure::Report(error.to_string()))?;
        outputs.write(&[bytes])?;
        Ok(Some(format!("Wrote {}.", crate::text::shown_path(&path))))
    }

    /// The regions that a page does not show yet.
    fn answer(&mut self, page: u64, turn: Turn) -> Answer {
        let mut all = turn.html;
        let name = self.file.name();
        let dialog = self
            .dialog
            .as_ref()
            .map(|dialog| dialog.html(&name).into_string());
        all.push(("dialog".to_owned(), dialog.unwrap_or_default()));
        let mut shown = match self.shown.iter().position(|(known, _)| *known == page) {
            Some(at) => self.shown.remove(at).map(|(_, shown)| shown).unwrap_or_default(),
            None => HashMap::new(),
        };
        let is_first = shown.is_empty();
        // A part that is gone is sent again where it comes back.
        shown.retain(|id, _| all.iter().any(|(known, _)| known == id));
        let mut html = Vec::new();
        for (id, text) in all {
            if is_first || shown.get(&id) != Some(&text) {
                shown.insert(id.clone(), text.clone());
                html.push((id, text));
            }
        }
        self.shown.push_back((page, shown));
        if self.shown.len() > MOST_PAGES {
            self.shown.pop_front();
        }
        let saved = turn.document.text.as_ref().map(|text| {
            if self.file.holds(text) {
                "All changes are in the file."
            } else {
                "Not in the file yet."
            }
        });
        self.document = turn.document;
        Answer {
            html,
            focus: turn.focus,
            later: turn.later,
            saved: saved.map(str::to_owned),
            notice: self.file.unkept.take(),
        }
    }
}

/// What the page asks first: what becomes of changes that an earlier session left.
fn dialog_of(file: &PlanFile) -> Option<Dialog> {
    first_left(file).map(|_| Dialog::Kept)
}

/// The first changes that an earlier session left: where they are, and the plan with them.
fn first_left(file: &PlanFile) -> Option<(PathBuf, String)> {
    file.left_over().into_iter().find_map(|left| match left {
        LeftOver::Left { path, text } => Some((path, text)),
        LeftOver::AtWork => None,
    })
}

/// Why something could not be done, with what to do, in words.
fn words_of(failure: &Failure) -> String {
    let help = miette::Diagnostic::help(failure).map(|help| format!("; {help}"));
    format!("{failure}{}", help.unwrap_or_default())
}
