//! The texts that were read, and spans in them.

/// Names one of the texts in [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SourceId(pub(crate) usize);

/// A range of bytes in one of the texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
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
    /// Keeps a text under the name it is shown by.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        self.files.push((name.into(), text.into()));
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
