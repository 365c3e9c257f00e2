//! The machine form of a review, as `schema/review.schema.json` describes it.

use std::io;

use serde::Serialize;
use serde_json::{
    Serializer,
    ser::{CharEscape, Formatter, PrettyFormatter},
};

use crate::{review::Review, text::is_hidden};

/// The review as JSON, ending in a line feed. What is hidden in a text is escaped, as JSON allows for any character: shown on a
/// terminal it does nothing, and read back it is the text as it was.
///
/// # Errors
/// A review that JSON can't hold; none is known.
pub fn render(review: &Review) -> Result<String, serde_json::Error> {
    pretty(review)
}

/// Anything as JSON, laid out as a review is.
///
/// # Errors
/// What JSON can't hold; none is known.
pub fn pretty(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::new();
    let mut serializer = Serializer::with_formatter(&mut bytes, Visible(PrettyFormatter::new()));
    value.serialize(&mut serializer)?;
    bytes.push(b'\n');
    String::from_utf8(bytes).map_err(|error| serde_json::Error::io(io::Error::other(error)))
}

/// Lays out as usual, with everything hidden escaped.
struct Visible(PrettyFormatter<'static>);

impl Formatter for Visible {
    fn write_string_fragment<W: ?Sized + io::Write>(&mut self, writer: &mut W, text: &str) -> io::Result<()> {
        for part in text.split_inclusive(is_hidden) {
            let last = part.chars().next_back().filter(|c| is_hidden(*c));
            let plain = &part[..part.len() - last.map_or(0, char::len_utf8)];
            writer.write_all(plain.as_bytes())?;
            let mut units = [0; 2];
            if let Some(hidden) = last {
                for unit in &*hidden.encode_utf16(&mut units) {
                    write!(writer, "\\u{unit:04x}")?;
                }
            }
        }
        Ok(())
    }

    fn write_char_escape<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        escape: CharEscape,
    ) -> io::Result<()> {
        self.0.write_char_escape(writer, escape)
    }

    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_array(writer)
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object(writer)
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object(writer)
    }

    fn begin_object_key<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_object_key(writer, first)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object_value(writer)
    }
}
