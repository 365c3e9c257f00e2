//! What is wrong with an input, told with its place.

use super::Span;

/// One thing wrong with an input file: told with place, what was found, what is accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong, in lower case, without a full stop.
    pub message: String,
    /// Where, and what to say beside the place.
    pub at: Option<(Span, String)>,
    /// Further places that belong to it, such as the first of two equal keys.
    pub also: Vec<(Span, String)>,
    /// What is accepted instead, or the nearest right name.
    pub help: Option<String>,
}

impl Problem {
    /// A problem at a place in a file.
    pub fn at(span: Span, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            at: Some((span, label.into())),
            also: Vec::new(),
            help: None,
        }
    }

    /// The same problem with a word of help.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The same problem with a further place.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.also.push((span, label.into()));
        self
    }
}
