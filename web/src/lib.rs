//! The page in a browser alone: what `bywash open` answers, answered by the engine as WebAssembly.
//!
//! A caller asks for [`room`], puts the text of an edit there, and calls [`turn`]; what it returns is the length of the
//! answer at [`answer`]: JSON with the regions that changed. [`text`] puts the plan's text there in the same way. Names
//! that a module exports have to be unmangled, which the language calls unsafe; nothing else here is.

use std::{cell::RefCell, collections::HashMap};

use bywash::page::{Desk, Document, Edit, PaperForm, Region};
use serde_json::json;

/// All that is kept between calls.
#[derive(Default)]
struct Kept {
    desk: Option<Desk>,
    document: Document,
    input: Vec<u8>,
    output: Vec<u8>,
    shown: HashMap<String, String>,
}

thread_local! {
    static KEPT: RefCell<Kept> = RefCell::default();
}

/// Makes room for the text of an edit; returns where.
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *mut u8 {
    KEPT.with_borrow_mut(|kept| {
        kept.input = vec![0; bytes];
        kept.input.as_mut_ptr()
    })
}

/// Takes the edit in the room; returns the length of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn turn() -> usize {
    KEPT.with_borrow_mut(|kept| {
        let edit = String::from_utf8_lossy(&std::mem::take(&mut kept.input)).into_owned();
        let answer = kept
            .turn(&edit)
            .unwrap_or_else(|words| json!({ "notice": words }));
        kept.output = answer.to_string().into_bytes();
        kept.output.len()
    })
}

/// Puts the plan's text where answers are; returns its length.
#[unsafe(no_mangle)]
pub extern "C" fn text() -> usize {
    KEPT.with_borrow_mut(|kept| {
        kept.output = kept
            .document
            .text
            .as_deref()
            .unwrap_or_default()
            .as_bytes()
            .to_vec();
        kept.output.len()
    })
}

/// Puts the paper that is shown where answers are, as the form of this number in [`PaperForm::ALL`]; returns its length, 0
/// where the paper has no such form.
#[unsafe(no_mangle)]
pub extern "C" fn paper(form: usize) -> usize {
    KEPT.with_borrow_mut(|kept| {
        let form = PaperForm::ALL.get(form).copied();
        let bytes = form.and_then(|form| kept.document.paper_as(form).ok());
        kept.output = bytes.unwrap_or_default();
        kept.output.len()
    })
}

/// Where answers are.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> *const u8 {
    KEPT.with_borrow(|kept| kept.output.as_ptr())
}

impl Kept {
    fn turn(&mut self, edit: &str) -> Result<serde_json::Value, String> {
        let edit = Edit::read(edit)?;
        let desk = match &mut self.desk {
            Some(desk) => desk,
            None => self.desk.insert(Desk::new()?),
        };
        if edit == Edit::Show {
            self.shown.clear();
        }
        let turn = desk.turn(std::mem::take(&mut self.document), edit);
        self.document = turn.document;
        let shown = &mut self.shown;
        // A part that is gone is sent again where it comes back.
        shown.retain(|id, _| turn.html.iter().any(|(known, _)| known == id));
        let changed = turn
            .html
            .into_iter()
            .filter(|(id, text)| shown.get(id) != Some(text));
        let html: Vec<Region> = changed.collect();
        shown.extend(html.iter().cloned());
        let name = self.document.text.is_some().then_some(&self.document.name);
        Ok(json!({ "html": html, "focus": turn.focus, "later": turn.later, "name": name }))
    }
}
