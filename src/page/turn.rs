//! One turn: an edit to a document, and the page after it.

use std::rc::Rc;

use maud::{Markup, html};

use super::{
    act::{Pen, Refusal},
    assess::Desk,
    document::{Baseline, Document, Tried, View},
    drawing::{Panel, frame, moment},
    edit::Edit,
    findings::{Findings, findings},
    form::{Sheet, anchor, form},
    paper::{CellFile, PaperWish, paper},
    start::{begin, example, opens_at, start, text_view},
    top::{apart, top},
    unfold::{moved, unfold, unfold_all_of_one},
};

/// A part of the page that is replaced as a whole: its id and what is in it. A region within another one stands after it.
pub type Region = (String, String);

/// What a turn gives.
#[derive(Clone, Debug)]
pub struct Turn {
    /// The document after the edit.
    pub document: Document,
    /// The page.
    pub html: Vec<Region>,
    /// The element to go to; none stays where the user is.
    pub focus: Option<String>,
    /// Whether something was left for [`Edit::Rest`].
    pub later: bool,
}

/// The largest text that the page takes, in bytes: a plan of a thousand objects has a tenth of it.
pub const MAX_TEXT: usize = 8_000_000;

impl Desk {
    /// Takes an edit. The document and the edit alone decide what comes of it.
    pub fn turn(&mut self, mut document: Document, edit: Edit) -> Turn {
        document.notice = None;
        let focus = match self.apply(&mut document, edit) {
            Ok(focus) => focus,
            Err(refusal) => {
                document.notice = Some(refusal);
                None
            }
        };
        let assessed = document.assessed.as_ref().map(|assessed| &*assessed.text);
        let changed = assessed != document.text.as_deref();
        if changed {
            self.assess_anew(&mut document);
        }
        let later = self.look_closer(&mut document, changed);
        let html = self.render(&document);
        Turn {
            document,
            html,
            focus,
            later,
        }
    }

    /// A turn whose document was given another name or notice, with the page as it is then.
    #[must_use]
    pub fn shown_again(&self, turn: Turn) -> Turn {
        Turn {
            html: self.render(&turn.document),
            ..turn
        }
    }

    fn assess_anew(&mut self, document: &mut Document) {
        let Some(text) = document.text.clone() else {
            document.assessed = None;
            return;
        };
        let assessed = self.assess(&document.name, &text, document.assessed.as_ref());
        if document.baseline.is_none() {
            document.baseline = Some(Baseline {
                name: "it was opened".to_owned(),
                text,
                marks: assessed.reviewed.as_ref().map(|reviewed| reviewed.marks()),
            });
        }
        document.assessed = Some(assessed);
    }

    fn apply(&mut self, document: &mut Document, edit: Edit) -> Result<Option<String>, Refusal> {
        let settles = !matches!(
            edit,
            Edit::Set { typing: true, .. } | Edit::Drag { .. } | Edit::Show | Edit::Rest | Edit::Case { .. }
        );
        let focus = match edit {
            Edit::Show | Edit::Rest => None,
            Edit::Begin {
                start,
                units,
                name,
                town,
            } => {
                let text = begin(&start, &units, &name, &town)?;
                open(document, "new plan.jsonc", &text);
                // The basin where most numbers of a sketch go lies open; name and place were given already.
                document.view.open.remove("/project");
                document.view.open.extend(opens_at(&start).map(str::to_owned));
                None
            }
            Edit::Open { name, text } => {
                within(&text)?;
                open(document, &name, &text);
                None
            }
            Edit::Example { name } => {
                let text = example(&name).ok_or("there is no such example")?;
                open(document, &format!("{name}.jsonc"), text);
                None
            }
            Edit::Close => {
                *document = Document::default();
                None
            }
            Edit::Text { text } => {
                within(&text)?;
                document.write(&text, None);
                None
            }
            Edit::Undo | Edit::Redo => {
                document.step(edit == Edit::Undo);
                None
            }
            Edit::Prices(file) => {
                within(&file.text)?;
                within(&file.bytes)?;
                document.view.lists.prices = CellFile::given(&file)?;
                document.view.give_lists();
                None
            }
            Edit::Yard(file) => {
                within(&file.text)?;
                within(&file.bytes)?;
                document.view.lists.yard = CellFile::given(&file)?;
                document.view.give_lists();
                None
            }
            Edit::Compare { name, text } => {
                within(&text)?;
                self.compare(document, &name, &text);
                None
            }
            Edit::Fold { at, open: true } => {
                let tree = document
                    .assessed
                    .as_ref()
                    .and_then(|assessed| assessed.tree.clone());
                unfold_all_of_one(&mut document.view, self.book(), tree.as_deref(), at);
                None
            }
            Edit::Try { at, text, words } => {
                let text = text.replace('\u{2212}', "-");
                let typing = false;
                self.try_out(document, Edit::Set { at, text, typing }, words)?;
                None
            }
            Edit::Merge { text, words } => {
                let merge = Edit::Merge {
                    text,
                    words: String::new(),
                };
                self.try_out(document, merge, words)?;
                document.notice = document.tried.as_ref().map(Tried::told);
                None
            }
            other => match look(&mut document.view, other) {
                Ok(focus) => focus,
                Err(other) => self.change(document, *other)?,
            },
        };
        if settles {
            document.settle();
        }
        Ok(focus)
    }

    /// Acts that write into the plan.
    fn change(&self, document: &mut Document, edit: Edit) -> Result<Option<String>, Refusal> {
        let (Some(text), Some(assessed)) = (document.text.clone(), document.assessed.clone()) else {
            return Err("begin or open a plan first".to_owned());
        };
        let tree = assessed.tree.clone();
        let pen = Pen {
            book: self.book(),
            text: &text,
            tree: tree
                .as_deref()
                .ok_or("the text of the plan can’t be read; correct it as text first")?,
            units: assessed.units(),
        };
        let mut focus = None;
        let mut step = None;
        let new = match edit {
            Edit::Set { at, text, typing } => {
                within(&text)?;
                match document.view.new_rows.set(&pen, &at, &text, typing) {
                    Some((_, rows)) if rows.is_empty() => return Ok(None),
                    Some((list, rows)) => pen.add_rows(&list, &rows)?,
                    None => {
                        step = typing.then(|| at.as_str().to_owned());
                        pen.set(&at, &text)?
                    }
                }
            }
            Edit::Merge { text, .. } => {
                within(&text)?;
                pen.merge(&text)?
            }
            Edit::None { at } => pen.none(&at)?,
            Edit::One { at } => pen.one(&at)?,
            Edit::Forget { at } => {
                if document.view.new_rows.forget(&pen, &at) {
                    return Ok(None);
                }
                pen.forget(&at)?
            }
            Edit::Add { at, .. } if pen.is_list(&at) => {
                return Ok(Some(anchor(&document.view.new_rows.add(&pen, &at))));
            }
            Edit::Below { at, from, text } => {
                document.view.open.remove(&format!("{at}#below"));
                focus = Some(anchor(&at));
                pen.below(&at, &from, &text)?
            }
            Edit::Add { at, id, kind } => {
                let (text, place) = pen.add(&at, &id, &kind)?;
                document.view.open.insert(place.as_str().to_owned());
                focus = Some(anchor(&place));
                text
            }
            Edit::Rename { at, id } => {
                let (text, place) = pen.rename(&at, &id)?;
                moved(&mut document.view, &at, &place);
                focus = Some(anchor(&place));
                text
            }
            Edit::Copy { at } => {
                let (text, place) = pen.copy(&at)?;
                document.view.open.insert(place.as_str().to_owned());
                focus = Some(anchor(&place));
                text
            }
            Edit::Accept {
                rule,
                at,
                reason,
                initials,
                until,
            } => {
                document.view.chosen = None;
                pen.accept(&rule, &at, [&reason, &initials, &until])?
            }
            Edit::Drag { at, to, .. } => {
                step = Some(format!("{at}#drag"));
                pen.drag(&at, to)?
            }
            Edit::Nudge { at, steps } => {
                step = Some(format!("{at}#nudge"));
                pen.nudge(&at, steps)?
            }
            _ => return Ok(None),
        };
        document.write(&new, step);
        Ok(focus)
    }

    /// Makes a change that was proposed and notes what it closed and opened.
    fn try_out(&mut self, document: &mut Document, change: Edit, words: String) -> Result<(), Refusal> {
        let marks = |document: &Document| {
            let assessed = document.assessed.as_ref()?;
            Some(assessed.reviewed.as_ref()?.marks())
        };
        let before = marks(document).unwrap_or_default();
        document.settle();
        self.change(document, change)?;
        self.assess_anew(document);
        let now = marks(document).unwrap_or_default();
        let (closed, opened) = apart(&before, &now);
        document.tried = Some(Tried {
            words,
            closed,
            opened,
        });
        Ok(())
    }

    /// Compares with another revision from now on.
    fn compare(&mut self, document: &mut Document, name: &str, text: &str) {
        let text: Rc<str> = text.into();
        // What is reviewed last takes the place of what was before it, so the plan itself is reviewed again after.
        let other = self.assess(name, &text, document.assessed.as_ref());
        let current = other.is_current();
        let marks = other
            .reviewed
            .as_ref()
            .filter(|_| current)
            .map(|reviewed| reviewed.marks());
        if !current {
            document.notice = Some(format!(
                "`{}` can’t be reviewed; only its values are compared",
                crate::text::shown(name)
            ));
        }
        document.baseline = Some(Baseline {
            name: name.to_owned(),
            text,
            marks,
        });
        self.assess_anew(document);
    }

    fn render(&self, document: &Document) -> Vec<Region> {
        let Some(assessed) = &document.assessed else {
            return regions([start(document), html! {}, html! {}, html! {}, html! {}, html! {}]);
        };
        let baseline = document.baseline.as_ref().and_then(|baseline| {
            let mut sources = crate::read::Sources::default();
            let source = sources.add("", &*baseline.text);
            crate::read::parse(&sources, source).ok()
        });
        let head = top(document, self.book(), baseline.as_ref());
        let reviewed = assessed.reviewed.as_deref();
        if let Some((_, wish, made)) = &document.closer.paper {
            let paper = paper(document, wish, made, assessed.units());
            return regions([html! {}, head, paper, html! {}, html! {}, html! {}]);
        }
        let left = match &assessed.tree {
            Some(tree) if !document.view.as_text => form(&Sheet {
                pen: Pen {
                    book: self.book(),
                    text: &assessed.text,
                    tree,
                    units: assessed.units(),
                },
                view: &document.view,
                problems: &assessed.problems,
                review: reviewed.map(|reviewed| &reviewed.review),
            }),
            _ => text_view(&assessed.text, &assessed.problems, assessed.tree.is_some()),
        };
        let Some(reviewed) = reviewed else {
            let note = html! { p.nothing { "The drawing and the findings appear as soon as the plan can be read." } };
            return regions([html! {}, head, html! {}, left, note, html! {}]);
        };
        let step = document.view.case.as_ref().map_or(0, |(_, step)| *step);
        let case = document.closer.case.as_ref();
        let panel = Panel {
            reviewed,
            curves: document
                .closer
                .curves
                .as_ref()
                .map_or(&[], |(_, curves)| &**curves),
            book: self.book(),
            tree: assessed
                .is_current()
                .then_some(assessed.tree.as_deref())
                .flatten(),
            case: case.map(|(_, name, levels)| (name.as_str(), &**levels, moment(levels, step))),
        };
        let parts = panel.parts();
        let cures = document.closer.cures.as_ref();
        let right = findings(&Findings {
            review: &reviewed.review,
            problems: &assessed.problems,
            view: &document.view,
            cures: cures.map_or(&[], |(_, _, cures)| &**cures),
            cures_hold: cures.is_some_and(|(text, ..)| Rc::ptr_eq(text, &assessed.text)),
            tried: document.tried.as_ref(),
        });
        let middle = frame(&parts);
        let mut all = regions([html! {}, head, html! {}, left, middle, right]);
        all.extend(parts.into_iter().map(|(id, part)| (id, part.into_string())));
        all
    }
}

/// Whether a text is small enough for the page.
fn within(text: &str) -> Result<(), Refusal> {
    if text.len() > MAX_TEXT {
        return Err(format!(
            "the text has {} bytes; the page takes {MAX_TEXT}",
            text.len()
        ));
    }
    Ok(())
}

/// The regions of the page, in the order they stand on it.
const REGIONS: [&str; 6] = ["start", "top", "paper", "form", "drawing", "findings"];

fn regions(all: [Markup; 6]) -> Vec<Region> {
    let texts = all.into_iter().map(Markup::into_string);
    REGIONS.map(str::to_owned).into_iter().zip(texts).collect()
}

fn open(document: &mut Document, name: &str, text: &str) {
    *document = Document::opened(name, text);
    document
        .view
        .open
        .extend(["/project", "/basins"].map(str::to_owned));
}

/// Acts that change only what is shown; gives back any other.
fn look(view: &mut View, edit: Edit) -> Result<Option<String>, Box<Edit>> {
    match edit {
        Edit::Fold { at, .. } => {
            view.open.remove(&at);
        }
        Edit::Find { at } => {
            view.paper = None;
            unfold(view, &at);
            return Ok(Some(anchor(&at)));
        }
        Edit::Choose { rule, at } => {
            view.paper = None;
            let chosen = Some((rule, at));
            view.chosen = if view.chosen == chosen { None } else { chosen };
        }
        Edit::Filter { severity, discipline } => {
            view.severity = severity;
            view.discipline = Some(discipline).filter(|discipline| !discipline.is_empty());
        }
        Edit::Case { name, step } => view.case = Some((name, step)).filter(|(name, _)| !name.is_empty()),
        Edit::AsText { on } => view.as_text = on,
        Edit::Letter { on } => view.letter = on,
        Edit::Paper {
            name,
            backsight,
            turns,
        } => {
            view.letter = false;
            let back = name.is_none().then(|| "papers".to_owned());
            view.paper = name.map(|name| PaperWish {
                name,
                backsight,
                turns,
                lists: view.lists.clone(),
            });
            return Ok(back);
        }
        other => return Err(Box::new(other)),
    }
    Ok(None)
}
