//! Names of fields.

use std::fmt;

use crate::read::Place;

/// What a field of a form is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FieldName {
    /// The fingerprints of the files that were reviewed.
    Sheets,
    /// The project, for the reader.
    Project,
    /// The revision that will carry the answers.
    Revision,
    /// The date of that revision.
    Date,
    /// Who answers.
    By,
    /// Agree, corrected or disagree, to a finding.
    Reply(String),
    /// Why.
    Reason(String),
    /// A value of the plan, under a finding or question.
    Value(String, Place),
}

impl FieldName {
    /// The field of a name; none for a name of no form of ours.
    pub fn parse(name: &str) -> Option<Self> {
        let mut parts = name.splitn(3, ' ');
        let (kind, number, place) = (parts.next()?, parts.next(), parts.next());
        Some(match (kind, number, place) {
            ("sheets", None, None) => Self::Sheets,
            ("project", None, None) => Self::Project,
            ("revision", None, None) => Self::Revision,
            ("date", None, None) => Self::Date,
            ("by", None, None) => Self::By,
            ("reply", Some(number), None) => Self::Reply(plain(number)?),
            ("reason", Some(number), None) => Self::Reason(plain(number)?),
            ("value", Some(number), Some(place)) => {
                Self::Value(plain(number)?, Place::from_pointer(&plain(place)?))
            }
            _ => return None,
        })
    }
}

impl fmt::Display for FieldName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sheets => f.write_str("sheets"),
            Self::Project => f.write_str("project"),
            Self::Revision => f.write_str("revision"),
            Self::Date => f.write_str("date"),
            Self::By => f.write_str("by"),
            Self::Reply(number) => write!(f, "reply {}", escaped(number)),
            Self::Reason(number) => write!(f, "reason {}", escaped(number)),
            Self::Value(number, place) => write!(f, "value {} {}", escaped(number), escaped(place.as_str())),
        }
    }
}

/// A text in which every character that has a meaning in names of fields, in a line of the text form or in a link stands
/// by its bytes, as in an address.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'/' | b'-' | b'_' | b'~') {
            out.push(byte.into());
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

fn plain(text: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        if *first == b'%' {
            let digits = std::str::from_utf8(after.get(..2)?).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
            rest = after.get(2..)?;
        } else {
            bytes.push(*first);
            rest = after;
        }
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_read_as_it_was_written() {
        let place = Place::root()
            .child("basins")
            .child("koi. pond (100 %) é")
            .child("rim");
        for name in [
            FieldName::Sheets,
            FieldName::Revision,
            FieldName::Reply("5.1".to_owned()),
            FieldName::Value("Q3".to_owned(), place),
        ] {
            let text = name.to_string();
            assert_eq!(FieldName::parse(&text), Some(name), "{text}");
            assert!(!text.contains('.') && !text.contains('('), "{text}");
        }
        for wrong in ["", "reply", "reply 5 6", "value 5", "value 5 %zz", "other"] {
            assert_eq!(FieldName::parse(wrong), None, "{wrong}");
        }
    }
}
