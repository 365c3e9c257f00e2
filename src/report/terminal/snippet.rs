//! Lines of a source with labels under them, cropped to the width.

use std::{
    io::{self, Write},
    ops::Range,
};

use super::paint::{CUT, PLAIN, Paint, Tone, columns, cut, head, tail};
use crate::{
    read::{Sources, Span},
    text::visible,
};
use codespan_reporting::{
    diagnostic::{Diagnostic, Label, LabelStyle, Severity},
    files::{Error, Files},
    term::{self, Config, WriteStyle},
};

/// One label: where, what to say beside it, and whether it is the place itself or a second one.
pub(super) struct Mark<'a> {
    pub span: Span,
    pub text: &'a str,
    pub primary: bool,
}

/// The lines that the marks stand on, each with its mark, as text.
pub(super) fn render(sources: &Sources, marks: &[Mark<'_>], tone: Tone, paint: Paint) -> String {
    let texts: Vec<String> = marks
        .iter()
        // The whole of a label stands in the finding's headline.
        .map(|mark| cut(&visible(mark.text), paint.width / 2))
        .collect();
    let excerpts = marks
        .iter()
        .zip(&texts)
        .map(|(mark, text)| Excerpt::of(sources, mark, text, paint.width));
    let excerpts = Excerpts(excerpts.collect());
    let labels = marks.iter().enumerate().map(|(index, mark)| {
        let style = if mark.primary {
            LabelStyle::Primary
        } else {
            LabelStyle::Secondary
        };
        Label::new(style, index, excerpts.0[index].marked.clone()).with_message(&texts[index])
    });
    let diagnostic = Diagnostic::new(Severity::Error).with_labels(labels.collect());
    let mut writer = Styled {
        text: Vec::new(),
        tone,
        colour: paint.colour,
    };
    let config = Config {
        tab_width: 2,
        ..Config::default()
    };
    if term::emit_to_write_style(&mut writer, &config, &excerpts, &diagnostic).is_err() {
        return String::new();
    }
    let text = String::from_utf8_lossy(&writer.text).into_owned();
    // The heading above the lines is our own: severities here are stop, revise and advise.
    let body = text.split_once('\n').map_or("", |(_, body)| body);
    let mut lines: Vec<&str> = body.trim_end_matches('\n').lines().map(str::trim_end).collect();
    lines.push("");
    lines.join("\n")
}

/// One line of a source, cropped round a span.
struct Excerpt {
    name: String,
    line: usize,
    column: usize,
    text: String,
    marked: Range<usize>,
}

/// Room that line number, column and border take beside a file's name.
const BESIDE_NAME: usize = 24;

impl Excerpt {
    fn of(sources: &Sources, mark: &Mark<'_>, text: &str, width: usize) -> Self {
        let whole = sources.text(mark.span.source);
        let (line, column) = sources.line_column(mark.span);
        let start = whole[..mark.span.start].rfind('\n').map_or(0, |at| at + 1);
        let end = whole[start..].find('\n').map_or(whole.len(), |at| start + at);
        let line_text = whole[start..end].trim_end_matches('\r');
        // A mark may stand at a carriage return, which is no part of the line.
        let [from, to] = [mark.span.start, mark.span.end.max(mark.span.start)]
            .map(|at| at.min(start + line_text.len()) - start);
        let label = unicode_width::UnicodeWidthStr::width(text);
        // Line number, border and a blank before the text; the label stands behind the marked part.
        let room = width.saturating_sub(line.to_string().len() + 4).max(20);
        let (text, marked) = printable(line_text, from..to, room);
        let (text, marked) = crop(&text, marked, room, label);
        let name = visible(sources.name(mark.span.source));
        let kept = tail(&name, width.saturating_sub(BESIDE_NAME));
        let open = if kept.len() < name.len() { CUT } else { "" };
        Self {
            name: format!("{open}{kept}"),
            line,
            column,
            text,
            marked,
        }
    }
}

/// The part of a line round its mark in which nothing commands the terminal; no more of a long line than has room.
fn printable(text: &str, marked: Range<usize>, room: usize) -> (String, Range<usize>) {
    // A tab is laid out to a stop.
    let seen = |part: &str| part.split('\t').map(visible).collect::<Vec<_>>().join("\t");
    // One character more than has room, so that it shows that something is cropped.
    let far = |chars: &mut dyn Iterator<Item = (usize, char)>| chars.nth(room).map(|(at, _)| at);
    let from = far(&mut text[..marked.start].char_indices().rev()).unwrap_or(0);
    let to = far(&mut text[marked.end..].char_indices()).map_or(text.len(), |at| marked.end + at);
    let before = seen(&text[from..marked.start]);
    let inner = seen(&text[marked.clone()]);
    let shown = before.len()..before.len() + inner.len();
    (before + &inner + &seen(&text[marked.end..to]), shown)
}

/// Crops a line so that the marked part and the label behind it fit the room.
fn crop(text: &str, marked: Range<usize>, room: usize, label: usize) -> (String, Range<usize>) {
    let wide = |part: &str| part.chars().map(columns).sum::<usize>();
    let fits = wide(text) <= room && wide(&text[..marked.end]) + label < room;
    if fits {
        return (text.to_owned(), marked);
    }
    let space = room.saturating_sub(label + 3).max(8);
    let inner = head(&text[marked.clone()], space);
    let before = tail(&text[..marked.start], space.saturating_sub(wide(inner)));
    let rest = &text[marked.start + inner.len()..];
    let after = head(rest, room.saturating_sub(wide(before) + wide(inner) + 2));
    let open = if before.len() < marked.start { CUT } else { "" };
    let close = if after.len() < rest.len() { CUT } else { "" };
    let start = open.len() + before.len();
    (
        format!("{open}{before}{inner}{after}{close}"),
        start..start + inner.len(),
    )
}

/// The excerpts as files of one line each, numbered as in the source.
struct Excerpts(Vec<Excerpt>);

impl Excerpts {
    fn get(&self, id: usize) -> Result<&Excerpt, Error> {
        self.0.get(id).ok_or(Error::FileMissing)
    }
}

impl<'a> Files<'a> for Excerpts {
    type FileId = usize;
    type Name = &'a str;
    type Source = &'a str;

    fn name(&'a self, id: usize) -> Result<&'a str, Error> {
        self.get(id).map(|excerpt| excerpt.name.as_str())
    }

    fn source(&'a self, id: usize) -> Result<&'a str, Error> {
        self.get(id).map(|excerpt| excerpt.text.as_str())
    }

    fn line_index(&'a self, _: usize, _: usize) -> Result<usize, Error> {
        Ok(0)
    }

    fn line_number(&'a self, id: usize, _: usize) -> Result<usize, Error> {
        self.get(id).map(|excerpt| excerpt.line)
    }

    fn column_number(&'a self, id: usize, _: usize, _: usize) -> Result<usize, Error> {
        self.get(id).map(|excerpt| excerpt.column)
    }

    fn line_range(&'a self, id: usize, _: usize) -> Result<Range<usize>, Error> {
        self.get(id).map(|excerpt| 0..excerpt.text.len())
    }
}

/// Collects what is rendered, with the terminal's codes where colour is wanted.
struct Styled {
    text: Vec<u8>,
    tone: Tone,
    colour: bool,
}

impl Styled {
    fn set(&mut self, code: &str) -> io::Result<()> {
        if self.colour {
            self.write_all(code.as_bytes())
        } else {
            Ok(())
        }
    }
}

impl Write for Styled {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.text.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl WriteStyle for Styled {
    fn set_header(&mut self, _: Severity) -> io::Result<()> {
        self.set(self.tone.code())
    }

    fn set_header_message(&mut self) -> io::Result<()> {
        self.set(Tone::Strong.code())
    }

    fn set_line_number(&mut self) -> io::Result<()> {
        self.set(Tone::Faint.code())
    }

    fn set_note_bullet(&mut self) -> io::Result<()> {
        self.set(Tone::Faint.code())
    }

    fn set_source_border(&mut self) -> io::Result<()> {
        self.set(Tone::Faint.code())
    }

    fn set_label(&mut self, _: Severity, style: LabelStyle) -> io::Result<()> {
        let tone = if style == LabelStyle::Primary {
            self.tone
        } else {
            Tone::Advise
        };
        self.set(tone.code())
    }

    fn reset(&mut self) -> io::Result<()> {
        self.set(PLAIN)
    }
}

#[cfg(test)]
mod tests {
    use super::{Mark, Paint, Tone, crop, render};
    use crate::read::{Sources, Span};

    const PLAIN_80: Paint = Paint {
        width: 80,
        colour: false,
    };

    #[test]
    fn a_long_line_is_cropped_round_its_mark() {
        let line = format!("{}\"rim\": \"+10 in\"{}", "x".repeat(500), "y".repeat(500));
        let at = line.find("\"+10").unwrap_or_default();
        let (text, marked) = crop(&line, at..at + 8, 60, 20);
        assert_eq!(&text[marked], "\"+10 in\"");
        assert!(text.chars().count() <= 60, "{}", text.chars().count());
    }

    #[test]
    fn nothing_in_a_plan_commands_the_terminal() {
        let mut sources = Sources::default();
        let text = "{ \"a\u{1b}[31m\u{202e}b\u{9b}\": 1 }";
        let at = text.find('\u{202e}').unwrap_or_default();
        let source = sources.add("plan.jsonc", text);
        let span = Span {
            source,
            start: at,
            end: at + 3,
        };
        let marks = [Mark {
            span,
            text: "here",
            primary: true,
        }];
        let shown = render(&sources, &marks, Tone::Stop, PLAIN_80);
        assert!(
            shown.contains("1 │ { \"a\\u{1b}[31m\\u{202e}b\\u{9b}\": 1 }\n"),
            "{shown}"
        );
        assert!(shown.contains("  │               ^^^^^^^^ here\n"), "{shown}");
    }

    #[test]
    fn a_mark_on_a_line_end_is_shown_at_the_end_of_the_line() {
        let mut sources = Sources::default();
        let text = "{\r\n  \"a\": 1\r\n";
        let source = sources.add("plan.jsonc", text);
        for start in [text.len() - 2, text.len() - 1] {
            let span = Span {
                source,
                start,
                end: text.len(),
            };
            let marks = [Mark {
                span,
                text: "here",
                primary: true,
            }];
            let shown = render(&sources, &marks, Tone::Stop, PLAIN_80);
            assert!(shown.contains("2 │   \"a\": 1\n"), "{shown}");
        }
    }

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        let mut sources = Sources::default();
        let text = format!(
            "{{\n\t\"a\": {{ \"name\": \"{}\", \"rim\": \"+10 in\" }}\n}}\n",
            "池".repeat(200)
        );
        let at = text.find("\"+10").unwrap_or_default();
        let source = sources.add("plans/a.jsonc", text);
        let span = Span {
            source,
            start: at,
            end: at + 8,
        };
        let marks = [Mark {
            span,
            text: "found 1.2 in",
            primary: true,
        }];
        let shown = render(&sources, &marks, Tone::Stop, PLAIN_80);
        assert!(shown.contains("plans/a.jsonc:2:"), "{shown}");
        for line in shown.lines() {
            assert!(unicode_width::UnicodeWidthStr::width(line) <= 80, "{line}");
        }
    }
}
