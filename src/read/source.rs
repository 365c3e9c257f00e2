//! The texts that were read, and spans in them.

use sha2::{Digest, Sha256};

/// Names one of the texts in [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SourceId(pub(crate) usize);

/// A range of bytes in one of the texts; spans sort by text, then by where they start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// Which text.
    pub source: SourceId,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// The byte order mark.
const MARK: char = '\u{feff}';

/// Every text a review rests on: the plan, its patches, the rule cards.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
}

/// One text.
#[derive(Clone, Debug)]
struct SourceFile {
    name: String,
    text: String,
    /// Whether it began with a byte order mark.
    marked: bool,
}

impl Sources {
    /// Keeps a text under the name it is shown by. A byte order mark is dropped, so that spans count from what is
    /// shown.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        let mut text = text.into();
        let marked = text.starts_with(MARK);
        if marked {
            text.drain(..MARK.len_utf8());
        }
        self.files.push(SourceFile {
            name: name.into(),
            text,
            marked,
        });
        SourceId(self.files.len() - 1)
    }

    /// Puts another text in place of one, under another name: spans of the old one no longer hold.
    pub fn replace(&mut self, id: SourceId, name: impl Into<String>, text: impl Into<String>) {
        let added = self.add(name, text);
        self.files.swap_remove(id.0);
        debug_assert_eq!(added.0, self.files.len());
    }

    /// The name a text is shown by.
    pub fn name(&self, id: SourceId) -> &str {
        &self.files[id.0].name
    }

    /// The whole text.
    pub fn text(&self, id: SourceId) -> &str {
        &self.files[id.0].text
    }

    /// The SHA-256 of the text as it was read, in hexadecimal: that of the file's own bytes.
    pub fn sha256(&self, id: SourceId) -> String {
        let file = &self.files[id.0];
        let mut hash = Sha256::new();
        if file.marked {
            hash.update(MARK.encode_utf8(&mut [0; 4]));
        }
        hash.update(&file.text);
        hex(&hash.finalize())
    }

    /// How many texts there are, to forget later ones by.
    pub fn count(&self) -> usize {
        self.files.len()
    }

    /// Forgets the texts that were added since there were so many. What points into them must be gone.
    pub fn forget_since(&mut self, count: usize) {
        self.files.truncate(count);
    }

    /// The text a span covers.
    pub fn slice(&self, span: Span) -> &str {
        &self.text(span.source)[span.start..span.end]
    }

    /// Line and column of a span's start, both from 1; columns count characters.
    pub fn line_column(&self, span: Span) -> (usize, usize) {
        let before = &self.text(span.source)[..span.start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        (
            before.matches('\n').count() + 1,
            before[line_start..].chars().count() + 1,
        )
    }
}

/// Bytes in hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    let digits =
        |byte: &u8| [byte >> 4, byte & 0xf].map(|digit| char::from_digit(digit.into(), 16).unwrap_or('0'));
    bytes.iter().flat_map(digits).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_order_mark_is_dropped() {
        let mut sources = Sources::default();
        let source = sources.add("plan.json", "\u{feff}{\n  \"å\": 1}");
        assert_eq!(sources.text(source), "{\n  \"å\": 1}");
        let value = Span {
            source,
            start: 10,
            end: 11,
        };
        assert_eq!(sources.slice(value), "1");
        assert_eq!(sources.line_column(value), (2, 8));
    }

    /// FIPS 180-2, appendix B.1: the digest of "abc" (from memory).
    #[test]
    fn the_fingerprint_is_that_of_the_bytes() {
        let mut sources = Sources::default();
        let plain = sources.add("a", "abc");
        let marked = sources.add("b", "\u{feff}abc");
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sources.sha256(plain), abc);
        assert_ne!(sources.sha256(marked), abc);
    }
}
