//! A stretch of a text that is read on its own.

use super::{SourceId, Span};

/// A stretch of a text that is read on its own; positions in it count from its first byte.
#[derive(Clone, Copy)]
pub(super) struct Window<'t> {
    /// The stretch.
    pub text: &'t str,
    /// The text it is of.
    pub source: SourceId,
    /// Where it starts in that text.
    pub offset: usize,
}

impl Window<'_> {
    /// A span of the window, widened to whole characters.
    pub fn span(&self, start: usize, end: usize) -> Span {
        let start = self.text.floor_char_boundary(start);
        let end = self.text.ceil_char_boundary(end.max(start));
        Span {
            source: self.source,
            start: self.offset + start,
            end: self.offset + end,
        }
    }

    /// The span of the character at a byte.
    pub fn char_span(&self, at: usize) -> Span {
        self.span(at, at + 1)
    }

    /// The opening bracket at a byte and the one that closes it.
    pub fn bracket(&self, opened: usize) -> (char, char) {
        if self.text[opened..].starts_with('[') {
            ('[', ']')
        } else {
            ('{', '}')
        }
    }

    /// The last character that is not blank: where a text that is cut short ends.
    pub fn last_char(&self) -> Span {
        self.char_span(self.text.trim_end().len().saturating_sub(1))
    }
}
