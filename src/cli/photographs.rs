//! Photographs and sheets that a plan refers to, read from beside it.

use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
};

use sha2::{Digest, Sha256};

use super::{Failure, input::unreadable, print::say_error};
use crate::{
    engine::{Engine, Opened},
    plan::Given,
    read::{Place, Problem, ProblemKind, hex, is_pdf, read_bytes},
    report::pdf::{Content, Photograph, small},
    text::{shown, shown_path},
};

/// The largest photograph or sheet that is read, bytes.
const LARGEST: u64 = 40_000_000;

/// Where the files lie that a plan refers to.
pub(super) fn paths(engine: &Engine, opened: &Opened) -> Vec<PathBuf> {
    let plan = Path::new(engine.sources.name(opened.source));
    let beside = plan.parent().unwrap_or(Path::new(""));
    let attachments = opened.plan.attachments.values();
    attachments
        .filter_map(|attachment| attachment.file.value())
        .map(|file| beside.join(file))
        .collect()
}

/// The photographs and sheets of a plan. A file that is not there is told, here and in the PDF.
///
/// # Errors
/// A file that is no picture and no PDF, is too large or can't be read, each at its place in the plan.
pub(super) fn photographs(engine: &Engine, opened: &Opened) -> Result<Vec<Photograph>, Failure> {
    let (mut read, mut problems) = (Vec::new(), Vec::new());
    let attachments = opened.plan.attachments.values();
    let attachments = attachments.filter_map(|attachment| Some((attachment, attachment.file.given()?)));
    for ((attachment, file), path) in attachments.zip(paths(engine, opened)) {
        let (content, sha256) = match content(&path) {
            Ok((content, sha256)) => (content, sha256),
            Err(why) => {
                problems.push(problem(opened, file, &why));
                continue;
            }
        };
        if matches!(content, Content::Missing) {
            let file = shown_path(&path);
            say_error(&format!(
                "There is no file `{file}`, which the plan refers to; the PDF says so.\n"
            ));
        }
        let shows = attachment.shows.value().map(|pointer| {
            let place = Place::from_pointer(pointer);
            let name = engine.book().title_of(&place);
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
        Err(unreadable(engine, &problems))
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
