//! One plan that is open: what the page did to it, and its file.

use std::{
    collections::{HashMap, VecDeque},
    rc::Rc,
};

use serde::{Deserialize, Serialize};

use super::{
    dialogs::Dialog,
    file::{PlanFile, Standing},
};
use crate::{
    cli::{
        Failure,
        field_paper::typeset,
        output::{InTheWay, Outputs},
    },
    page::{Desk, Document, Edit, Paper, PaperForm, Turn},
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
    shown: VecDeque<(u64, HashMap<&'static str, String>)>,
    /// The text that was kept beside the plan last.
    last_kept: Option<Rc<str>>,
    /// Whether what an earlier session left was set aside.
    set_aside: bool,
}

/// What is sent back: the regions that changed.
#[derive(Debug, Default, Serialize)]
pub(super) struct Answer {
    html: Vec<(&'static str, String)>,
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
    /// What a paper is written as: `pdf`, `csv` or `xlsx`.
    #[serde(default)]
    form: Option<String>,
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
        let last_kept = turn.document.text.clone();
        Ok(Self {
            desk,
            last_kept,
            set_aside: false,
            document: turn.document,
            dialog: file.kept().map(|_| Dialog::Kept),
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
            self.dialog = self.file.kept().map(|_| Dialog::Kept);
            self.set_aside = false;
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
        if self.dialog == Some(Dialog::Kept) && !self.set_aside {
            self.file.set_aside();
            self.set_aside = true;
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
                if !self.set_aside {
                    self.file.drop_kept();
                }
                self.file.drop_earlier();
                self.dialog = None;
                Ok(None)
            }
            "pdf" => self.pdf(),
            "paper" => self.paper(wish.form.as_deref().unwrap_or("pdf")),
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

    fn take_kept(&mut self) -> String {
        self.dialog = None;
        let kept = self.file.kept();
        self.file.drop_earlier();
        match kept {
            Some(text) if self.document.text.is_some() => self.put(text),
            Some(text) => {
                let open = Edit::Open {
                    name: self.file.name(),
                    text,
                };
                self.document = self.desk.turn(std::mem::take(&mut self.document), open).document;
            }
            None => return "They are gone.".to_owned(),
        }
        "Taken up; not saved yet.".to_owned()
    }

    fn put(&mut self, text: String) {
        self.document = self
            .desk
            .turn(std::mem::take(&mut self.document), Edit::Text { text })
            .document;
    }

    /// Writes the paper that is shown beside the plan, under a name that is free: the file of an earlier day may have been
    /// filled in by hand.
    fn paper(&mut self, form: &str) -> Result<Option<String>, Failure> {
        let report = |words: String| Failure::Report(words);
        let bytes = match form {
            "csv" => self.document.paper_as(PaperForm::Csv).map_err(report)?,
            "xlsx" => self.document.paper_as(PaperForm::Xlsx).map_err(report)?,
            _ => match self.document.paper() {
                Some((_, Paper::Field(paper, scenes))) => typeset(paper, scenes, None)?,
                _ => return self.pdf(),
            },
        };
        let Some((word, _)) = self.document.paper() else {
            return Ok(None);
        };
        let path = self.file.free_beside(word, form);
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
        let path = self.file.path().with_extension("pdf");
        let outputs = Outputs::claim([("the PDF", path.as_path())], InTheWay::Replaced)?;
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
        all.push(("dialog", dialog.unwrap_or_default()));
        let mut shown = match self.shown.iter().position(|(known, _)| *known == page) {
            Some(at) => self.shown.remove(at).map(|(_, shown)| shown).unwrap_or_default(),
            None => HashMap::new(),
        };
        let is_first = shown.is_empty();
        let mut html = Vec::new();
        for (id, text) in all {
            if is_first || shown.get(id) != Some(&text) {
                shown.insert(id, text.clone());
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
            saved: saved.map(str::to_owned),
            notice: self.file.unkept.take(),
        }
    }
}

/// Why something could not be done, with what to do, in words.
fn words_of(failure: &Failure) -> String {
    let help = miette::Diagnostic::help(failure).map(|help| format!("; {help}"));
    format!("{failure}{}", help.unwrap_or_default())
}
