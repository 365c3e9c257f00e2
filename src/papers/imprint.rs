//! Which plan a paper was made from: its names, and a fingerprint by which a photograph of a sheet finds it again.

use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::{quantity::UnitSystem, read::Node, review::Subject, text::visible};

/// The plan that a paper was made from.
#[derive(Clone, Debug, Serialize)]
pub struct PlanImprint {
    /// The job's name, or the file where the plan gives none.
    pub name: String,
    /// The plan's file, as it was named.
    pub file: String,
    /// Patches over it, in the order they were applied.
    pub patches: Vec<String>,
    /// The plan's revision mark.
    pub revision: Option<String>,
    /// The date the paper is made for.
    pub date: Option<String>,
    /// Eight letters and figures of the plan's values, such as `3F9A-2C1B`.
    pub fingerprint: String,
    /// Units printed in.
    pub units: UnitSystem,
    /// The mark that levels count from, where the plan names it.
    pub benchmark: Option<String>,
}

impl PlanImprint {
    /// The imprint of a plan under review.
    pub fn of(subject: &Subject, date: Option<crate::plan::Date>, tree: &Node, units: UnitSystem) -> Self {
        let block = subject.title_block.iter();
        let benchmark = block
            .filter(|(label, _)| label == "benchmark")
            .map(|(_, text)| text.clone())
            .next();
        Self {
            name: subject.name.clone(),
            file: subject.file.clone(),
            patches: subject.patches.clone(),
            revision: subject.revision.clone(),
            date: date.map(|date| date.to_string()),
            fingerprint: fingerprint(tree),
            units,
            benchmark,
        }
    }

    /// What the code on a sheet of this plan says.
    pub(super) fn code(&self, sheet: &str) -> String {
        sheet_code(sheet, &self.fingerprint)
    }

    /// The plan in a line: name and revision.
    pub fn line(&self) -> String {
        let name = visible(&self.name).into_owned();
        match &self.revision {
            Some(revision) => format!("{name}, revision {}", visible(revision)),
            None => name,
        }
    }
}

/// What the code on a sheet of a plan says, in capitals, figures and strokes only, so that the code stays small: by the sheet's number and the plan's fingerprint: `BYWASH/G1/3F9A-2C1B`.
pub fn sheet_code(sheet: &str, fingerprint: &str) -> String {
    format!("BYWASH/{sheet}/{fingerprint}")
}

/// The fingerprint of a plan's values: the first 32 bits of the SHA-256 of its JSON, as `3F9A-2C1B`. Layout and comments
/// change nothing; any value does.
pub fn fingerprint(tree: &Node) -> String {
    let digest = Sha256::digest(tree.to_json().to_string().as_bytes());
    let half = |from: usize| format!("{:02X}{:02X}", digest[from], digest[from + 1]);
    format!("{}-{}", half(0), half(2))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::fingerprint;
    use crate::read::{Sources, parse};

    fn of(text: &str) -> String {
        let mut sources = Sources::default();
        let source = sources.add("plan", text);
        fingerprint(&parse(&sources, source).unwrap())
    }

    /// SHA-256 of `{"a":1}` by the system's own tool: 015abd7f5cc57a2dd94b7590f04ad808….
    #[test]
    fn layout_and_comments_change_nothing_and_a_value_does() {
        assert_eq!(of("{\"a\": 1}"), "015A-BD7F");
        assert_eq!(of("// a plan\n{ \"a\" :\n 1, }"), "015A-BD7F");
        assert_ne!(of("{\"a\": 2}"), "015A-BD7F");
    }
}
