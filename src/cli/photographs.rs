//! Photographs and sheets that a plan refers to, read from beside it.

use std::{fs, io::ErrorKind, path::Path};

use sha2::{Digest, Sha256};

use super::{Failure, input::unreadable, print::say_error};
use crate::{
    check::SchemaBook,
    engine::{Engine, Opened},
    plan::Given,
    read::{Place, Problem, ProblemKind, hex, is_pdf, read_bytes},
    report::pdf::{Content, Photograph, small},
    text::{shown, shown_path},
};

/// The largest photograph or sheet that is read, bytes.
const LARGEST: u64 = 40_000_000;

/// The photographs and sheets of a plan. A file that is not there is told, here and in the PDF.
///
/// # Errors
/// A file that is no picture and no PDF, is too large or can't be read, each at its place in the plan.
pub(super) fn photographs(engine: &Engine, opened: &Opened) -> Result<Vec<Photograph>, Failure> {
    let plan = Path::new(engine.sources.name(opened.source));
    let folder = plan.parent().unwrap_or(Path::new(""));
    let read = read_from(folder, opened, engine.book()).map_err(|problems| unreadable(engine, &problems))?;
    for missing in read.iter().filter(|one| matches!(one.content, Content::Missing)) {
        let file = shown_path(&folder.join(&missing.file));
        say_error(&format!(
            "There is no file `{file}`, which the plan refers to; the PDF says so.\n"
        ));
    }
    Ok(read)
}

/// The photographs and sheets of a plan that lies in a folder.
///
/// # Errors
/// As [`photographs`].
pub(super) fn read_from(
    folder: &Path,
    opened: &Opened,
    book: &SchemaBook,
) -> Result<Vec<Photograph>, Vec<Problem>> {
    let (mut read, mut problems) = (Vec::new(), Vec::new());
    let attachments = opened.plan.attachments.values();
    for (attachment, file) in attachments.filter_map(|one| Some((one, one.file.given()?))) {
        let (content, sha256) = match content(&folder.join(&file.value)) {
            Ok(found) => found,
            Err(why) => {
                problems.push(problem(opened, file, &why));
                continue;
            }
        };
        let shows = attachment.shows.value().map(|pointer| {
            let place = Place::from_pointer(pointer);
            let name = book.title_of(&place);
            (place, name)
        });
        read.push(Photograph {
            file: file.value.clone(),
            caption: attachment.caption.value().cloned(),
            shows,
            sha256,
            content,
        });
    }
    if problems.is_empty() {
        Ok(read)
    } else {
        Err(problems)
    }
}

fn problem(opened: &Opened, file: &Given<String>, why: &str) -> Problem {
    let span = opened.tree.root.span_of(&file.place);
    let message = format!("`{}` can’t be shown: {why}", shown(&file.value));
    Problem::at(ProblemKind::Attachment, span, message, "this file")
        .help("name a PNG or JPEG picture or a PDF of at most 40 MB, or take the entry out")
}

/// What is printed of a file, and its fingerprint.
fn content(path: &Path) -> Result<(Content, Option<String>), String> {
    match fs::metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok((Content::Missing, None)),
        Ok(found) if found.is_file() && found.len() > LARGEST => {
            return Err(format!("it has {} MB", found.len() / 1_000_000));
        }
        _ => {}
    }
    let bytes = read_bytes(path).map_err(|error| error.to_string())?;
    let sha256 = Some(hex(&Sha256::digest(&bytes)));
    if is_pdf(&bytes) {
        return Ok((Content::Sheet, sha256));
    }
    let picture = small(&bytes).map_err(|error| error.to_string())?;
    Ok((Content::Picture(picture), sha256))
}
