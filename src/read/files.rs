//! Bytes of a file to a text: everything that can be wrong before the text is looked at.

use std::collections::HashSet;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::{ProblemKind, SourceId, Sources};
use crate::text::shown_path;

/// The largest file read, in bytes; a plan of a thousand objects has a thousandth of it.
pub const MAX_BYTES: u64 = 64_000_000;

/// Why a file gives no text.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// Nothing has this name.
    #[error("there is no file `{}`", shown_path(path))]
    Missing {
        /// The path as given.
        path: PathBuf,
    },
    /// The path names a folder.
    #[error("`{}` is a folder, not a file", shown_path(path))]
    Folder {
        /// The path as given.
        path: PathBuf,
    },
    /// The path names a pipe or a device: what it gives may have no end, and can't be looked at twice.
    #[error("`{}` is a pipe or a device, not a file", shown_path(path))]
    NoFile {
        /// The path as given.
        path: PathBuf,
    },
    /// There is no such folder.
    #[error("there is no folder `{}`", shown_path(path))]
    NoFolder {
        /// The path as given.
        path: PathBuf,
    },
    /// A folder that holds nothing of what is read.
    #[error("`{}` holds no file that ends in .{ending}", shown_path(path))]
    Bare {
        /// The path as given.
        path: PathBuf,
        /// How the files end.
        ending: &'static str,
    },
    /// A folder nested deeper than folders are read.
    #[error("`{}` lies more than {DEEPEST} folders deep", shown_path(path))]
    TooDeep {
        /// The folder.
        path: PathBuf,
    },
    /// More files and folders than a house has.
    #[error(
        "more than {MOST_ENTRIES} files and folders stand in and above `{}`",
        shown_path(path)
    )]
    TooMany {
        /// The folder at which the count was full.
        path: PathBuf,
    },
    /// The file is there, but the system does not hand it over.
    #[error("`{}` can’t be read", shown_path(path))]
    Unreadable {
        /// The path as given.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The file is larger than [`MAX_BYTES`].
    #[error("`{}` is larger than {} MB, the most that is read", shown_path(path), MAX_BYTES / 1_000_000)]
    TooLarge {
        /// The path as given.
        path: PathBuf,
    },
    /// The file holds nothing, or blanks only.
    #[error("`{}` is empty", shown_path(path))]
    Empty {
        /// The path as given.
        path: PathBuf,
    },
    /// The bytes are not UTF-8.
    #[error(
        "`{}` is not UTF-8 text: byte {offset} (line {line}, column {column}) starts no character",
        shown_path(path)
    )]
    NotUtf8 {
        /// The path as given.
        path: PathBuf,
        /// The first byte that is wrong, counted from 0 at the start of the file.
        offset: usize,
        /// Its line, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
        /// Whether the file starts as UTF-16 does.
        utf16: bool,
    },
}

impl ReadError {
    /// What kind of problem it is.
    pub fn kind(&self) -> ProblemKind {
        match self {
            Self::NotUtf8 { .. } => ProblemKind::Encoding,
            Self::TooLarge { .. } => ProblemKind::TooMuch,
            _ => ProblemKind::File,
        }
    }

    /// What would put it right, where that is known.
    pub fn help(&self) -> Option<&'static str> {
        match self {
            Self::NotUtf8 { utf16: true, .. } => Some("it looks like UTF-16; save it as UTF-8"),
            Self::NotUtf8 { utf16: false, .. } => Some("save it as UTF-8"),
            Self::TooDeep { .. } | Self::TooMany { .. } => Some("keep the pages in a folder of their own"),
            Self::NoFile { .. } => Some("save what it gives as a file, and name that"),
            _ => None,
        }
    }
}

/// Reads a file into the sources, under the path as given.
pub fn read_file(sources: &mut Sources, path: &Path) -> Result<SourceId, ReadError> {
    let text = decode(path, read_bytes(path)?)?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(ReadError::Empty {
            path: path.to_owned(),
        });
    }
    Ok(sources.add(path.display().to_string(), text))
}

/// How deep below a folder files are looked for.
const DEEPEST: usize = 12;
/// How many files and folders are looked at.
const MOST_ENTRIES: usize = 10_000;

/// Every file with an ending, in whatever case, in a folder and the folders below it, by name. What starts with a dot is
/// no part of it: systems and editors keep things of their own there.
///
/// # Errors
/// A folder that can't be gone through to its end: none of it is skipped silently.
pub fn files_in(folder: &Path, ending: &'static str) -> Result<Vec<PathBuf>, ReadError> {
    if !folder.is_dir() {
        return Err(ReadError::NoFolder {
            path: folder.to_owned(),
        });
    }
    let mut walk = Walk {
        ending,
        entries: 0,
        seen: HashSet::new(),
        paths: Vec::new(),
    };
    walk.take(folder, DEEPEST)?;
    if walk.paths.is_empty() {
        return Err(ReadError::Bare {
            path: folder.to_owned(),
            ending,
        });
    }
    walk.paths.sort();
    Ok(walk.paths)
}

struct Walk {
    ending: &'static str,
    entries: usize,
    /// Folders by their real paths: links may lead in a circle, or to one folder twice.
    seen: HashSet<PathBuf>,
    paths: Vec<PathBuf>,
}

impl Walk {
    fn take(&mut self, folder: &Path, deeper: usize) -> Result<(), ReadError> {
        let refused = |source| ReadError::Unreadable {
            path: folder.to_owned(),
            source,
        };
        if !self.seen.insert(folder.canonicalize().map_err(refused)?) {
            return Ok(());
        }
        for entry in std::fs::read_dir(folder).map_err(refused)? {
            let entry = entry.map_err(refused)?;
            self.entries += 1;
            if self.entries > MOST_ENTRIES {
                return Err(ReadError::TooMany {
                    path: folder.to_owned(),
                });
            }
            if entry.file_name().as_encoded_bytes().starts_with(b".") {
                continue;
            }
            let path = entry.path();
            if path.is_dir() {
                if deeper == 0 {
                    return Err(ReadError::TooDeep { path });
                }
                self.take(&path, deeper - 1)?;
            } else if path
                .extension()
                .is_some_and(|found| found.eq_ignore_ascii_case(self.ending))
            {
                self.paths.push(path);
            }
        }
        Ok(())
    }
}

/// The bytes of a file.
///
/// # Errors
/// What is no file, can't be read, or is larger than [`MAX_BYTES`].
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, ReadError> {
    let refused = |source: io::Error| match source.kind() {
        io::ErrorKind::NotFound => ReadError::Missing {
            path: path.to_owned(),
        },
        io::ErrorKind::IsADirectory => ReadError::Folder {
            path: path.to_owned(),
        },
        _ => ReadError::Unreadable {
            path: path.to_owned(),
            source,
        },
    };
    // Asked first: a folder opens on some systems and not on others, and a pipe that nobody writes to never opens.
    let there = std::fs::metadata(path).map_err(refused)?;
    if there.is_dir() {
        return Err(ReadError::Folder {
            path: path.to_owned(),
        });
    }
    if !there.is_file() {
        return Err(ReadError::NoFile {
            path: path.to_owned(),
        });
    }
    let mut bytes = Vec::new();
    // A file may grow while it is read: the bound is on what is read.
    File::open(path)
        .and_then(|file| file.take(MAX_BYTES + 1).read_to_end(&mut bytes))
        .map_err(refused)?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(ReadError::TooLarge {
            path: path.to_owned(),
        });
    }
    Ok(bytes)
}

fn decode(path: &Path, bytes: Vec<u8>) -> Result<String, ReadError> {
    String::from_utf8(bytes).map_err(|refused| {
        let offset = refused.utf8_error().valid_up_to();
        let bytes = refused.as_bytes();
        let before = String::from_utf8_lossy(&bytes[..offset]);
        let last_line = before.rsplit('\n').next().unwrap_or_default();
        ReadError::NotUtf8 {
            path: path.to_owned(),
            offset,
            line: before.matches('\n').count() + 1,
            column: last_line.trim_start_matches('\u{feff}').chars().count() + 1,
            utf16: bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]),
        }
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::io::Write;

    fn read_bytes_as_file(bytes: &[u8]) -> Result<String, ReadError> {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        file.write_all(bytes).unwrap();
        let mut sources = Sources::default();
        read_file(&mut sources, file.path()).map(|id| {
            assert_eq!(sources.name(id), file.path().display().to_string());
            sources.text(id).to_owned()
        })
    }

    #[test]
    fn a_text_is_read_and_a_byte_order_mark_dropped() {
        assert_eq!(read_bytes_as_file(b"{}\n").unwrap(), "{}\n");
        assert_eq!(read_bytes_as_file(b"\xEF\xBB\xBF{}").unwrap(), "{}");
    }

    #[test]
    fn a_missing_file_is_told_by_name() {
        let error = read_file(&mut Sources::default(), Path::new("no/such/plan.json")).unwrap_err();
        assert!(matches!(error, ReadError::Missing { .. }));
        assert_eq!(error.to_string(), "there is no file `no/such/plan.json`");
    }

    #[test]
    fn a_folder_is_not_a_file() {
        let folder = tempfile::tempdir().unwrap();
        let error = read_file(&mut Sources::default(), folder.path()).unwrap_err();
        assert!(matches!(error, ReadError::Folder { .. }));
    }

    #[cfg(unix)]
    #[test]
    fn what_the_system_refuses_is_unreadable() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("plan.json");
        std::fs::write(&file, "{}").unwrap();
        let below_a_file = file.join("plan.json");
        let error = read_file(&mut Sources::default(), &below_a_file).unwrap_err();
        assert!(matches!(error, ReadError::Unreadable { .. }), "{error:?}");
    }

    #[test]
    fn an_empty_file_is_told_as_empty() {
        for bytes in [&b""[..], b" \r\n\t", b"\xEF\xBB\xBF", b"\xEF\xBB\xBF\n"] {
            assert!(matches!(read_bytes_as_file(bytes), Err(ReadError::Empty { .. })));
        }
    }

    #[test]
    fn a_file_past_the_bound_is_refused() {
        let file = tempfile::NamedTempFile::new().unwrap();
        file.as_file().set_len(MAX_BYTES + 1).unwrap();
        let error = read_file(&mut Sources::default(), file.path()).unwrap_err();
        assert!(matches!(error, ReadError::TooLarge { .. }));
        assert!(
            error
                .to_string()
                .ends_with("larger than 64 MB, the most that is read")
        );
    }

    #[test]
    fn a_byte_that_is_not_utf8_is_told_by_offset_line_and_column() {
        let error = read_bytes_as_file(b"{\n \"\xC3\xA9\": \"\xB0C\"}").unwrap_err();
        let ReadError::NotUtf8 {
            offset, line, column, ..
        } = error
        else {
            unreachable!("{error:?}")
        };
        assert_eq!((offset, line, column), (10, 2, 8));
    }

    #[test]
    fn utf16_is_recognised() {
        let error = read_bytes_as_file(b"\xFF\xFE{\0}\0").unwrap_err();
        assert_eq!(error.help(), Some("it looks like UTF-16; save it as UTF-8"));
    }
}
