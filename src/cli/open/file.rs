//! The plan's file: what of it is on the disk, and what is kept beside it until it is saved.

use std::{
    ffi::OsString,
    fs, io,
    path::{Path, PathBuf},
};

use super::side::{LeftOver, SideFile};
use crate::{
    cli::{
        Failure,
        output::{InTheWay, Outputs},
    },
    read::{ReadError, Sources, read_file},
    text::shown_path,
};

/// Marks a text as UTF-8; kept where a file begins with it.
const BYTE_ORDER_MARK: &str = "\u{feff}";

/// The name of a plan that has none yet.
const UNNAMED: &str = "new-plan.jsonc";

/// A plan's file.
pub(super) struct PlanFile {
    path: PathBuf,
    /// Whether the user named it.
    pub is_named: bool,
    /// Its bytes as they were last read or written; none where there is no file.
    known: Option<Vec<u8>>,
    has_mark: bool,
    /// Where changes are kept until they are saved.
    side: SideFile,
    /// Whether the side file can't be written, which is told once.
    pub unkept: Option<String>,
}

/// How the file stands against what is known of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// As it was read or written.
    Same,
    /// Somebody changed it.
    Changed,
    /// It is gone.
    Gone,
}

impl PlanFile {
    /// The file at a path, whether it is there or not.
    ///
    /// # Errors
    /// A file that can't be read.
    pub fn open(path: Option<&Path>) -> Result<Self, Failure> {
        let mut file = Self {
            path: path.map_or_else(|| PathBuf::from(UNNAMED), Path::to_owned),
            is_named: path.is_some(),
            known: None,
            has_mark: false,
            side: SideFile::beside(path.unwrap_or(Path::new(UNNAMED))),
            unkept: None,
        };
        if path.is_some() {
            file.read()?;
        }
        Ok(file)
    }

    /// The folder in which the files lie that the plan refers to.
    #[cfg(feature = "pdf")]
    pub fn folder(&self) -> &Path {
        self.path.parent().unwrap_or(Path::new(""))
    }

    /// A path beside it that is free, for the review or a paper of this plan.
    pub fn free_beside(&self, word: Option<&str>, extension: &str) -> PathBuf {
        let stem = self.path.file_stem().unwrap_or_default();
        let numbered = |count: u32| {
            let mut name = OsString::from(stem);
            if let Some(word) = word {
                name.push(format!("-{word}"));
            }
            if count > 1 {
                name.push(format!("-{count}"));
            }
            name.push(format!(".{extension}"));
            self.path.with_file_name(name)
        };
        let taken = |path: &PathBuf| path.symlink_metadata().is_ok();
        let mut all = (1..1000).map(numbered);
        all.find(|path| !taken(path)).unwrap_or_else(|| numbered(1000))
    }

    /// The name it is shown by.
    pub fn name(&self) -> String {
        let name = self.path.file_name().map(Path::new);
        shown_path(name.unwrap_or(&self.path))
    }

    /// Reads it: its text, none where there is no file.
    ///
    /// # Errors
    /// A file that can't be read, or holds no text.
    pub fn read(&mut self) -> Result<Option<String>, Failure> {
        let mut sources = Sources::default();
        let source = match read_file(&mut sources, &self.path) {
            Ok(source) => source,
            Err(ReadError::Missing { .. }) => {
                self.known = None;
                return Ok(None);
            }
            Err(error) => return Err(error.into()),
        };
        let text = sources.text(source).to_owned();
        let bytes = fs::read(&self.path).unwrap_or_default();
        self.has_mark = bytes.starts_with(BYTE_ORDER_MARK.as_bytes());
        self.known = Some(self.bytes_of(&text));
        Ok(Some(text))
    }

    /// The text as it is known to be on the disk.
    pub fn known_text(&self) -> Option<String> {
        let text = String::from_utf8(self.known.clone()?).ok()?;
        Some(
            text.strip_prefix(BYTE_ORDER_MARK)
                .map(str::to_owned)
                .unwrap_or(text),
        )
    }

    fn bytes_of(&self, text: &str) -> Vec<u8> {
        let mark = if self.has_mark { BYTE_ORDER_MARK } else { "" };
        format!("{mark}{text}").into_bytes()
    }

    /// Whether a text is what is on the disk.
    pub fn holds(&self, text: &str) -> bool {
        self.known.as_deref() == Some(&self.bytes_of(text))
    }

    /// How the file stands against what is known of it.
    pub fn standing(&self) -> Standing {
        match (&self.known, fs::read(&self.path)) {
            (Some(known), Ok(bytes)) if *known == bytes => Standing::Same,
            (None, Err(error)) if error.kind() == io::ErrorKind::NotFound => Standing::Same,
            (Some(_), Err(error)) if error.kind() == io::ErrorKind::NotFound => Standing::Gone,
            _ => Standing::Changed,
        }
    }

    /// Writes a text over what is there.
    ///
    /// # Errors
    /// A file that may not or can't be written; it is then as it was.
    pub fn save(&mut self, text: &str, in_the_way: InTheWay) -> Result<(), Failure> {
        let bytes = self.bytes_of(text);
        let outputs = Outputs::claim([("the plan", self.path.as_path())], in_the_way)?;
        outputs.write(std::slice::from_ref(&bytes))?;
        self.known = Some(bytes);
        self.is_named = true;
        self.side.forget();
        Ok(())
    }

    /// Writes a text to a new file, which is the plan's from then on.
    ///
    /// # Errors
    /// A name that is taken or no file's, or a file that can't be written.
    pub fn save_as(&mut self, name: &str, text: &str) -> Result<(), Failure> {
        let name = name.trim();
        let plain = !name.is_empty() && !name.contains(['/', '\\', ':', '\0']) && !name.starts_with('.');
        if !plain || name.chars().any(crate::text::acts) {
            return Err(Failure::Argument {
                message: format!("`{}` is no name of a file", crate::text::shown(name)),
                help: "give a name without slashes, such as pond.jsonc".to_owned(),
            });
        }
        let mut named = OsString::from(name);
        if Path::new(name).extension().is_none() {
            named.push(".jsonc");
        }
        let new = self.path.with_file_name(named);
        let old = std::mem::replace(&mut self.path, new);
        if let Err(failure) = self.save(text, InTheWay::Kept) {
            self.path = old;
            return Err(failure);
        }
        self.side = SideFile::beside(&self.path);
        Ok(())
    }

    /// What other sessions left beside the plan, where it differs from the file.
    pub fn left_over(&self) -> Vec<LeftOver> {
        self.side.left_over(|text| self.holds(text))
    }

    /// Keeps a text beside the plan until it is saved.
    pub fn keep(&mut self, text: &str) {
        if self.holds(text) {
            self.side.forget();
            return;
        }
        self.unkept = self.side.keep(text).err().map(|error| {
            format!("Changes can’t be kept beside the plan until they are saved: {error}. Save often.")
        });
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_file_saved_as_it_was_read_has_the_same_bytes() {
        let folder = std::env::temp_dir().join(format!("bywash-file-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        for (index, bytes) in ["\u{feff}{ \"a\": 1 }\r\n", "{}", "{ // x\n}\n\n"]
            .into_iter()
            .enumerate()
        {
            let path = folder.join(format!("{index}.jsonc"));
            fs::write(&path, bytes).unwrap();
            let mut file = PlanFile::open(Some(&path)).unwrap();
            let text = file.known_text().unwrap();
            assert!(file.holds(&text));
            file.save(&text, InTheWay::Replaced).unwrap();
            assert_eq!(fs::read(&path).unwrap(), bytes.as_bytes());
            // What is kept beside it goes when the plan is as the file again.
            let kept = folder.join(format!(".{index}.jsonc.unsaved"));
            file.keep("{ \"b\": 2 }");
            assert_eq!(fs::read_to_string(&kept).unwrap(), "{ \"b\": 2 }");
            file.keep(&text);
            assert!(!kept.exists());
            // Changed and gone are told apart.
            assert_eq!(file.standing(), Standing::Same);
            fs::write(&path, "{ }").unwrap();
            assert_eq!(file.standing(), Standing::Changed);
            fs::remove_file(&path).unwrap();
            assert_eq!(file.standing(), Standing::Gone);
        }
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_new_name_is_a_plain_one_and_takes_nothing_over() {
        let folder = std::env::temp_dir().join(format!("bywash-names-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join("a.jsonc");
        fs::write(&path, "{}").unwrap();
        let mut file = PlanFile::open(Some(&path)).unwrap();
        for name in ["", "../b", "b/c", ".hidden", "a\nb", "c:x", "a.jsonc"] {
            assert!(file.save_as(name, "{ }").is_err(), "{name:?}");
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), "{}");
        file.save_as("b", "{ }").unwrap();
        assert_eq!(fs::read_to_string(folder.join("b.jsonc")).unwrap(), "{ }");
        fs::remove_dir_all(&folder).unwrap();
    }
}
