//! Colour where it is wanted, and text laid out to a width.
//!
//! Foreign text is made visible here, where it is laid out, and no line of it starts where a line of ours does: ours start
//! at the margin or at [`INDENT`], what is carried over to a further line at [`CARRIED`] or deeper.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::{rules::Severity, text::visible};

/// How text is laid out: its width, and whether it has colour.
#[derive(Clone, Copy, Debug)]
pub struct Paint {
    /// Columns.
    pub width: usize,
    /// Whether colour is wanted; every meaning is carried by words and marks too.
    pub colour: bool,
}

/// What a stretch of text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Something to stop for.
    Stop,
    /// Something to revise.
    Revise,
    /// Advice.
    Advise,
    /// A heading.
    Strong,
    /// A side remark.
    Faint,
}

impl From<Severity> for Tone {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Stop => Self::Stop,
            Severity::Revise => Self::Revise,
            Severity::Advise => Self::Advise,
        }
    }
}

impl Tone {
    /// The terminal's code for it.
    pub(super) const fn code(self) -> &'static str {
        match self {
            Self::Stop => "\u{1b}[1;31m",
            Self::Revise => "\u{1b}[1;33m",
            Self::Advise => "\u{1b}[1;36m",
            Self::Strong => "\u{1b}[1m",
            Self::Faint => "\u{1b}[2m",
        }
    }
}

/// Ends any colour.
pub(super) const PLAIN: &str = "\u{1b}[0m";
/// Width of the column of labels, such as `why`.
const LABEL: usize = 8;
/// Room before the labels.
const INDENT: usize = 2;
/// What stands before text that is carried over to a further line.
pub(super) const CARRIED: &str = "    ";
/// What stands where a text was cut.
pub(super) const CUT: &str = "…";

impl Paint {
    /// The text in a tone.
    pub fn tone(self, tone: Tone, text: &str) -> String {
        if self.colour {
            format!("{}{text}{PLAIN}", tone.code())
        } else {
            text.to_owned()
        }
    }

    /// Prose under a label, wrapped and hung: `  why     The weir head eats …`. Nothing for no text.
    pub(super) fn labelled(self, label: &str, text: &str) -> String {
        if text.is_empty() {
            return String::new();
        }
        let first = format!("{:INDENT$}{label:LABEL$} ", "");
        let rest = " ".repeat(INDENT + LABEL + 1);
        let filled = self.fill(text, &first, &rest);
        if self.colour {
            return filled.replacen(label, &self.tone(Tone::Faint, label), 1) + "\n";
        }
        filled + "\n"
    }

    /// A text under a label where one line holds it, so that it can be copied as it is; else nothing.
    pub(super) fn on_one_line(self, label: &str, text: &str) -> String {
        // A blank that ties would be printed as a plain one.
        if !text.contains(TIED) && INDENT + LABEL + 1 + text.width() <= self.width {
            self.labelled(label, text)
        } else {
            String::new()
        }
    }

    /// Text wrapped to the width, with a start of its own for the first line.
    pub(super) fn fill(self, text: &str, first: &str, rest: &str) -> String {
        let options = textwrap::Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(rest)
            .word_separator(textwrap::WordSeparator::AsciiSpace)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        textwrap::fill(&kept_together(&visible(text)), options).replace(TIED, " ")
    }

    /// One item of a list.
    pub(super) fn item(self, text: &str) -> String {
        self.fill(text, "· ", CARRIED) + "\n"
    }

    /// A rule across the width with a title in it.
    pub(super) fn ruled(self, title: &str) -> String {
        const AROUND: usize = 4;
        const LEAST_LINE: usize = 2;
        let room = self.width.saturating_sub(AROUND + LEAST_LINE);
        let title = cut(&visible(title), room);
        let line = "─".repeat(self.width.saturating_sub(title.width() + AROUND));
        format!("── {} {line}\n", self.tone(Tone::Strong, &title))
    }
}

/// A text cut to a width.
pub(super) fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let kept = head(text, width.saturating_sub(CUT.width()));
    format!("{}{CUT}", kept.trim_end())
}

/// As much of the start of a text as has room.
pub(super) fn head(text: &str, room: usize) -> &str {
    let mut used = 0;
    let end = text.char_indices().find(|(_, c)| {
        used += columns(*c);
        used > room
    });
    &text[..end.map_or(text.len(), |(at, _)| at)]
}

/// As much of the end of a text as has room.
pub(super) fn tail(text: &str, room: usize) -> &str {
    let mut used = 0;
    let start = text.char_indices().rev().find(|(_, c)| {
        used += columns(*c);
        used > room
    });
    &text[start.map_or(0, |(at, c)| at + c.len_utf8())..]
}

/// Columns that a character takes at most.
pub(super) fn columns(c: char) -> usize {
    c.width().unwrap_or(2)
}

/// Stands for a blank at which no line may end.
const TIED: char = '\u{a0}';

/// The text with each number tied to the unit behind it.
fn kept_together(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    let mut before = ' ';
    while let Some(c) = chars.next() {
        let unit_next = chars
            .peek()
            .is_some_and(|&next| next.is_alphabetic() || matches!(next, '%' | '°'));
        out.push(if c == ' ' && before.is_ascii_digit() && unit_next {
            TIED
        } else {
            c
        });
        before = c;
    }
    out
}
