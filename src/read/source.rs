//! The texts that were read, and spans in them.

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

/// Every text a review rests on: the plan, its patches, the rule cards.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<(String, String)>,
}

impl Sources {
    /// Keeps a text under the name it is shown by. A byte order mark is dropped, so that spans count from what is
    /// shown.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        let mut text = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        self.files.push((name.into(), text));
        SourceId(self.files.len() - 1)
    }

    /// The name a text is shown by.
    pub fn name(&self, id: SourceId) -> &str {
        &self.files[id.0].0
    }

    /// The whole text.
    pub fn text(&self, id: SourceId) -> &str {
        &self.files[id.0].1
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
}
