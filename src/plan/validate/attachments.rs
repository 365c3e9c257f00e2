//! Photographs and sheets: what they show is in the plan, and where they lie.

use super::Sense;
use crate::{
    plan::Shown,
    read::{Place, ProblemKind},
    text::shown,
};

impl Sense<'_> {
    /// A photograph or sheet shows a part of the plan, and lies beside it or below.
    pub(super) fn attachments(&mut self) {
        for attachment in self.plan.attachments.values() {
            if let Shown::Is(shows) = &attachment.shows
                && self.tree.at(&Place::from_pointer(&shows.value)).is_none()
            {
                self.tell_with_help(
                    ProblemKind::UnknownName,
                    &shows.place,
                    format!("the plan has no place `{}`", shown(&shows.value)),
                    "not in the plan",
                    "write a pointer such as `/basins/pond`".to_owned(),
                );
            }
            if let Shown::Is(file) = &attachment.file
                && !lies_beside(&file.value)
            {
                self.tell_with_help(
                    ProblemKind::Attachment,
                    &file.place,
                    format!(
                        "`{}` does not lie beside the plan or below it",
                        shown(&file.value)
                    ),
                    "no path from the root, and no `..`",
                    "write a path such as `photos/rim.jpg`".to_owned(),
                );
            }
        }
    }
}

/// Whether a path leads to a file beside the plan or in a folder below it, on any system.
fn lies_beside(path: &str) -> bool {
    let parts: Vec<&str> = path.split(['/', '\\']).collect();
    !path.contains(':') && parts.iter().all(|part| !part.is_empty() && *part != "..")
}
